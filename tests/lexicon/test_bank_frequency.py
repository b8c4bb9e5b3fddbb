"""Frequencies of the bank's words: in step with the bank, and as the source gives them."""

from __future__ import annotations

import pytest

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.frequency import BANKS, bank_frequencies, zipf
from approx.practice.words.word_bank import load_bank, use_of

FROM_WORDFREQ = {
    "en": {"mommy": 3.89, "doggie": 3.0, "horsie": 1.41, "banana": 4.0, "more": 6.36},
    "es": {"mamá": 5.01, "agua": 5.49, "pelota": 4.37, "más": 6.63},
}
"""Values of wordfreq 3.1.1, `zipf_frequency(word, language)`, asked by hand."""


def test_every_word_of_the_banks_has_its_row_and_no_other() -> None:
    rows = read_tsv(rules_path("lexicon/bank_frequency.tsv"))
    for bank in BANKS:
        words = [row["word"] for row in read_tsv(rules_path(f"lexicon/{bank}.tsv"))]
        assert [row["word"] for row in rows if row["bank"] == bank] == list(dict.fromkeys(words))


def test_values_are_those_of_the_source() -> None:
    for bank, values in FROM_WORDFREQ.items():
        assert {word: bank_frequencies(bank)[word] for word in values} == values


def test_it_agrees_with_the_large_english_table() -> None:
    table = bank_frequencies("en")
    both = [(word, value, zipf(word)) for word, value in table.items() if zipf(word)]
    assert len(both) > 1800
    assert [word for word, small, large in both if abs(small - large) > 0.011] == []


def test_every_bank_word_is_read_whole_and_has_a_use() -> None:
    for language in ("en-US", "es-MX"):
        bank = load_bank(language)
        assert len(bank) == len(read_tsv(rules_path(f"lexicon/{language[:2]}.tsv")))
        forms = [row["ipa"] for row in read_tsv(rules_path(f"lexicon/{language[:2]}.tsv"))]
        assert [word.adult.ipa for word in bank] == forms
        assert all(0 <= word.use <= 1.25 for word in bank)
    assert load_bank("deu-Latn") == ()


def test_every_word_needed_all_day_is_in_its_bank() -> None:
    from approx.practice.words.word_weights import needed

    for bank in BANKS:
        words = {row["word"] for row in read_tsv(rules_path(f"lexicon/{bank}.tsv"))}
        assert needed(bank) and needed(bank) <= words


def test_use_by_hand() -> None:
    """Hand-worked from rules/words.toml: zipf 3.25 is half way from 2.0 to 4.5, a fifth of that for a word that is none of most
    weeks; a tool counts 0.7 of it. A word said in most weeks counts 1, a preposition 0.8 of it."""
    assert use_of("hoe", "noun", "tools", 3.25) == pytest.approx(0.07)
    assert use_of("under", "preposition", "where words", 3.25) == 0.8
    assert use_of("xyzzy", "noun", "toys", 1.0) == 0.0
    assert use_of("xyzzy", "noun", "toys", 7.0) == pytest.approx(0.4)
    assert use_of("more", "determiner", "numbers", 1.0) > 1
    assert use_of("más", "adverb", "numbers", 1.0, bank="es") > 1 >= use_of("más", "adverb", "numbers", 7.0, bank="en")
