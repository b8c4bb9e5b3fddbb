"""What is written down about an English word: grammar words, shipped list, CMU dictionary, in this order."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from approx.lexicon.english.dictionary import dictionary_readings
from approx.lexicon.frequency import zipf
from approx.lexicon.pronunciation import Pronunciation, WordSounds, parse_ipa
from approx.lexicon.word_lists import function_word, listed_readings, name_reading

RECORDED = frozenset({"strong form", "word list", "name list", "dictionary"})
ALWAYS_KNOWN = 9.0
"""Weight of a word of one's own or of the shipped list: above every frequency floor."""
_INFLECTED = ("s", "ed", "ing")


class Known(NamedTuple):
    """A word whose readings are known, as material for building others.

    `weight` is its zipf frequency, or `ALWAYS_KNOWN`.
    """

    readings: tuple[WordSounds, ...]
    weight: float


@lru_cache(maxsize=16384)
def recorded(form: str) -> tuple[Pronunciation, ...]:
    """Readings of a word (look-up form) that a table, a list or the dictionary holds; () if none does.

    A first name of the checked list has that reading first, the dictionary's others after it; where the dictionary has it
    first too, it is the dictionary's.
    """
    grammar = function_word(form)
    if grammar:
        return distinct(grammar.strong, "strong form", sure=True)
    listed = listed_readings(form)
    if listed:
        return distinct(listed, "word list", sure=True)
    readings = _regular_first(form)
    found = distinct((reading.ipa() for reading in readings), "dictionary", sure=True) if readings else ()
    name = name_reading(form)
    if not name or found and found[0].ipa == name:
        return found
    return (Pronunciation(name, "name list", True), *(other for other in found if other.ipa != name))


@lru_cache(maxsize=8192)
def known(word: str) -> Known | None:
    """What is on record of a word, as material for word forms and compounds; None where nothing is."""
    grammar = function_word(word)
    if grammar:
        return Known(tuple(parse_ipa(ipa) for ipa in grammar.strong), zipf(word))
    listed = listed_readings(word)
    if listed:
        return Known(tuple(parse_ipa(ipa) for ipa in listed), ALWAYS_KNOWN)
    name, readings = name_reading(word), dictionary_readings(word)
    if name:
        readings = (parse_ipa(name), *(other for other in readings if other.ipa() != name))
    return Known(readings, zipf(word)) if readings else None


def distinct(forms: Iterable[str], source: str, *, sure: bool, note: str = "") -> tuple[Pronunciation, ...]:
    """Pronunciations from IPA forms, each form once, in order."""
    return tuple(Pronunciation(ipa, source, sure, note) for ipa in dict.fromkeys(forms))


def _regular_first(form: str) -> tuple[WordSounds, ...]:
    """Dictionary readings, the one that equals stem + ending first, so that "dogs" follows "dog"."""
    readings = dictionary_readings(form)
    if len(readings) < 2 or not form.endswith(_INFLECTED):
        return readings
    from approx.lexicon.english.endings import attach, stems
    from approx.lexicon.pronunciation import same_segments

    for stem, ending in stems(form):
        found = known(stem)
        expected = attach(found.readings[0], stem, ending) if found else ()
        if not expected:
            continue
        same = [reading for reading in readings if reading.phones == expected[0].phones]
        same += [reading for reading in readings if same_segments(reading, expected[0])]
        if same:
            return (same[0], *(other for other in readings if other != same[0]))
    return readings
