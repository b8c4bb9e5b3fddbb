"""A word of a child's other language inside a phrase: which language it is read in, and why."""

from __future__ import annotations

from collections.abc import Sequence

from approx.lexicon.first_names import name_reading
from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.reading import pronunciations
from approx.lexicon.spelling import base_language, look_up_form

_SPANISH_SIGNS = frozenset("ñáéíóúü")


def language_of(word: str, language: str, others: Sequence[str]) -> str:
    """The language a word of a phrase is read in: `language`, or the one of `others` that has it.

    A word of a family's day or a first name in `language` is never taken as another's. Else it is if the other has it
    so, if its letters are Spanish only, or if English has it in no list while the child speaks Spanish as well.
    """
    form = look_up_form(word)
    if not others or not any(map(str.isalpha, form)) or _has(form, language):
        return language
    for other in others:
        tag = base_language(other)
        if tag not in ("en", "es") or tag == base_language(language):
            continue
        if _has(form, other) or tag == "es" and (_SPANISH_SIGNS & set(form) or _guessed(form)):
            return other
    return language


def _has(form: str, language: str) -> bool:
    """Whether a word stands in the word bank, the core words or the first names of a language."""
    from approx.lexicon.homophones import family_words

    if name_reading(form, language):
        return True
    return any(form in family_words(reading.ipa, language) for reading in _readings(form, language))


def _readings(form: str, language: str) -> tuple[Pronunciation, ...]:
    return pronunciations(form, "es-419" if base_language(language) == "es" else language)


def _guessed(form: str) -> bool:
    """Whether English reads a word only by its letters."""
    from approx.lexicon.english.recorded import recorded

    return not recorded(form)
