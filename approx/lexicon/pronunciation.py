"""One reading of one word, with where it came from; as a row of segments with stress, so that endings and second parts can be put
on it; and when two readings count as one.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import NamedTuple

from approx.ipa.syllables import place_stress

SOURCES = (
    "own words",
    "weak form",
    "strong form",
    "word list",
    "name list",
    "dictionary",
    "word form",
    "compound",
    "reader",
    "spelling rules",
    "typed",
    "spanish rules",
    "epitran",
)
"""Every value `Pronunciation.source` can have, the surest of the English chain first."""
DIPHTHONGS = frozenset({"eɪ", "oʊ", "aɪ", "aʊ", "ɔɪ"})
VOWEL_SYMBOLS = frozenset("iyɨʉɯuɪʏʊeøɘɵɤoəɚɛœɜɝɞʌɔæɐaɶɑɒ")
_TIES = "\u0361\u035c"
_SYLLABIC = "\u0329"
_MARKS = {"ˈ": 1, "'": 1, "ˌ": 2, ".": None}


@dataclass(frozen=True, slots=True)
class Pronunciation:
    """How a word is said.

    `ipa` has stress marks only in words of two or more syllables. `source` is one of `SOURCES`.
    `sure` is False where the reading was worked out and should be checked by a person; `note` then says how.
    """

    ipa: str
    source: str
    sure: bool
    note: str = ""


class WordSounds(NamedTuple):
    """Segments of a word; `stress` is None for a consonant and 0, 1 or 2 for a vowel.

    `cuts` are indexes of segments that must begin a syllable (the boundaries of a compound).
    """

    phones: tuple[str, ...]
    stress: tuple[int | None, ...]
    cuts: tuple[int, ...] = ()

    def ipa(self) -> str:
        """The word in IPA, stress marked where it has two syllables or more."""
        return place_stress(self.phones, self.stress, self.cuts)

    @property
    def last(self) -> str:
        """The last segment, "" for no sounds at all."""
        return self.phones[-1] if self.phones else ""

    @property
    def vowels(self) -> int:
        """Number of vowels."""
        return sum(level is not None for level in self.stress)

    def with_ending(self, ending: WordSounds) -> WordSounds:
        """The word with an ending that carries no stress."""
        return WordSounds(self.phones + ending.phones, self.stress + ending.stress, self.cuts)

    def with_word(self, word: WordSounds) -> WordSounds:
        """A prefix before a word, whose syllables and stress stay as they are."""
        boundary = len(self.phones)
        cuts = (*self.cuts, boundary, *(boundary + cut for cut in word.cuts))
        return WordSounds(self.phones + word.phones, self.stress + word.stress, cuts)

    def with_second(self, second: WordSounds) -> WordSounds:
        """A compound: this word keeps its stress, the second is secondary and begins a syllable."""
        boundary = len(self.phones)
        weaker = tuple(2 if level == 1 else level for level in second.stress)
        cuts = (*self.cuts, boundary, *(boundary + cut for cut in second.cuts))
        return WordSounds(self.phones + second.phones, self.stress + weaker, cuts)


def from_phones(phones: list[str] | tuple[str, ...], stress: int = 0) -> WordSounds:
    """Sounds from segments alone, each vowel with the same stress."""
    return WordSounds(tuple(phones), tuple([stress if is_vowel_segment(phone) else None for phone in phones]))


def is_vowel_segment(phone: str) -> bool:
    """Whether a segment is a vowel, by its first letter."""
    return phone[:1] in VOWEL_SYMBOLS


def _belongs_to(phone: str, char: str, joined: bool) -> bool:
    """Whether a character goes on with a segment: after a tie bar, as a mark, as half of a diphthong."""
    mark = phone[-1] in _TIES or unicodedata.category(char) in ("Mn", "Lm", "Sk")
    return mark or (joined and phone + char in DIPHTHONGS)


def parse_ipa(text: str) -> WordSounds:
    """Sounds of an IPA word as typed, for use as a stem. Other marks stay with the segment before them.

    A word with a single vowel has its stress there, marked or not.
    """
    phones: list[str] = []
    stress: list[int | None] = []
    cuts: list[int] = []
    waiting = 0
    joined = True  # a mark between two vowel letters keeps them apart
    for char in unicodedata.normalize("NFD", text):
        if char in _MARKS or char.isspace():
            waiting = _MARKS.get(char) or waiting
            if phones and len(phones) not in cuts:
                cuts.append(len(phones))
            joined = False
        elif phones and _belongs_to(phones[-1], char, joined):
            phones[-1] += char
            if char == _SYLLABIC:
                stress[-1], waiting = waiting, 0
        else:
            vowel = char in VOWEL_SYMBOLS
            phones.append(char)
            stress.append(waiting if vowel else None)
            waiting = 0 if vowel else waiting
            joined = True
    if sum(level is not None for level in stress) == 1:
        stress = [None if level is None else 1 for level in stress]
    # a single character stays itself
    whole = [phone if len(phone) == 1 else unicodedata.normalize("NFC", phone) for phone in phones]
    return WordSounds(tuple(whole), tuple(stress), tuple(cuts))


_SAME = {"ɔ": "ɑ", "ɪ": "ə", "ʌ": "ə", "ɾ": "t", "ʍ": "w"}
_R_COLOURED = {"ɝ": ("ə", "ɹ"), "ɚ": ("ə", "ɹ")}
_BEFORE_R = {"i": "ɪ", "u": "ʊ", "oʊ": "ɑ", "æ": "ɛ", "eɪ": "ɛ"}


def same_segments(one: WordSounds, other: WordSounds) -> bool:
    """Whether two readings have the same segments, leaving aside stress and what listeners seldom hear apart.

    Counted as equal: cot and caught, unstressed ɪ and ə, ʌ and ə, vowels before ɹ, w and hw, flap and t.
    """
    return one.phones == other.phones or _folded(one) == _folded(other)


def _folded(sounds: WordSounds) -> tuple[str, ...]:
    flat = [part for phone in sounds.phones for part in _R_COLOURED.get(phone, (phone,))]
    out: list[str] = []
    for phone, following in zip(flat, [*flat[1:], ""]):
        if is_vowel_segment(phone) and following == "ɹ":
            out.append(_SAME.get(_BEFORE_R.get(phone, phone), phone))
        else:
            out.append(_SAME.get(phone, phone))
    return tuple(out)
