"""Where syllables begin: hand-cut words, an obvious twin, written cuts, and stress put back into text."""

from __future__ import annotations

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st
from places import DATA
from slow_syllables import LEGAL_ENGLISH, slow_starts

from approx.datafiles import read_tsv
from approx.ipa import Word, read
from approx.ipa.language import language
from approx.ipa.syllables import place_stress, syllable_starts

FILE = DATA / "syllables.tsv"
ENGLISH = language("en-US")
VOWELS = set(ENGLISH.vowels)
LEGAL_SPANISH = {tuple(onset) for onset in language("es").onsets}


def cut(word: Word) -> str:
    """The sounds of a word with a dot between syllables."""
    ends = (*word.starts[1:], len(word.phones))
    return ".".join("".join(word.phones[a:b]) for a, b in zip(word.starts, ends, strict=True))


@pytest.mark.parametrize(("tag", "words", "allowed"), [("en-US", 70, 1), ("es", 30, 0)])
def test_words_are_cut_as_by_hand(tag: str, words: int, allowed: int) -> None:
    rows = [row for row in read_tsv(FILE) if row["language"] == tag]
    wrong = [
        f"{row['word']}: {found}, by hand {row['syllables']}"
        for row in rows
        if (found := cut(read(row["typed"], tag).words[0])) != row["syllables"]
    ]
    assert len(rows) == words
    assert len(wrong) <= allowed, "\n".join(wrong)


@examples(250)
@given(st.lists(st.sampled_from([*ENGLISH.vowels, *ENGLISH.consonants, "ʔ", "x"]), max_size=12))
def test_the_cut_is_the_longest_legal_onset_of_an_obvious_twin(phones: list[str]) -> None:
    assert syllable_starts(phones) == slow_starts(phones, VOWELS, LEGAL_ENGLISH)


@examples(250)
@given(st.lists(st.sampled_from("aeiou" * 2 + "pbtdkɡfsxmnɲlɾrwj"), max_size=12))
def test_spanish_against_the_same_twin(phones: list[str]) -> None:
    found = syllable_starts(phones, (), language("es"))
    assert found == slow_starts(phones, "aeiou", LEGAL_SPANISH, never_first=())


@examples(250)
@given(
    st.lists(st.sampled_from([*ENGLISH.vowels, *ENGLISH.consonants]), min_size=1, max_size=10),
    st.sets(st.integers(0, 10)),
)
def test_a_written_cut_wins_wherever_it_leaves_each_syllable_its_vowel(phones: list[str], cuts: set[int]) -> None:
    starts = syllable_starts(phones, cuts)
    nuclei = [at for at, phone in enumerate(phones) if phone in VOWELS]
    free = slow_starts(phones, VOWELS, LEGAL_ENGLISH)
    assert len(starts) == len(free)
    for start, plain, left, right in zip(starts[1:], free[1:], nuclei, nuclei[1:], strict=False):
        written = {at for at in cuts if left < at <= right}
        assert start == (max(written) if written else plain)


def test_a_form_without_a_vowel_is_one_syllable() -> None:
    assert syllable_starts(["ʃ"]) == (0,)
    assert syllable_starts(["p", "s", "t"]) == (0,)
    assert syllable_starts([]) == ()


def test_an_unidentified_vowel_makes_a_syllable() -> None:
    assert syllable_starts(["C", "V", "C", "V"]) == (0, 2)


def test_ng_never_opens_a_syllable() -> None:
    assert cut(read("sɪŋɪŋ").words[0]) == "sɪŋ.ɪŋ"


@pytest.mark.parametrize(
    ("phones", "stress", "cuts", "text"),
    [
        ("b ʌ n i", "- 1 - 0", (), "ˈbʌni"),
        ("b ə n æ n ə", "- 0 - 1 - 0", (), "bəˈnænə"),
        ("t i p ɑ t", "- 1 - 2 -", (2,), "ˈtiˌpɑt"),
        ("b æ θ ɹ u m", "- 1 - - 0 -", (3,), "ˈbæθ.ɹum"),
        ("b æ θ ɹ u m", "- 1 - - 2 -", (3,), "ˈbæθˌɹum"),
        ("s p u n", "- - 1 -", (), "spun"),
        ("ʃ", "-", (), "ʃ"),
    ],
)
def test_stress_is_written_before_the_syllable_of_its_vowel(
    phones: str, stress: str, cuts: tuple[int, ...], text: str
) -> None:
    degrees = [None if sign == "-" else int(sign) for sign in stress.split()]
    assert place_stress(phones.split(), degrees, cuts) == text


@examples(250)
@given(st.lists(st.sampled_from([*ENGLISH.vowels, *ENGLISH.consonants]), min_size=1, max_size=9), st.data())
def test_stress_put_into_text_is_read_back(phones: list[str], data: st.DataObject) -> None:
    degrees = [data.draw(st.sampled_from([0, 1, 2])) if phone in VOWELS else None for phone in phones]
    starts = slow_starts(phones, VOWELS, LEGAL_ENGLISH)
    cuts = data.draw(st.sets(st.integers(1, len(phones))))
    word = read(place_stress(phones, degrees, tuple(cuts))).words[0]
    heard = [degree for degree in degrees if degree is not None]
    if word.phones == tuple(phones) and len(starts) > 1 and 1 in heard:
        assert word.starts == syllable_starts(phones, cuts)
        assert list(word.stress) == heard
