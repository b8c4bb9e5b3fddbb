"""English words: the order of sources, the quirks of the dictionary, homographs, signs."""

from __future__ import annotations

import pytest
from places import DATA

from approx.datafiles import read_tsv
from approx.lexicon import pronunciations
from approx.lexicon.pronunciation import SOURCES

WORDS = read_tsv(DATA / "english_words.tsv")


@pytest.mark.parametrize("row", WORDS, ids=[row["word"] for row in WORDS])
def test_first_reading_and_its_source(row: dict[str, str]) -> None:
    first = pronunciations(row["word"])[0]
    assert (first.ipa, first.source) == (row["ipa"], row["source"]), row["why"]
    assert first.sure
    assert first.source in SOURCES


@pytest.mark.parametrize(
    ("word", "others"),
    [("read", "ɹɛd"), ("live", "laɪv"), ("tear", "tɪɹ"), ("bow", "baʊ"), ("close", "kloʊs"), ("dove", "doʊv")],
)
def test_homographs_offer_both_readings(word: str, others: str) -> None:
    assert [reading.ipa for reading in pronunciations(word)][1:] == [others]


def test_every_child_word_is_read() -> None:
    words = [row["word"] for row in read_tsv(DATA / "child_words.tsv")]
    assert len(words) == 925
    assert [word for word in words if not pronunciations(word)] == []


def test_readings_are_distinct_and_without_breathed_w() -> None:
    for row in read_tsv(DATA / "child_words.tsv"):
        forms = [reading.ipa for reading in pronunciations(row["word"])]
        assert len(forms) == len(set(forms)), row["word"]
        assert not any("hw" in form for form in forms), row["word"]


def test_stress_is_marked_in_longer_words_only() -> None:
    assert pronunciations("book")[0].ipa == "bʊk"
    assert pronunciations("cookie")[0].ipa == "ˈkʊki"


@pytest.mark.parametrize("word", ["🙂", "21", "1000", "", " ", "...", "猫", "/", "мама"])
def test_what_cannot_be_read_gives_nothing(word: str) -> None:
    assert pronunciations(word) == ()


def test_numbers_to_twenty_and_round_tens_are_words() -> None:
    assert pronunciations("0")[0].ipa == "ˈzɪɹoʊ"
    assert pronunciations("17")[0].ipa == pronunciations("seventeen")[0].ipa
    assert pronunciations("60")[0].ipa == pronunciations("sixty")[0].ipa
    assert all(pronunciations(str(number)) for number in [*range(21), 30, 40, 50, 70, 80, 90, 100])


def test_typing_habits_make_no_difference() -> None:
    assert pronunciations("don’t") == pronunciations("don't") == pronunciations(" DON'T ")
    assert pronunciations("café")[0].ipa == "kəˈfeɪ"


def test_other_languages_go_to_their_own_reader() -> None:
    assert pronunciations("casa", "es-419")[0].source == "spanish rules"
    assert pronunciations("7", "es")[0].ipa == pronunciations("siete", "es")[0].ipa
    assert pronunciations("wort", "xx") == ()
    assert not pronunciations("caжa", "es")[0].sure
