"""Words a person has decided for good: a small table of their own, kept outside the program's folder."""

from __future__ import annotations

import os
from pathlib import Path

from approx.lexicon.spelling import base_language, look_up_form
from approx.problems import Problem
from approx.wording import worded

HEADER = "word\tlanguage\tipa"


def own_words_path() -> Path:
    """Where own words are kept: `words.tsv` in APPROX_HOME, or in the platform's folder for user data."""
    home = os.environ.get("APPROX_HOME")
    if home:
        return Path(home) / "words.tsv"
    from platformdirs import user_data_path

    return user_data_path("approx", appauthor=False) / "words.tsv"


def load_own_words(language: str = "en-US", path: Path | None = None) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """Own words of one language as word -> IPA, and a problem for each line that cannot be used.

    No file yet means no words. A later line for the same word wins. Lines that start with `#` are remarks.
    """
    path = path or own_words_path()
    rows, problems = _rows(path)
    wanted = base_language(language)
    return {word: ipa for word, code, ipa in rows if code == wanted}, problems


def say(word: str, ipa: str, language: str = "en-US", path: Path | None = None) -> tuple[Problem, ...]:
    """Remember how a word is said. Other lines of the file stay as they are; it is replaced in one step.

    Returns the problem, if any, that kept it from being written: nothing to remember, or an unusable place.
    """
    path = path or own_words_path()
    form, sounds = look_up_form(word), ipa.strip().strip("/").strip()
    if not form or not sounds or any(c in form + sounds for c in "\t\r\n"):
        message = "a word and its IPA are both needed, on one line and without tabs"
        return (Problem("lexicon.own-word", message, "give both, as in: spoon /spun/", symbol=word),)
    code = base_language(language)
    try:
        lines = _lines(path) or [HEADER]
        kept = [line for line in lines if line.split("\t")[:2] != [form, code]]
        _replace(path, "\n".join([*kept, f"{form}\t{code}\t{sounds}"]) + "\n")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        message = worded("own words cannot be kept: {reason}", reason=reason)
        return (Problem("lexicon.own-file", message, "name another folder in APPROX_HOME", file=path.name),)
    return ()


def _rows(path: Path) -> tuple[list[tuple[str, str, str]], tuple[Problem, ...]]:
    try:
        lines = _lines(path)
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        hint = "save it as UTF-8, or move it away to start afresh"
        return [], (
            Problem(
                "lexicon.own-file", worded("own words cannot be read: {reason}", reason=reason), hint, file=path.name
            ),
        )
    rows: list[tuple[str, str, str]] = []
    problems: list[Problem] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip() or line.startswith("#") or line == HEADER:
            continue
        cells = [cell.strip() for cell in line.split("\t")]
        if len(cells) >= 3 and all(cells[:3]):
            rows.append((look_up_form(cells[0]), base_language(cells[1]), cells[2]))
        else:
            hint = "write word, language and IPA with a tab between them"
            problems.append(Problem("lexicon.own-word", "a line of own words is not complete", hint, path.name, number))
    return rows, tuple(problems)


def _lines(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8-sig").splitlines() if path.exists() else []


def _replace(path: Path, text: str) -> None:
    """Write beside the file and put it in its place, so that a crash leaves the old one whole."""
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        fresh.write_text(text, encoding="utf-8", newline="\n")
        fresh.replace(path)
    finally:
        fresh.unlink(missing_ok=True)
