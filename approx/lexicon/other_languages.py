"""A first guess at words of other languages, by epitran (Mortensen et al. 2018, Proc LREC 2018, 2710-2714).

An optional part: without it every answer is None and `reason` says how to get it. A guess has no stress and has to be
checked by somebody who speaks the language. English is never read here: epitran needs a second program for it.
Neither are languages for which epitran would fetch a dictionary from the network (Chinese and Japanese characters).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Protocol

from approx.wording import worded

_INSTALL = "pip install epitran"


def read_other(word: str, code: str) -> str | None:
    """IPA of a word of the language `code` ("deu-Latn"), without stress; a guess, to be checked.

    None if epitran is missing, does not know the code, or reads nothing in the word; `reason(code)` tells which.
    Never raises. Letters epitran does not know are left in the answer as they are.
    """
    if not word.strip() or code not in known_codes():
        return None
    try:
        with _root_logger_kept():
            reader = _reader(code)
            answer: str = reader.transliterate(word.strip())
            return answer if reader.strict_trans(word.strip()).strip() else None
    except Exception:  # noqa: BLE001 - the library raises its own and built-in errors without a pattern
        return None


def known_codes() -> tuple[str, ...]:
    """Language codes that can be read, in order of the alphabet; () if epitran is not installed.

    They are the names of epitran's letter tables, so that the library itself need not be loaded.
    """
    folder = _folder()
    return () if folder is None else _codes_in(folder)


def reason(code: str) -> str:
    """Why nothing can be read with `code`, and the way out, as a sentence for the user. "" if nothing is wrong with it."""
    if code.lower().split("-")[0] in ("eng", "en"):
        return "English words are read by approx itself; leave the code out or give en-US"
    codes = known_codes()
    if not codes:
        return worded(
            "other languages are read by an optional part that is not installed; get it with: {install}",
            install=_INSTALL,
        )
    if code in codes:
        return ""
    near = _nearest(code, codes)
    pattern = "'{code}' is not a known language code; near it: {near}"
    if not near:
        pattern = "'{code}' is not a known language code; see epitran's list"
    return worded(pattern, code=code, near=", ".join(near))


def _nearest(code: str, codes: tuple[str, ...]) -> list[str]:
    """Up to three codes that begin alike, else that look alike."""
    from difflib import get_close_matches

    wanted = code.lower()
    begin = [known for known in codes if wanted and known.lower().startswith(wanted.split("-")[0])]
    return (begin or get_close_matches(wanted, codes, cutoff=0.5))[:3]


def _folder() -> Path | None:
    """Where epitran keeps its letter tables; the package is found, not imported."""
    from importlib.util import find_spec

    try:
        spec = find_spec("epitran")
    except (ImportError, ValueError):  # a broken or half removed installation
        return None
    places = spec.submodule_search_locations if spec else None
    return Path(places[0], "data", "map") if places else None


@cache
def _codes_in(folder: Path) -> tuple[str, ...]:
    names = (path.stem for path in folder.glob("*.csv"))
    return tuple(sorted(name for name in names if not name.startswith("eng-")))


class SpellingReader(Protocol):
    """What is asked of epitran, which has no types."""

    def transliterate(self, word: str) -> str:
        """The word in IPA; letters the language does not have stay as they are."""

    def strict_trans(self, word: str) -> str:
        """The word in IPA, without the letters that the language does not have."""


@cache
def _reader(code: str) -> SpellingReader:
    """The reader of one language; the first one takes about a second and a half. Filters of warnings that the library and
    what it imports set are taken away again."""
    import warnings
    from importlib import import_module

    with warnings.catch_warnings():
        reader: SpellingReader = import_module("epitran").Epitran(code)
    return reader


@contextmanager
def _root_logger_kept() -> Iterator[None]:
    """Undo what importing epitran does to logging: it sets a level and a handler on the root logger."""
    import logging

    root, own = logging.getLogger(), logging.getLogger("epitran")
    handlers, level, own_level = root.handlers[:], root.level, own.level
    try:
        yield
    finally:
        root.handlers[:] = handlers
        root.setLevel(level)
        own.setLevel(own_level)
