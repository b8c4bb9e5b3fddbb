"""Structure of words: shape, syllables, stress pattern, structure level of early forms; and what the forms of a sample come to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Set
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from approx.ipa.features import features, is_vowel, split
from approx.ipa.word import Word
from approx.scoring.alignment.costs import SYLLABIC, VOWEL, kind_of
from approx.scoring.judging.options import measure_data, primary


def shape_to_match(word: Word) -> str:
    """The shape in which l̩ and əl are the same: a syllabic consonant is VC."""
    return "".join([_SHAPES[kind_of(phone)] for phone in word.phones])


_SHAPES = ("C", "C", "VC", "V")


def syllable_count(word: Word) -> int:
    """Vowels and syllabic consonants.

    >>> from approx.ipa import read
    >>> [syllable_count(read(form).words[0]) for form in ("spun", "bəˈnænə", "ˈmɪdl̩")]
    [1, 3, 2]
    """
    return sum(kind_of(phone) in (VOWEL, SYLLABIC) for phone in word.phones)


def stress_pattern(word: Word) -> tuple[bool, ...]:
    """For each syllable whether it has main stress; without a mark the first has."""
    return tuple([degree == 1 for degree in word.stress])


NUCLEUS, NO_TRUE_CONSONANT = -1, 0
"""Kinds of sounds for the level; true consonants have numbers above, one for all that differ in voicing only."""
_KINDS: dict[tuple[int, ...], int] = {(): NO_TRUE_CONSONANT}


@lru_cache(maxsize=65536)
def structure_kind(phone: str) -> int:
    """What a sound is to the syllable structure level."""
    if kind_of(phone) in (VOWEL, SYLLABIC):
        return NUCLEUS
    return _KINDS.setdefault(_true_consonant(phone), len(_KINDS))


def level_of_kinds(kinds: Set[int]) -> int | None:
    """The syllable structure level, 1 to 3, of a form with these kinds of sounds; None without a vowel or syllabic consonant.

    1: a vowel or syllabic consonant alone, or consonants that are only glottal or glides. 2: one type of true consonant,
    voicing ignored. 3: two or more types that differ in place or manner.
    Source: Stoel-Gammon 1989; Paul & Jennings 1992, J Speech Hear Res 35:99-107 (from memory).

    >>> from approx.ipa import read
    >>> sounds = [read(form).words[0].phones for form in ("a", "wa", "ba", "ˈbaba", "bad", "dæt")]
    >>> [level_of_kinds(set(map(structure_kind, phones))) for phones in sounds]
    [1, 1, 2, 2, 3, 2]
    """
    if NUCLEUS not in kinds:
        return None
    return min(3, 1 + sum(kind > NO_TRUE_CONSONANT for kind in kinds))


@lru_cache(maxsize=1024)
def _true_consonant(phone: str) -> tuple[int, ...]:
    """Features of a consonant but for voicing; () for vowels, glottals and glides."""
    base, found = split(phone)[0], features(phone)
    if found is None or is_vowel(phone) or kind_of(phone) == SYLLABIC or base in ("h", "ɦ", "ʔ", "w", "j", "ʍ", "ɥ"):
        return ()
    return (*found[:8], *found[9:])


@lru_cache(maxsize=1024)
def class_of_eight(phone: str, language: str = "en-US") -> str | None:
    """early, middle or late; None for vowels, other sounds, and languages for which the classes are not defined.

    The class is the target's, not the production's. Source: Shriberg 1993, J Speech Hear Res 36:105-140.

    >>> [class_of_eight(phone) for phone in ("b", "t͡ʃ", "ɹ", "æ")]
    ['early', 'middle', 'late', None]
    """
    data = measure_data("classes_of_eight")
    if primary(language) not in data["languages"].split():
        return None
    for name in ("early", "middle", "late"):
        if phone in data[name].split():
            return name
    return None


FormKey = tuple[str, str, bool]
"""Name of a word across tokens; what was said, its sounds between blanks, allophones aside; whether it is right."""


class SaidWord(NamedTuple):
    """One word: its different forms (allophones are one form), its tokens, and whether it was ever right."""

    forms: int
    tokens: int
    right: bool


@dataclass(frozen=True, slots=True)
class ProductionSummary:
    """How words were said -> how many words were said so; how many of the different forms are of syllable structure
    level 1, 2 and 3."""

    words: Mapping[SaidWord, int] = field(default_factory=dict)
    levels: tuple[int, int, int] = (0, 0, 0)


def said_of(forms: Mapping[FormKey, int]) -> ProductionSummary:
    """The summary of some forms with how often each was said."""
    forms_of: dict[str, set[str]] = {}
    tokens: dict[str, int] = {}
    for (word, form, _), times in forms.items():
        forms_of.setdefault(word, set()).add(form)
        tokens[word] = tokens.get(word, 0) + times
    right = {word for word, _, is_right in forms if is_right}
    words = Counter([SaidWord(len(said), tokens[word], word in right) for word, said in forms_of.items()])
    levels = [0, 0, 0]
    for form in set().union(*forms_of.values()):
        level = level_of_kinds({structure_kind(phone) for phone in form.split()})
        if level:
            levels[level - 1] += 1
    return ProductionSummary(words, (levels[0], levels[1], levels[2]))
