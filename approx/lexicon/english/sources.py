"""English spelling to pronunciations: the sources in their order, each answer with where it came from.

Own words; strong forms of grammar words, the shipped list, the CMU dictionary; word forms and compounds built on
those; and at last guesses from the letters, with a second reader's opinion where one is installed.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from approx.lexicon.english.recorded import RECORDED, recorded
from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.spelling import look_up_form, without_accents


def read_english(word: str, own: Mapping[str, str] | None = None) -> tuple[Pronunciation, ...]:
    """Pronunciations of one English word, the best first, each form once; () if nothing of it can be read.

    `own` maps words in `look_up_form` to IPA; such a reading always wins and is a stem for other words.
    """
    form = look_up_form(word)
    if not own:
        return _read(form)
    if form in own:
        return (Pronunciation(own[form], "own words", True),)
    from approx.lexicon.english.unrecorded import inflected_own, unrecorded

    usual = _read(form)
    if usual and usual[0].source in RECORDED:
        return inflected_own(form, own, usual) or usual
    return unrecorded(form, lambda part: read_english(part, own), own)


@lru_cache(maxsize=8192)
def _read(form: str) -> tuple[Pronunciation, ...]:
    found = recorded(form)
    if not found and not form.isascii():
        found = recorded(without_accents(form))
    if found:
        return found
    from approx.lexicon.english.unrecorded import unrecorded

    return unrecorded(form, read_english)
