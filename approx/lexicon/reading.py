"""The one door to pronunciations: a word in any language the program knows, as typed; and a phrase as spoken words, each with its
readings, and a problem for each that cannot be read.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from approx.ipa.features import is_nucleus
from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.spelling import base_language, look_up_form, sign_as_word
from approx.lexicon.word_lists import FunctionWord, function_word
from approx.problems import Problem
from approx.wording import worded

OUTER = ".,;:!?…\"'()[]{}<>«»“”‘’‹›„‚¡¿*_~-‐‑‒–—"
"""Punctuation set aside at both ends of a word; inside a word it stays."""


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


@dataclass(frozen=True, slots=True)
class SpokenWord:
    """One word of a phrase: as typed, its readings (best first, () if unknown), its place counted from 1."""

    typed: str
    readings: tuple[Pronunciation, ...]
    column: int


def read_phrase(
    text: str, language: str = "en-US", own: Mapping[str, str] | None = None, weak: bool = False
) -> tuple[tuple[SpokenWord, ...], tuple[Problem, ...]]:
    """Read a phrase word by word, parted at blanks.

    A word between slashes is IPA and is given as typed. English grammar words have their strong form, with
    `weak=True` their weak form except at the end of the phrase; articles are weak before another word in both,
    and "the" is ði before a vowel. A word nobody can read is kept with no readings, and a problem says where it
    stands and what to do. Punctuation that stands alone is no word.
    """
    words: list[SpokenWord] = []
    problems: list[Problem] = []
    for typed, column, is_ipa in _words(text):
        if is_ipa:
            sounds = typed.strip("/").strip()
            readings: tuple[Pronunciation, ...] = (Pronunciation(sounds, "typed", True),) if sounds else ()
            if not sounds or not typed.endswith("/"):
                problems.append(_open_slash(typed, column))
        else:
            readings = pronunciations(typed, language, own)
            if not readings:
                problems.append(_unknown(typed, column, language))
        words.append(SpokenWord(typed, readings, column))
    if base_language(language) == "en":
        words = _as_in_a_phrase(words, own or {}, weak)
    return tuple(words), tuple(problems)


def _words(text: str) -> list[tuple[str, int, bool]]:
    """(typed, column, whether it is IPA) for each word; blanks between slashes part IPA words as well."""
    found: list[tuple[str, int, bool]] = []
    outer = f"[{re.escape(OUTER)}]*"
    for match in re.finditer(rf"(?<!\S){outer}(/(?=\S)[^/]+(?<=\S)/){outer}(?!\S)|\S+", text):
        inner = match.group(1)
        if inner is not None:
            parts = [(part.group(), match.start(1) + 1 + part.start()) for part in re.finditer(r"\S+", inner[1:-1])]
            found += [(f"/{part}/", place + 1 - (at == 0), True) for at, (part, place) in enumerate(parts)]
            continue
        word, lead = _without_outer(match.group())
        if word:
            found.append((word, match.start() + lead + 1, word.startswith("/")))
    return found


def _without_outer(token: str) -> tuple[str, int]:
    """A token without the punctuation around it, and how many characters went in front.

    An apostrophe that stands for left-out letters stays: 'em, runnin'.
    """
    bare = token.lstrip(OUTER)
    lead = len(token) - len(bare)
    bare = bare.rstrip(OUTER)
    tail = token[lead + len(bare) : lead + len(bare) + 1]
    if lead and token[lead - 1] in "'’" and tail not in ("'", "’") and function_word("'" + bare.lower()):
        return token[lead - 1 : lead + len(bare)], lead - 1
    if tail in ("'", "’") and bare.lower().endswith("in") and not (lead and token[lead - 1] in "'‘"):
        return bare + tail, lead
    return bare, lead


def _as_in_a_phrase(words: list[SpokenWord], own: Mapping[str, str], weak: bool) -> list[SpokenWord]:
    remembered = {look_up_form(word) for word in own}
    out: list[SpokenWord] = []
    for word, following in zip(words, [*words[1:], None]):
        form = look_up_form(word.typed)
        grammar = function_word(form)
        if grammar is None or form in remembered or following is None:
            out.append(word)
            continue
        readings = word.readings
        if grammar.weak and (weak or grammar.weak_in_phrases):
            readings = _weak_first(grammar, readings)
        if form == "the" and following.readings and _begins_with_vowel(following.readings[0].ipa):
            readings = (*(r for r in readings if r.ipa == "ði"), *(r for r in readings if r.ipa != "ði"))
        out.append(replace(word, readings=readings))
    return out


def _weak_first(grammar: FunctionWord, readings: tuple[Pronunciation, ...]) -> tuple[Pronunciation, ...]:
    weak = tuple(Pronunciation(ipa, "weak form", True) for ipa in grammar.weak)
    return (*weak, *(reading for reading in readings if reading.ipa not in grammar.weak))


def _begins_with_vowel(ipa: str) -> bool:
    return is_nucleus(ipa.lstrip("ˈˌ.")[:1])


def _unknown(typed: str, column: int, language: str) -> Problem:
    hint = worded('write it between slashes as IPA, or teach it once: approx words say "{typed}" /.../', typed=typed)
    if base_language(language) not in ("en", "es"):
        from approx.lexicon.other_languages import reason

        why = reason(language)
        hint = worded("{why}; or {hint}", why=why, hint=hint) if why else hint
    return Problem(
        "lexicon.unknown",
        worded('"{typed}" cannot be read in {language}', typed=typed, language=language),
        hint,
        column=column,
        symbol=typed,
    )


def _open_slash(typed: str, column: int) -> Problem:
    what = (
        "IPA between slashes is empty"
        if not typed.strip("/")
        else worded("the slash before {typed} is not closed", typed=typed[1:])
    )
    return Problem("lexicon.slash", what, "write IPA as /spun/", column=column, symbol=typed)
