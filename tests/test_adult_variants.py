"""Adult speech is right: variants of adults, judged by hand, are accepted; the same changes elsewhere stay errors."""

from __future__ import annotations

from pathlib import Path

import pytest

from approx.datafiles import read_tsv
from approx.ipa import Word, read
from approx.processes.accept import nearest_accepted
from approx.processes.accept_rules import load_accents

CASES = read_tsv(Path(__file__).parent / "data" / "adult_variants.tsv")
WORDS = [case for case in CASES if case["reach"] == "word"]
PHRASES = [case for case in CASES if case["reach"] == "phrase"]


def named(case: dict[str, str]) -> str:
    return f"{case['variety'] or 'default'}-{case['target']}-{case['produced']}"


def only(text: str) -> Word:
    reading = read(text, "en-US")
    assert not reading.problems, text
    (word,) = reading.words
    return word


@pytest.mark.parametrize("case", WORDS, ids=named)
def test_right_in_an_adult_is_right_in_a_child_and_nothing_else(case: dict[str, str]) -> None:
    target, produced = only(case["target"]), only(case["produced"])
    found = nearest_accepted(target, produced, load_accents([case["variety"]] if case["variety"] else []))
    assert (found.word.phones == produced.phones) is (case["right"] == "yes"), found


@pytest.mark.parametrize("case", PHRASES, ids=named)
@pytest.mark.xfail(strict=True, reason="a rule sees one word")
def test_words_that_meet(case: dict[str, str]) -> None:
    target, produced = only(case["target"]), only(case["produced"])
    assert nearest_accepted(target, produced, load_accents()).word.phones == produced.phones


def test_there_are_enough_of_both() -> None:
    assert sum(case["right"] == "yes" for case in WORDS) >= 60
    assert sum(case["right"] == "no" for case in WORDS) >= 30
    assert len({named(case) for case in CASES}) == len(CASES)
