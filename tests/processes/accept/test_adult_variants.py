"""Adult speech is right: variants of adults, judged by hand, are accepted; the same changes elsewhere stay errors."""

from __future__ import annotations

import pytest
from places import DATA

from approx.datafiles import read_tsv
from approx.ipa import Word, read
from approx.processes.accept.accept import nearest_accepted
from approx.processes.accept.accept_rules import load_accents
from approx.samples.cells.forms import joined_words

CASES = read_tsv(DATA / "adult_variants.tsv")


def named(case: dict[str, str]) -> str:
    return f"{case['variety'] or 'default'}-{case['target']}-{case['produced']}"


def form(text: str) -> Word:
    """One form; a phrase is cut where its words meet, as the words of one cell of a sample are."""
    reading = read(text, "en-US")
    assert not reading.problems, text
    return joined_words(reading.words, text.split())


def accepted(case: dict[str, str]) -> bool:
    target, produced = form(case["target"]), form(case["produced"])
    found = nearest_accepted(target, produced, load_accents([case["variety"]] if case["variety"] else []))
    return found.word.phones == produced.phones


@pytest.mark.parametrize("case", CASES, ids=named)
def test_right_in_an_adult_is_right_in_a_child_and_nothing_else(case: dict[str, str]) -> None:
    assert accepted(case) is (case["right"] == "yes")


@pytest.mark.parametrize(
    ("gloss", "target", "produced", "right"),
    [
        ("to", "tu", "tə", True),
        ("two", "tu", "tə", False),
        ("for", "fɔɹ", "fɚ", True),
        ("four", "fɔɹ", "fɚ", False),
        ("would", "wʊd", "wəd", True),
        ("wood", "wʊd", "wəd", False),
        ("two beds", "tu bɛdz", "tə bɛdz", False),
        ("whale", "weɪl", "ʍeɪl", True),
        ("wheat", "wit", "ʍit", True),
        ("week", "wik", "ʍik", False),
        ("", "wik", "ʍik", False),
        ("him", "hɪm", "ɪm", False),
        ("give him", "ɡɪv hɪm", "ɡɪv ɪm", True),
        ("big hit", "bɪɡ hɪt", "bɪɡ ɪt", False),
    ],
)
def test_spelling_tells_words_of_one_sound_apart(gloss: str, target: str, produced: str, right: bool) -> None:
    """Judged by hand: to has a weak form, two has none; wh- words are a matter of spelling."""
    found = nearest_accepted(form(target), form(produced), load_accents([]), gloss)
    assert (found.word.phones == form(produced).phones) is right


def test_there_are_enough_of_both() -> None:
    assert sum(case["right"] == "yes" for case in CASES) >= 60
    assert sum(case["right"] == "no" for case in CASES) >= 30
    assert len({named(case) for case in CASES}) == len(CASES)
