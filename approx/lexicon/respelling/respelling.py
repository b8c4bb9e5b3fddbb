"""Plain spelling of a form for families: bəˈnænə -> "banana", ˈnænə -> "NAN-uh".

A form that is a known word is printed as that word. For the others the spellings of the table are weighed as a parent
would read them: never a word that is said otherwise, never a rude one, best one that the reading rules read right. A form of a
language that has no table is spelled in the English sounds nearest to it ([other_languages] of `rules/lexicon/respelling.toml`).
"""

from __future__ import annotations

from functools import cache, lru_cache
from itertools import product
from typing import TYPE_CHECKING

from approx.datafiles import read_toml, rules_path
from approx.lexicon.english.letters import read_letters
from approx.lexicon.english.recorded import recorded
from approx.lexicon.frequency import zipf
from approx.lexicon.homophones import printed_word, sound_alikes
from approx.lexicon.pronunciation import from_phones, parse_ipa, same_segments
from approx.lexicon.respelling.spelling_table import (
    Phones,
    spelling_table,
    syllable_choices,
    table_name,
    with_stress,
    without_marks,
    written_cuts,
)
from approx.lexicon.rude import rude_spelling, rude_word
from approx.lexicon.word_lists import listed_readings

if TYPE_CHECKING:
    from approx.ipa.word import Word

_AH = "ah"
MISREAD, OTHER_WORD, RARE_WORD, RUDE, SET_APART = 1.0, 8.0, 1.5, 6.0, 2.0
"""What speaks against a spelling: the reading rules read it otherwise, it is a word said otherwise (a rare one), it
reads rudely, it needs a sign to keep its letters apart. Own judgement; common practice, no source."""
PIECE_WEIGHT = 0.25
"""A syllable between hyphens is seldom read as a word by itself: "PAH-pah" is not the word pah twice. Own judgement."""
_ENOUGH = 0.5
"""A spelling with less against it is taken without weighing others."""
_OTHERS = 4
"""Spellings of each syllable weighed together where the best of each make a word that is something else."""
_OWN_LETTERS = ("", "en", "eng", "es", "spa")
"""Languages with a table of their own, and none named."""


def respell_word(word: Word, language: str = "en-US", aimed: str = "") -> str:
    """The plain spelling of one word. `aimed`: the word aimed at, printed if the form is just that word, or differs from it
    only by a vowel held where adults glide (no said as [no]), in which no family hears another word. A word that sounds rude
    (hoe) is printed for itself alone, or where every plain spelling reads rudely."""
    return _respelled(word.ipa, word.phones, word.starts, word.stress, language, aimed)


@lru_cache(maxsize=32768)
def _respelled(
    ipa: str, phones: Phones, starts: tuple[int, ...], stress: tuple[int, ...], language: str, aimed: str
) -> str:
    """The plain spelling of a word from its parts; see `respell_word`."""
    tag = table_name(language)
    if aimed and _heard_as_aimed(ipa, language, aimed):
        return aimed.lower()
    known = printed_word(ipa, language, aimed)
    if known and tag == "es-ES":
        from approx.lexicon.spanish.letters import read_spanish

        known = known if read_spanish(known, tag) == ipa else ""
    if known and (known == aimed.lower() or not rude_word(ipa, language)):
        return known
    if is_spelled_as_english(language):
        phones, starts = in_english_sounds(phones, starts)
    plain = _word(phones, starts, stress, tag)
    return known if known and rude_spelling(plain, tag[:2]) else plain


def _heard_as_aimed(ipa: str, language: str, aimed: str) -> bool:
    """Whether a form with held vowels is the word aimed at once they glide: `held_vowels` of the table."""
    gliding = ipa
    for held, adult in spelling_table(table_name(language)).gliding.items():
        gliding = gliding.replace(adult, held).replace(held, adult)
    if gliding == ipa:
        return False
    return any(alike.word == aimed.lower() and alike.ipa == gliding for alike in sound_alikes(gliding, language))


@lru_cache(maxsize=32768)
def _word(phones: Phones, starts: tuple[int, ...], stress: tuple[int, ...], tag: str) -> str:
    """Spelling of one word from its sounds, the index where each syllable starts, and their stress."""
    cuts = written_cuts(phones, starts, stress, spelling_table(tag))
    if len(starts) < 2:
        return _syllable(phones, True, True, tag, 1, True)[0][1]
    syllables = [phones[start:end] for start, end in zip(cuts, (*cuts[1:], len(phones)), strict=True)]

    def spelled(most: int) -> list[tuple[tuple[float, str], ...]]:
        return [_syllable(part, not i, stress[i] == 1, tag, most, False) for i, part in enumerate(syllables)]

    small = [each[0][1] for each in spelled(1)]
    best, least = _joined(small, stress, tag), _against_whole("".join(small), phones, tag)
    if least < _ENOUGH:
        return best
    options = spelled(_OTHERS if len(starts) < 4 else 1)
    for picked in sorted(product(*(range(len(each)) for each in options)), key=sum):
        small = [each[at][1] for each, at in zip(options, picked, strict=True)]
        worse = sum(each[at][0] - each[0][0] for each, at in zip(options, picked, strict=True))
        against = _against_whole("".join(small), phones, tag) + worse + 0.1 * sum(picked)
        if against < least:
            best, least = _joined(small, stress, tag), against
        if least < _ENOUGH:
            break
    return best


