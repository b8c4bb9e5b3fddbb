"""Spanish reader: hand-judged words, letter rules, and what must hold for any text."""

from __future__ import annotations

import unicodedata

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st
from places import DATA

from approx.datafiles import read_tsv
from approx.lexicon.spanish.letters import read_spanish, spanish_syllables, unread

VOWELS = "aeiou"
SOUNDS = set("aeioujwbdɡptkfsθxʝmnɲlɾrʃ") | {"t͡ʃ"}


def wrong_rows(name: str, variety: str = "es-419") -> list[str]:
    """One line for every row of a table that is not read as judged, with file and line."""
    path = DATA / name
    lines = path.read_text(encoding="utf-8").splitlines()
    first = 2 + sum(line.startswith("#") for line in lines)
    return [
        f"{name}:{number}: {row['word']} read {read_spanish(row['word'], variety, dots=True)}, not {row['syllables']}"
        for number, row in enumerate(read_tsv(path), first)
        if read_spanish(row["word"], variety) != row["ipa"]
        or read_spanish(row["word"], variety, dots=True) != row["syllables"]
    ]


@pytest.mark.parametrize(
    ("name", "variety"),
    [("spanish_words.tsv", "es-419"), ("spanish_rules.tsv", "es-MX"), ("spanish_spain.tsv", "es-ES")],
)
def test_words_are_read_as_judged_by_hand(name: str, variety: str) -> None:
    wrong = wrong_rows(name, variety)
    assert not wrong, "\n".join(wrong)


def test_held_back_words_are_read_at_least_95_times_in_100() -> None:
    wrong = wrong_rows("spanish_held_back.tsv")
    assert len(wrong) <= 0.05 * len(read_tsv(DATA / "spanish_held_back.tsv")), "\n".join(wrong)


def test_a_form_keeps_its_reading_in_capitals_and_in_decomposed_letters() -> None:
    for row in read_tsv(DATA / "spanish_words.tsv"):
        word = row["word"]
        assert read_spanish(word.upper()) == row["ipa"], word
        assert read_spanish(unicodedata.normalize("NFD", word)) == row["ipa"], word


def test_seseo_is_a_switch() -> None:
    assert read_spanish("zapato", "es-ES") == "θaˈpato"
    assert read_spanish("zapato", "es-US") == "saˈpato"


def test_several_words_and_punctuation() -> None:
    assert read_spanish("¡Buenos días!") == "ˈbwenos ˈdias"
    assert read_spanish("  ") == ""
    assert spanish_syllables("zapato") == ("sa", "ˈpa", "to")


def test_what_cannot_be_read_is_empty_and_named() -> None:
    assert read_spanish("123") == ""
    assert read_spanish("猫") == ""
    assert unread("gato3 ¿猫?") == ("3", "猫")
    assert unread("¡Qué, niño-güero!") == ()


def test_letters_with_one_sound_keep_it_beside_each_other() -> None:
    """Letters with one reading, swapped one by one: words of two open syllables."""
    one_sound = {"b": "b", "d": "d", "f": "f", "k": "k", "l": "l", "m": "m", "n": "n", "p": "p", "s": "s", "t": "t",
                 "v": "b", "z": "s", "j": "x", "ñ": "ɲ"}  # fmt: skip
    for first, sound_1 in one_sound.items():
        for second, sound_2 in one_sound.items():
            word = f"{first}a{second}o"
            assert read_spanish(word) == f"ˈ{sound_1}a{sound_2}o", word


SPANISH_LETTERS = st.text(alphabet="abcdefghijklmnñopqrstuvwxyzáéíóúü-' ", max_size=14)


@examples(400)
@given(st.one_of(st.text(max_size=30), SPANISH_LETTERS))
def test_any_text_is_read_without_a_traceback_in_one_shape(text: str) -> None:
    ipa, dotted, syllables = read_spanish(text), read_spanish(text, dots=True), spanish_syllables(text)
    assert ipa.replace(" ", "") == "".join(syllables)
    assert dotted.replace(".", "") == ipa
    bare = ipa.replace("t͡ʃ", "C").replace("ˈ", "").replace("ˌ", "").replace(" ", "")
    assert set(bare) <= SOUNDS | {"C"}
    assert all(syllable.strip("ˈˌ") for syllable in syllables)


@examples(300)
@given(st.text(alphabet="abcdefghijlmnñoprstuvyzáéíóú", min_size=1, max_size=12))
def test_a_word_of_several_syllables_has_one_main_stress(word: str) -> None:
    ipa, syllables = read_spanish(word), spanish_syllables(word)
    vowels = sum(any(vowel in syllable for vowel in VOWELS) for syllable in syllables)
    assert ipa.count("ˈ") == (1 if len(syllables) > 1 and vowels else 0)


@examples(200)
@given(SPANISH_LETTERS)
def test_capitals_and_decomposed_letters_change_nothing(text: str) -> None:
    ipa = read_spanish(text)
    assert read_spanish(text.upper()) == ipa
    assert read_spanish(unicodedata.normalize("NFD", text)) == ipa
