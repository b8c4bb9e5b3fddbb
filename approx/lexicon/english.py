"""English spelling to pronunciations: the sources in their order, each answer with where it came from.

Own words, strong forms of grammar words, the shipped list, the CMU dictionary, word forms and compounds built on those,
and at last guesses from the letters (with a second reader's opinion where one is installed).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

from approx.lexicon.dictionary import dictionary_readings
from approx.lexicon.endings import attach, stems
from approx.lexicon.frequency import zipf
from approx.lexicon.function_words import function_word
from approx.lexicon.hyphens import read_parts
from approx.lexicon.letters import read_letters
from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.second_reader import agree, second_reading
from approx.lexicon.sounds import Sounds, parse_ipa
from approx.lexicon.spelling import look_up_form
from approx.lexicon.word_forms import KNOWN, Built, Known, build
from approx.lexicon.wordlist import listed_readings

_INFLECTIONS = ("s", "es", "ies", "'s", "ed", "ied", "ing")


def read_english(word: str, own: Mapping[str, str] | None = None) -> tuple[Pronunciation, ...]:
    """Pronunciations of one English word, the best first, each form once; () if nothing of it can be read.

    `own` maps words in `look_up_form` to IPA; such a reading always wins and serves as a stem for other words.
    """
    form = look_up_form(word)
    if not own:
        return _read(form)
    if form in own:
        return (Pronunciation(own[form], "own words", True),)
    return _read_with_own(form, own) or _read(form)


@lru_cache(maxsize=8192)
def _read(form: str) -> tuple[Pronunciation, ...]:
    return _recorded(form) or _built(form, _lookup) or _guessed(form)


def _recorded(form: str) -> tuple[Pronunciation, ...]:
    """Readings that a table, the list or the dictionary holds."""
    grammar = function_word(form)
    if grammar:
        return tuple(Pronunciation(ipa, "strong form", True) for ipa in grammar.strong)
    listed = listed_readings(form)
    if listed:
        return tuple(Pronunciation(ipa, "word list", True) for ipa in listed)
    return _distinct((reading.ipa() for reading in _regular_first(form)), "dictionary", True)


def _built(form: str, known: object) -> tuple[Pronunciation, ...]:
    raise NotImplementedError
