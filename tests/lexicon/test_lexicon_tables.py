"""The files behind the look-ups: sorted, complete, and in step with the reader."""

from __future__ import annotations

import random
import subprocess
import sys
from collections import defaultdict

import pytest

from approx.datafiles import read_tsv, rules_path
from approx.lexicon import pronunciations
from approx.lexicon.english.dictionary import entries, from_arpabet
from approx.lexicon.frequency import zipf
from approx.lexicon.homophones import sound_alikes, sounds_only
from approx.lexicon.pronunciation import parse_ipa
from approx.lexicon.sorted_file import word_set

SAMPLE = 500
FROM_WORDFREQ = (5.1, 7.73, 4.0, 2.79)


@pytest.fixture(scope="module")
def dictionary() -> dict[str, list[list[str]]]:
    """The slow twin: the whole file read into memory."""
    table: dict[str, list[list[str]]] = defaultdict(list)
    for line in rules_path("lexicon/cmudict.dict").read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            head, *symbols = line.split(" #")[0].split()
            table[head.split("(")[0]].append(symbols)
    return table


@pytest.mark.slow
def test_bisecting_finds_what_reading_everything_finds(dictionary: dict[str, list[list[str]]]) -> None:
    words = sorted(dictionary)
    chosen = [*words[:40], *words[-40:], *random.Random(4).sample(words, 4000)]
    assert [word for word in chosen if entries(word) != dictionary[word]] == []
    absent = [word + "q" for word in chosen if word + "q" not in dictionary]
    assert [word for word in absent if entries(word)] == []
    assert [entries(word) for word in ("", "'", "a(2)", "zzzzzz", "é")] == [[]] * 5


def test_every_symbol_of_the_dictionary_has_an_ipa(dictionary: dict[str, list[list[str]]]) -> None:
    symbols = sorted({symbol for readings in dictionary.values() for reading in readings for symbol in reading})
    assert len(from_arpabet(symbols).phones) == len(symbols)
    assert len(symbols) > 60


def test_the_frequency_table_finds_what_reading_it_finds() -> None:
    rows = read_tsv(rules_path("lexicon/frequency.tsv"))
    assert [row["word"].encode() for row in rows] == sorted(row["word"].encode() for row in rows)
    for row in random.Random(5).sample(rows, SAMPLE):
        assert zipf(row["word"]) == float(row["zipf"]) >= 2.0
    assert zipf("zibby") == 0.0


def test_frequencies_are_those_of_their_source() -> None:
    """Values of wordfreq 3.1.1, `zipf_frequency(word, "en")`."""
    assert (zipf("dog"), zipf("the"), zipf("banana"), zipf("tricycle")) == FROM_WORDFREQ


def test_homophones_agree_with_the_reader() -> None:
    rows = read_tsv(rules_path("lexicon/homophones.tsv"))
    for row in random.Random(6).sample(rows, SAMPLE):
        assert row["ipa"] in {reading.ipa for reading in pronunciations(row["word"])}, row["word"]
        assert row["sounds"] == sounds_only(row["ipa"])
    words = {row["word"] for row in rows}
    common = [row["word"] for row in read_tsv(rules_path("lexicon/frequency.tsv")) if float(row["zipf"]) >= 3.0]
    for word in random.Random(7).sample(common, SAMPLE):
        assert word in words
        for reading in pronunciations(word):
            assert word in {other.word for other in sound_alikes(reading.ipa)}


def test_words_that_sound_alike_come_commonest_first() -> None:
    assert list(dict.fromkeys(alike.word for alike in sound_alikes("ti")))[:2] == ["t", "tea"]
    assert "too" in [alike.word for alike in sound_alikes("tu")]
    assert "two" in [alike.word for alike in sound_alikes("tu")]
    assert sound_alikes("ˈwɑpəpə") == ()
    assert "bucket" in [alike.word for alike in sound_alikes("ˈbʌkət")]


def test_the_shipped_list_is_complete_and_readable() -> None:
    rows = read_tsv(rules_path("lexicon/english_list.tsv"))
    known = {row["ipa"] for row in read_tsv(rules_path("lexicon/arpabet.tsv"))} | {"ʔ", "m̩"}
    assert len({row["word"] for row in rows}) == len(rows) > 200
    for row in rows:
        assert row["why"].strip(), row["word"]
        assert row["word"] == row["word"].lower()
        for ipa in row["ipa"].split("|"):
            sounds = parse_ipa(ipa)
            assert set(sounds.phones) <= known, row["word"]
            assert sounds.ipa() == ipa, row["word"]


def test_grammar_words_and_parts_are_readable() -> None:
    for row in read_tsv(rules_path("lexicon/function_words.tsv")):
        for ipa in [*row["strong"].split("|"), *filter(None, row["weak"].split("|"))]:
            assert parse_ipa(ipa).vowels >= 1, row["word"]
    assert {"the", "any", "ton"} <= word_set("never_parts")


def test_reading_a_word_loads_nothing_heavy() -> None:
    code = (
        "import sys; from approx.lexicon import pronunciations, read_phrase;"
        "pronunciations('giraffe'); pronunciations('snorple'); read_phrase('the dog');"
        "print([m for m in ('pandas', 'numpy', 'wordfreq', 'epitran', 'panphon', 'platformdirs') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
