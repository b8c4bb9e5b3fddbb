"""Readings of a word from the CMU dictionary: entries mended, in IPA, cut at the seam of a compound."""

from __future__ import annotations

from functools import lru_cache

from approx.lexicon.cmudict import entries, from_arpabet
from approx.lexicon.dictionary_quirks import has_full_prefix, tidied
from approx.lexicon.seams import second_part
from approx.lexicon.sounds import Sounds


@lru_cache(maxsize=4096)
def dictionary_readings(word: str) -> tuple[Sounds, ...]:
    """Every distinct reading of a lower-case word, the one to use first; () if there is none."""
    readings: dict[Sounds, None] = {}
    for symbols in tidied(word, entries(word)):
        sounds = from_arpabet(symbols)
        seam = second_part(word, symbols)
        phones = ("ʌ", *sounds.phones[1:]) if has_full_prefix(word, symbols) else sounds.phones
        readings[Sounds(phones, sounds.stress, (seam,) if seam else ())] = None
    return tuple(readings)