def _joined(syllables: list[str], stress: tuple[int, ...], tag: str) -> str:
    """Syllables with hyphens, the stressed one raised."""
    if tag != "en":
        syllables = _accented(syllables, stress)
    return "-".join(with_stress(part, degree == 1) for part, degree in zip(syllables, stress, strict=True))


@lru_cache(maxsize=32768)
def _syllable(
    phones: Phones, first: bool, stressed: bool, tag: str, most: int, whole: bool
) -> tuple[tuple[float, str], ...]:
    """Up to `most` spellings of a syllable with what speaks against each, best first; `whole`: it is all of its word."""
    weighed: list[tuple[float, str]] = []
    for number, pieces in enumerate(syllable_choices(phones, first, stressed, tag)):
        text = "".join(pieces)
        against = SET_APART * (spelling_table(tag).separator in pieces) + 0.01 * number
        against += _against(text, phones, tag, whole)
        weighed.append((against, text))
        if most == 1 and against < _ENOUGH:
            break
    if len(weighed) == 1:
        return tuple(weighed)
    weighed.sort(key=lambda item: item[0])
    best = {text: against for against, text in reversed(weighed)}
    return tuple((against, text) for text, against in sorted(best.items(), key=lambda item: item[1]))[:most]


def _against(text: str, phones: Phones, tag: str, whole: bool) -> float:
    """What speaks against a spelling of one syllable, read as a parent reads it."""
    rude = RUDE if rude_spelling(text, tag[:2]) else 0.0
    if tag != "en" or not text.isalpha():
        return rude
    read = _reads_as(text, phones)
    if read and not whole and text.endswith(_AH):
        return rude  # as in hurrah, whatever the dictionary has for dah alone
    return rude + _said_otherwise(text, phones) * (1.0 if whole else PIECE_WEIGHT) + (0.0 if read else MISREAD)


def _against_whole(text: str, phones: Phones, tag: str) -> float:
    """What speaks against a spelling of several syllables, run together, signs that keep letters apart left out."""
    text = text.replace(spelling_table(tag).separator, "")
    rude = RUDE if rude_spelling(text, tag[:2]) else 0.0
    return rude + (_said_otherwise(text, phones) if tag == "en" and text.isalpha() else 0.0)


def _said_otherwise(text: str, phones: Phones) -> float:
    """Whether English has this spelling for a word that is said otherwise; half where it may be said so too."""
    readings = recorded(text)
    if not readings:
        return 0.0
    form = from_phones(phones)
    same = [same_segments(parse_ipa(reading.ipa), form) for reading in readings]
    weight = OTHER_WORD if zipf(text) > 0 or listed_readings(text) else RARE_WORD
    return 0.0 if all(same) else weight / 2 if any(same) else weight


def _reads_as(text: str, phones: Phones) -> bool:
    """Whether the reading rules for unknown words read a spelling as these sounds."""
    sounds = read_letters(text)
    return sounds is not None and same_segments(sounds, from_phones(phones))


def _accented(syllables: list[str], stress: tuple[int, ...]) -> list[str]:
    """Spanish syllables with the written accent where the stress falls against the rule."""
    from approx.lexicon.spanish.letters import spanish_syllables

    plain = "".join(syllables)
    if 1 not in stress or not plain.isalpha():
        return syllables
    at, read = stress.index(1), spanish_syllables(plain)
    if len(read) == len(syllables) and "ˈ" in read[at]:
        return syllables
    return [_with_acute(part) if number == at else part for number, part in enumerate(syllables)]


_ACUTE = str.maketrans("aeiou", "áéíóú")
_STRONG, _WEAK = "aeo", "iu"


def _with_acute(syllable: str) -> str:
    """A syllable with the accent on its vowel: the strong one, else the last (qu and gu before e and i aside)."""
    places = [at for at, sign in enumerate(syllable) if sign in _STRONG] or [
        at for at, sign in enumerate(syllable) if sign in _WEAK
    ]
    if not places:
        return syllable
    at = places[0] if syllable[places[0]] in _STRONG else places[-1]
    return syllable[:at] + syllable[at].translate(_ACUTE) + syllable[at + 1 :]


def is_spelled_as_english(language: str) -> bool:
    """Whether a language has no letters of its own here, so that its words are spelled as an English reader says them."""
    return language.lower().replace("_", "-").split("-")[0] not in _OWN_LETTERS


@cache
def _nearest_sounds() -> tuple[str, dict[str, tuple[str, ...]]]:
    table = read_toml(rules_path("lexicon/respelling.toml"))["other_languages"]
    return table["left_out"], {sound: tuple(near.split()) for sound, near in table["nearest"].items()}


def in_english_sounds(phones: Phones, starts: tuple[int, ...]) -> tuple[Phones, tuple[int, ...]]:
    """Sounds and syllable starts of a form with each sound as the nearest English one; marks that no letter shows are left out.

    >>> in_english_sounds(("m", "aː", "m", "a"), (0, 2))
    (('m', 'ɑ', 'm', 'ɑ'), (0, 2))
    """
    left_out, nearest = _nearest_sounds()
    out: list[str] = []
    places: list[int] = []
    for phone in phones:
        places.append(len(out))
        shown = "".join(sign for sign in phone if sign not in left_out)
        bare = without_marks(shown)
        *first, last = nearest.get(bare, (bare,))
        out += [*first, last + shown[len(bare) :]]
    return tuple(out), tuple(places[start] for start in starts)
