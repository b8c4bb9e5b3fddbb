"""Figures that others have worked out and printed, each with where it was read; and how many there are."""

from __future__ import annotations

import csv

import pytest
from places import DATA
from scoring_options import options_with

from approx.datafiles import read_tsv
from approx.ipa import read
from approx.ipa.features import is_vowel
from approx.scoring.agreement import kappa
from approx.scoring.measures.accuracy import count_pairs, pcc
from approx.scoring.measures.intervals import Moments, exact, of_sounds, student
from approx.scoring.measures.whole_word import pwp

Row = dict[str, str]
FIGURES = read_tsv(DATA / "intervals_published.tsv")


def of_kind(kind: str) -> list[Row]:
    return [row for row in FIGURES if row["figure"] == kind]


def places(text: str) -> float:
    """Half a unit of the last digit printed; no finer than the numerical root that made it (1e-8)."""
    return max(0.51 * 10.0 ** -len(text.partition(".")[2]), 2e-8)


def told(row: Row) -> str:
    return f"{row['hits']} {row['out_of']} {row['of']}".strip()


@pytest.mark.parametrize("row", of_kind("exact"), ids=told)
def test_exact_intervals(row: Row) -> None:
    found = exact(int(row["hits"]), int(row["out_of"]))
    assert found is not None
    assert found.low / 100 == pytest.approx(float(row["low"]), abs=places(row["low"]))
    assert found.high / 100 == pytest.approx(float(row["high"]), abs=places(row["high"]))


@pytest.mark.parametrize("row", of_kind("wilson"), ids=told)
def test_score_intervals_of_sounds_that_do_not_come_in_clusters(row: Row) -> None:
    """One word that holds them all, so that no design effect is seen; where all or none are right, a word each."""
    hits, out_of = int(row["hits"]), int(row["out_of"])
    words = out_of if hits in (0, out_of) else 1
    found = of_sounds(Moments(words, hits, out_of, hits * hits, hits * out_of, out_of * out_of))
    assert found.low / 100 == pytest.approx(float(row["low"]), abs=places(row["low"]))
    assert found.high / 100 == pytest.approx(float(row["high"]), abs=places(row["high"]))


@pytest.mark.parametrize("row", of_kind("t"), ids=told)
def test_the_table_of_t(row: Row) -> None:
    assert student(float(row["of"]), int(row["hits"])) == pytest.approx(float(row["low"]), abs=places(row["low"]))


@pytest.mark.parametrize("row", of_kind("kappa"), ids=told)
def test_kappa_of_worked_examples(row: Row) -> None:
    both, one, other, neither = map(int, row["hits"].split())
    assert kappa(both, one, other, neither) == pytest.approx(float(row["low"]), abs=places(row["low"]))


SAID = [
    ("spun", "pun"),
    ("kæt", "tæ"),
    ("bəˈnænə", "ˈnænə"),
    ("fɪʃ", "pɪt"),
    ("ˈɛləfənt", "ˈɛfə"),
    ("mi", "mi"),
    ("blu", "bu"),
]


@pytest.mark.parametrize("number", range(2, len(SAID) + 1))
def test_proximity_follows_from_consonants_right_and_sounds_left_off(number: int) -> None:
    """Without sounds added, PWP of a sample is fixed by the proportions of consonants right (PCC), of sounds left off (PPD)
    and of consonants among the sounds aimed at (PC), PCC and PPD weighing alike but for PC: Babatsouli, Ingram &
    Sotiropoulos 2011, 2014 (read in the abstract of their later paper on how much phones weigh; written out here)."""
    pairs = SAID[:number]
    counts = count_pairs(pairs, options_with(runs="every"))
    words = [(read(one).words[0].phones, read(other).words[0].phones) for one, other in pairs]
    aimed = sum(len(one) for one, _ in words)
    consonants = sum(not is_vowel(phone) for one, _ in words for phone in one) / aimed
    left_off = sum(len(one) - len(other) for one, other in words) / aimed
    right = (pcc(counts).value or 0.0) / 100
    expected = (1 - left_off + consonants * right) / (1 + consonants)
    assert pwp(counts).value == pytest.approx(expected)


def outside() -> dict[str, int]:
    """How many expected values of each file somebody else has printed (an end of an interval that is 0 or 1 by itself is
    none; a value worked out here from a printed rule is none)."""
    with (DATA / "worked_examples.csv").open(encoding="utf-8", newline="") as lines:
        numbers = ("found in text (number)", "found in text (bands)", "found in text (lists", "found in text (cut-off)")
        examples = [row["provenance"] for row in csv.DictReader(lines)]
    ends = [end for row in FIGURES for end in (row["low"], row["high"]) if end not in ("", "0", "1")]
    return {
        "worked_examples.csv": sum(any(number in text for number in numbers) for text in examples),
        "overlap_published.tsv": len(read_tsv(DATA / "overlap_published.tsv")),
        "intervals_published.tsv": len(ends),
    }


def test_a_hundred_expected_values_come_from_outside() -> None:
    found = outside()
    assert sum(found.values()) >= 100, found
    assert all(row["source"].strip() for row in FIGURES)
