"""A list of words means one thing wherever words are asked for: a list, a text with commas between, or a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from places import ROOT

import approx
from approx.api.practice.sheets import sheet
from approx.api.practice.suggesting import Words

M12, SAMPLE = str(ROOT / "samples" / "m12.toml"), str(ROOT / "samples" / "m12.csv")
LISTED = ["mud", "hat", "more juice"]

ASKED: dict[str, Callable[[Words], object]] = {
    "predict": lambda words: [(each.word, each.prediction) for each in approx.predict(SAMPLE, words).words],
    "words": lambda words: [(word.word, word.category) for word in approx.words(M12, own=words, count=5, new=4).words],
    "phrases": lambda words: [phrase.adult_sentence for phrase in approx.phrases(M12, words=words, count=4).phrases],
}


@pytest.mark.parametrize("name", ASKED)
def test_a_list_a_text_and_a_file_ask_for_the_same(name: str, tmp_path: Path) -> None:
    file = tmp_path / "list.txt"
    file.write_text("\n".join(LISTED), encoding="utf-8")
    first, *others = (ASKED[name](words) for words in (LISTED, ", ".join(LISTED), file, str(file)))
    assert first and all(each == first for each in others)


def test_one_word_is_a_word_and_no_file() -> None:
    (soup,) = approx.predict(SAMPLE, "soup").words
    assert soup.word == "soup"
    assert "soup" in sheet("family", M12, words="soup").html()


@pytest.mark.parametrize("typed", ["", " , ;"])
def test_no_word_is_said(typed: str) -> None:
    assert [problem.code for problem in approx.predict(SAMPLE, typed).problems if problem.fatal] == ["words.empty"]


def test_a_file_that_is_missing_is_named() -> None:
    for words in ("no_such_list.csv", Path("no_such_list")):
        (problem,) = [each for each in approx.predict(SAMPLE, words).problems if each.fatal]
        assert (problem.code, problem.file) == ("words.file", str(words))


def test_what_is_typed_in_one_line_has_no_line() -> None:
    (problem,) = [each for each in approx.predict(SAMPLE, "soup, ???").problems if each.symbol == "???"]
    assert problem.line is None
    (problem,) = [each for each in approx.predict(SAMPLE, ["soup", "???"]).problems if each.symbol == "???"]
    assert problem.line == 2


@pytest.mark.parametrize("words", [[], (), iter(()), ""])
def test_a_list_without_a_word_is_called_that_and_nothing_else(words: Words) -> None:
    assert [problem.code for problem in approx.predict(SAMPLE, words).problems] == ["words.empty"]
    if not isinstance(words, str):
        assert [problem.code for problem in approx.suggest([], M12).problems] == ["words.empty"]
    assert not approx.words(M12, own=[], count=1).problems  # no words of one's own are no fault
