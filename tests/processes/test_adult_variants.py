"""Adult speech is right: variants of adults, judged by hand, are accepted; the same changes elsewhere stay errors."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from approx.datafiles import read_tsv
from approx.ipa import Word, read
from approx.processes.accept.accept import nearest_accepted
from approx.processes.accept.accept_rules import load_accents

ROOT = Path(__file__).resolve().parents[2]
CASES = read_tsv(ROOT / "tests" / "data" / "adult_variants.tsv")
IN_REACH = [case for case in CASES if case["reach"] in ("word", "phrase")]
OPEN = [case for case in CASES if case["reach"] == "open"]


def named(case: dict[str, str]) -> str:
    return f"{case['variety'] or 'default'}-{case['target']}-{case['produced']}"


def form(text: str) -> Word:
    """One form; a phrase is cut where its words meet, as the words of one cell of a sample are."""
    reading = read(text.replace(" ", "."), "en-US")
    assert not reading.problems, text
    (word,) = reading.words
    return word


def accepted(case: dict[str, str]) -> bool:
    target, produced = form(case["target"]), form(case["produced"])
    found = nearest_accepted(target, produced, load_accents([case["variety"]] if case["variety"] else []))
    return found.word.phones == produced.phones


@pytest.mark.parametrize("case", IN_REACH, ids=named)
def test_right_in_an_adult_is_right_in_a_child_and_nothing_else(case: dict[str, str]) -> None:
    assert accepted(case) is (case["right"] == "yes")


def test_what_no_rule_can_say_yet_is_listed_with_the_reason() -> None:
    """A row that comes to be accepted moves up to those in reach, and its line in the rules goes."""
    rows = tomllib.loads((ROOT / "rules" / "accents" / "casual.weak-forms.toml").read_text(encoding="utf-8"))
    listed = {row["feature"]: row["variant"] for row in rows["not_written"]}
    assert [case["produced"] for case in OPEN if case["produced"] not in listed[case["feature"]]] == []
    assert [case["produced"] for case in OPEN if accepted(case)] == []


def test_there_are_enough_of_both() -> None:
    assert sum(case["right"] == "yes" for case in IN_REACH) >= 60
    assert sum(case["right"] == "no" for case in IN_REACH) >= 30
    assert len({named(case) for case in CASES}) == len(CASES)
