"""Words of other languages through epitran, with and without the package."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest

from approx.lexicon import other_languages
from approx.lexicon.other_languages import known_codes, read_other, reason

INSTALLED = find_spec("epitran") is not None

STAND_IN = """
import logging
logging.basicConfig(level=logging.CRITICAL)
logging.getLogger("epitran").setLevel(logging.ERROR)
class Epitran:
    def __init__(self, code):
        if code == "bad-Latn":
            raise KeyError("")
    def transliterate(self, word):
        return word.lower()
    def strict_trans(self, word):
        return "".join(letter for letter in word.lower() if letter.isalpha())
"""

PROBE = """
import logging, sys
root = logging.getLogger()
kept = logging.NullHandler()
root.addHandler(kept); root.setLevel(23)
from approx.lexicon.other_languages import read_other, known_codes
code = sys.argv[1]
known = code in known_codes()
early = "epitran" in sys.modules
answer = read_other(sys.argv[2], code)
print(root.handlers == [kept], root.level, logging.getLogger("epitran").level, known, early, answer,
      "epitran" in sys.modules)
"""


def probe(code: str, path: Path | None = None, word: str = "Katze") -> list[str]:
    """What a fresh interpreter sees, with a folder put first on its path if one is given."""
    setup = f"import sys; sys.path.insert(0, {str(path)!r})\n" if path else ""
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(
        [sys.executable, "-c", setup + PROBE, code, word],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        env=environment,
    ).stdout.split()


@pytest.fixture
def stand_in(tmp_path: Path) -> Path:
    """A small package in epitran's place that does to logging what epitran does."""
    maps = tmp_path / "epitran" / "data" / "map"
    maps.mkdir(parents=True)
    (tmp_path / "epitran" / "__init__.py").write_text(STAND_IN, encoding="utf-8")
    for code in ("abc-Latn", "abd-Latn", "bad-Latn", "eng-Latn"):
        (maps / f"{code}.csv").write_text("Orth,Phon\n", encoding="utf-8")
    return tmp_path


def test_the_root_logger_is_as_before_with_a_package_that_changes_it(stand_in: Path) -> None:
    assert probe("abc-Latn", stand_in) == ["True", "23", "0", "True", "False", "katze", "True"]


def test_an_empty_answer_of_the_library_is_none(stand_in: Path) -> None:
    assert probe("abc-Latn", stand_in, "123")[5] == "None"


def test_an_error_of_the_library_is_no_answer(stand_in: Path) -> None:
    assert probe("bad-Latn", stand_in) == ["True", "23", "0", "True", "False", "None", "True"]


def test_english_never_reaches_the_library(stand_in: Path) -> None:
    assert probe("eng-Latn", stand_in) == ["True", "23", "0", "False", "False", "None", "False"]
    assert "read by approx itself" in reason("eng-Latn")
    assert read_other("cat", "eng-Latn") is None


@pytest.mark.slow
def test_what_is_installed_reads_a_word_and_leaves_the_root_logger_as_it_was() -> None:
    # Judged by hand: Polish o is ɔ.
    known = str(INSTALLED)
    seen = probe("pol-Latn", word="kot")
    assert seen == ["True", "23", "0", known, "False", "kɔt" if INSTALLED else "None", known]


def test_nothing_to_read_is_none() -> None:
    assert read_other("", "deu-Latn") is None
    assert read_other("  ", "deu-Latn") is None
    assert read_other("Katze", "no-such") is None


def test_without_the_package_the_way_to_get_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(other_languages, "_folder", lambda: None)
    assert known_codes() == ()
    assert read_other("Katze", "deu-Latn") is None
    assert "pip install epitran" in reason("deu-Latn")


def test_a_wrong_code_is_answered_with_its_neighbours(stand_in: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(other_languages, "_folder", lambda: stand_in / "epitran" / "data" / "map")
    assert known_codes() == ("abc-Latn", "abd-Latn", "bad-Latn")
    assert reason("abc-Latn") == ""
    assert "abc-Latn" in reason("abc")
    assert "abd-Latn" in reason("xbd-latn")
    assert reason("")
