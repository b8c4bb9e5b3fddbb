"""The one door to pronunciations: a word in any language the program knows, as typed."""

from __future__ import annotations

from collections.abc import Mapping

from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.spelling import base_language, look_up_form, sign_as_word
from approx.wording import worded


def pronunciations(
    word: str, language: str = "en-US", own: Mapping[str, str] | None = None
) -> tuple[Pronunciation, ...]:
    """Pronunciations of a typed word, the best first and each form once; () if nothing of it can be read.

    `own` are remembered words (`load_own_words`); a reading there always wins. Whole numbers to twenty, round
    tens and "&" are read as words. Languages: English and Spanish by this program, others through epitran where
    it is installed.
    """
    own = {look_up_form(key): ipa for key, ipa in own.items()} if own else None
    spelled = sign_as_word(word.strip(), language)
    form = look_up_form(spelled)
    if not any(char.isalpha() for char in form) and not (own and form in own):
        return ()
    code = base_language(language)
    if code == "en":
        from approx.lexicon.english.sources import read_english

        return read_english(spelled, own)
    if own and form in own:
        return (Pronunciation(own[form], "own words", True),)
    if code == "es":
        from approx.lexicon.spanish.letters import read_spanish, unread
        from approx.lexicon.word_lists import name_reading

        name = name_reading(form, code) if spelled[:1].isupper() else ""
        if name and name != read_spanish(form):
            return (Pronunciation(name, "name list", True),)

        ipa = read_spanish(form, language if "-" in language else "es-419")
        passed_over = " ".join(unread(form))
        note = worded("not read: {passed_over}", passed_over=passed_over) if passed_over else ""
        return (Pronunciation(ipa, "spanish rules", not note, note),) if ipa else ()
    from approx.lexicon.other_languages import read_other

    other = read_other(form, language)
    return (Pronunciation(other, "epitran", False, "read by rules of another program: check"),) if other else ()
