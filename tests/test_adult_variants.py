"""Adult speech is right: variants of adults, judged by hand, are accepted; the same changes elsewhere stay errors."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from approx.datafiles import read_tsv
from approx.ipa import Word, read
from approx.processes.accept import nearest_accepted
from approx.processes.accept_rules import load_accents

ROOT = Path(__file__).resolve().parent.parent
CASES = read_tsv(ROOT / "tests" / "data" / "adult_variants.tsv")
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


def test_words_that_meet_are_listed_as_not_written() -> None:
    """A rule sees one word: what needs two stands in the file with the reason, each form by name."""
    rows = tomllib.loads((ROOT / "rules" / "accents" / "casual.weak-forms.toml").read_text(encoding="utf-8"))
    listed = " ".join(row["variant"] for row in rows["not_written"])
    assert PHRASES
    assert [case["produced"] for case in PHRASES if case["produced"] not in listed] == []


def test_there_are_enough_of_both() -> None:
    assert sum(case["right"] == "yes" for case in WORDS) >= 60
    assert sum(case["right"] == "no" for case in WORDS) >= 30
    assert len({named(case) for case in CASES}) == len(CASES)
