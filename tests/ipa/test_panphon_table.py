"""Segments outside of our own table come from panphon; its whole table can be typed; the check-up compares the two."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest

from approx.ipa import features as ft
from approx.ipa import read
from approx.ipa.panphon_table import TONES, panphon_segments
from approx.processes.doctor import panphon_remarks

CACHED = (ft.base_features, ft.features, ft.split, ft._parts, ft.is_vowel, ft.is_nucleus, ft.bare)
MISSING = ("ɧ", "ʘ", "ɶ")
"""A fricative, a click and a vowel that the test takes out of our table."""


@pytest.fixture
def smaller_table(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Our table without some symbols."""
    kept = {symbol: values for symbol, values in ft.bases().items() if not set(symbol) & set(MISSING)}
    for each in CACHED:
        each.cache_clear()
    monkeypatch.setattr(ft, "bases", lambda: kept)
    yield
    monkeypatch.undo()
    for each in CACHED:
        each.cache_clear()


@cache
def panphons_own() -> Any:
    """Panphon's own table, which takes long to build."""
    from panphon import FeatureTable

    return FeatureTable()


def oracle(segment: str) -> tuple[int, ...]:
    """Features by panphon's own function."""
    return tuple(panphons_own().fts(segment).numeric())


@pytest.mark.parametrize("symbol", MISSING)
def test_a_sound_our_table_lacks_is_typed_and_has_panphons_features(symbol: str, smaller_table: None) -> None:
    assert symbol not in ft.bases()
    for form in (symbol, f"{symbol}ː"):
        assert ft.features(form) == oracle(form), form
    reading = read(f"m{symbol}a" if symbol != "ɶ" else f"m{symbol}t")
    assert not reading.problems and symbol in reading.words[0].phones
    assert ft.is_vowel(symbol) == (symbol == "ɶ")


def test_what_neither_table_has_stays_an_error(smaller_table: None) -> None:
    for symbol in ("☃", "д", "漢"):
        assert ft.features(symbol) is None
        assert [problem.symbol for problem in read(f"ma{symbol}").problems] == [symbol]


@pytest.mark.slow
def test_every_segment_of_panphon_can_be_typed() -> None:
    """6,357 segments; each is read as one sound, without a problem."""
    assert len(panphon_segments()) > 6000
    wrong = []
    for segment in panphon_segments():
        reading = read(segment)
        phones = [phone for word in reading.words for phone in word.phones]
        if any(problem.fatal for problem in reading.problems) or len(phones) != 1:
            wrong.append(segment)
    assert not wrong


@pytest.mark.parametrize("tone", TONES)
def test_a_tone_letter_is_no_segment(tone: str) -> None:
    """Named with the way out, and the rest is read."""
    reading = read(f"ma{tone}")
    assert [(problem.code, problem.symbol) for problem in reading.problems] == [("ipa.tone", tone)]
    assert reading.words[0].phones == ("m", "a") and tone not in panphon_segments()


def test_the_check_up_finds_no_difference_and_would(monkeypatch: pytest.MonkeyPatch) -> None:
    assert list(panphon_remarks()) == []
    changed = {name: dict(values) for name, values in panphon_segments().items()}
    changed["s"]["voi"] = 1
    changed["☃"] = changed["s"]
    monkeypatch.setattr("approx.ipa.panphon_table.panphon_segments", lambda: changed)
    said = [problem.message for problem in panphon_remarks()]
    assert len(said) == 2 and "'s' differs in voi" in said[0] and "'☃' is not in our table" in said[1]
    assert not any(problem.fatal for problem in panphon_remarks())
