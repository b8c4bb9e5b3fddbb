"""Endings of English words: how the stem is spelled once they are off, and how they sound on it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.pronunciation import WordSounds, from_phones, parse_ipa

BREATHED = frozenset({"p", "t", "k", "f", "θ", "s", "ʃ", "t͡ʃ", "h"})
HISSING = frozenset({"s", "z", "ʃ", "ʒ", "t͡ʃ", "d͡ʒ"})
DENTAL_STOPS = frozenset({"t", "d"})
_HARD_NG = frozenset({"long", "strong", "young"})  # with -er and -est they are said with ŋɡ
_VOWEL_LETTERS = "aeiouy"


class Ending(NamedTuple):
    """One row of `rules/lexicon/endings.tsv`; `sounds` has one form, or three for the stem's last sound."""

    spelling: str
    sounds: tuple[str, ...]
    undo: tuple[str, ...]
    floor: float
    keeps_schwa: bool


def stems(word: str) -> Iterator[tuple[str, Ending]]:
    """Every spelling the stem of a word may have, with the ending taken off it."""
    for ending in _endings():
        base = word.removesuffix(ending.spelling)
        if len(base) < 2 or base == word:
            continue
        for undo in ending.undo:
            stem = _restored(base, undo)
            if stem and _goes_with(stem, ending.spelling):
                yield stem, ending


def prefers_silent_e(stem: str) -> bool:
    """Whether a stem would have doubled its last letter: "hoping" is more likely from hope than from hop."""
    return (
        len(stem) > 2
        and stem[-1] not in "aeiouywxh"
        and stem[-2] in _VOWEL_LETTERS
        and stem[-3] not in _VOWEL_LETTERS
        and sum(letter in _VOWEL_LETTERS for letter in stem) == 1
    )


def attach(stem: WordSounds, spelling: str, ending: Ending) -> tuple[WordSounds, ...]:
    """The stem with its ending, usual form first. () if the stem has no sounds."""
    if not stem.phones:
        return ()
    if spelling in _HARD_NG and ending.spelling in ("er", "est"):
        stem = stem.with_ending(from_phones(["ɡ"]))
    tail = from_phones(parse_ipa(_form(stem, ending)).phones)
    whole = stem.with_ending(tail)
    if tail.vowels and stem.vowels > 1 and stem.phones[-2:] == ("ə", "l"):
        short = WordSounds((*stem.phones[:-2], "l"), (*stem.stress[:-2], None), stem.cuts).with_ending(tail)
        return (whole, short) if ending.keeps_schwa else (short, whole)
    return (whole,)


def _form(stem: WordSounds, ending: Ending) -> str:
    if len(ending.sounds) == 1:
        return ending.sounds[0]
    too_alike = HISSING if ending.sounds[0] == "s" else DENTAL_STOPS
    return ending.sounds[2 if stem.last in too_alike else 0 if stem.last in BREATHED else 1]


def _restored(base: str, undo: str) -> str:
    """The stem for one way of undoing, "" where that way does not fit."""
    if undo == "keep":
        return base
    if undo == "undouble":
        doubled = len(base) > 2 and base[-1] == base[-2] and base[-1] not in _VOWEL_LETTERS
        return base[:-1] if doubled else ""
    if undo == "e":
        return base + "e" if base[-1] not in "e" else ""
    return base + "y" if base[-1] not in _VOWEL_LETTERS else ""


def _goes_with(stem: str, ending: str) -> bool:
    """Spelling limits of -s and -es: no -s on a word in s, -es only after hissing letters and o."""
    if ending == "s":
        return not stem.endswith(("s", "'"))
    if ending == "es":
        return stem.endswith(("s", "z", "x", "ch", "sh", "o"))
    if ending == "'":
        return stem.endswith("s")
    return True


@cache
def _endings() -> tuple[Ending, ...]:
    return tuple(
        Ending(
            row["ending"],
            tuple(row["sounds"].split("|")),
            tuple(row["undo"].split(",")),
            float(row["floor"]),
            row["schwa"] == "kept",
        )
        for row in read_tsv(rules_path("lexicon/endings.tsv"))
    )
