"""English spelling to pronunciations: the sources in their order, each answer with where it came from.

Own words, strong forms of grammar words, the shipped list, the CMU dictionary, word forms and compounds built on those,
and at last guesses from the letters, with a second reader's opinion where one is installed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache

from approx.lexicon.dictionary import dictionary_readings
from approx.lexicon.endings import attach, stems
from approx.lexicon.frequency import zipf
from approx.lexicon.function_words import function_word
from approx.lexicon.letters import read_letters
from approx.lexicon.pronunciation import Pronunciation
from approx.lexicon.second_reader import agree, second_reading
from approx.lexicon.sounds import Sounds, parse_ipa
from approx.lexicon.spelling import look_up_form
from approx.lexicon.word_forms import KNOWN, Known, Lookup, build
from approx.lexicon.wordlist import listed_readings

RECORDED = frozenset({"strong form", "word list", "dictionary"})
_INFLECTED = ("s", "ed", "ing")
_SEAMS = str.maketrans({"/": "-", "+": "-", "_": "-"})

Reader = Callable[[str], tuple[Pronunciation, ...]]


def read_english(word: str, own: Mapping[str, str] | None = None) -> tuple[Pronunciation, ...]:
    """Pronunciations of one English word, the best first, each form once; () if nothing of it can be read.

    `own` maps words in `look_up_form` to IPA; such a reading always wins and serves as a stem for other words.
    """
    form = look_up_form(word)
    if not own:
        return _read(form)
    if form in own:
        return (Pronunciation(own[form], "own words", True),)
    usual = _read(form)
    if usual and usual[0].source in RECORDED:
        return _inflected_own(form, own) or usual
    return _built(form, lambda part: _own(part, own) or _known(part)) or _parts(form, lambda p: read_english(p, own)) or usual


@lru_cache(maxsize=8192)
def _read(form: str) -> tuple[Pronunciation, ...]:
    return _recorded(form) or _built(form, _known) or _parts(form, _read) or _guessed(form)


def _recorded(form: str) -> tuple[Pronunciation, ...]:
    """Readings that a table, the list or the dictionary holds."""
    grammar = function_word(form)
    if grammar:
        return _distinct(grammar.strong, "strong form", sure=True)
    listed = listed_readings(form)
    if listed:
        return _distinct(listed, "word list", sure=True)
    return _distinct((reading.ipa() for reading in _regular_first(form)), "dictionary", sure=True)


def _regular_first(form: str) -> tuple[Sounds, ...]:
    """Dictionary readings, the one that equals stem + ending first, so that "dogs" follows "dog"."""
    readings = dictionary_readings(form)
    if len(readings) < 2 or not form.endswith(_INFLECTED):
        return readings
    for stem, ending in stems(form):
        found = _known(stem)
        expected = attach(found.readings[0], stem, ending) if found else ()
        for same in (lambda one, two: one.phones == two.phones, agree):
            first = next((reading for reading in readings if expected and same(reading, expected[0])), None)
            if first:
                return (first, *(other for other in readings if other != first))
    return readings


def _built(form: str, known: Lookup) -> tuple[Pronunciation, ...]:
    """Readings put together from known words, marked to be checked."""
    built = build(form, known)
    if not built:
        return ()
    note = f"built from {built.parts}: check"
    if built.source == "compound":
        by_letters = read_letters(form)
        twice = "probably: the spelling rules agree" if by_letters and agree(built.readings[0], by_letters) else "check twice"
        note = f"two words, {built.parts}: {twice}"
    return _distinct((reading.ipa() for reading in built.readings), built.source, sure=False, note=note)


def _parts(form: str, read: Reader) -> tuple[Pronunciation, ...]:
    """A word with hyphens, read part by part; a grammar word inside is weak, as in peek-a-boo."""
    parts = [part for part in form.translate(_SEAMS).split("-") if part]
    if len(parts) < 2:
        return ()
    readings = [read(part)[:1] for part in parts]
    if not all(readings):
        return ()
    firsts = [reading[0] for reading in readings]
    joined = "".join(parts)
    if not all(first.source in RECORDED for first in firsts):
        whole = _recorded(joined)
        if whole:
            return tuple(Pronunciation(p.ipa, p.source, False, f"read as {joined}: check") for p in whole)
    sounds = parse_ipa(firsts[0].ipa)
    for place, (part, first) in enumerate(zip(parts[1:], firsts[1:]), start=1):
        grammar = function_word(part)
        weak = grammar.weak if grammar and place < len(parts) - 1 else ()
        sounds = _after(sounds, weak[0]) if weak else sounds.with_second(parse_ipa(first.ipa))
    guessed = [part for part, first in zip(parts, firsts) if first.source in ("reader", "spelling rules")]
    source = "spelling rules" if guessed else "compound"
    return _distinct([sounds.ipa()], source, sure=False, note=f"built from {' + '.join(parts)}: check")


def _after(sounds: Sounds, weak: str) -> Sounds:
    tail = parse_ipa(weak)
    return sounds.with_ending(Sounds(tail.phones, tuple(None if level is None else 0 for level in tail.stress)))


def _guessed(form: str) -> tuple[Pronunciation, ...]:
    """What the letters say; the second reader goes first where it says something else."""
    own = read_letters(form)
    if not own:
        return ()
    guess = Pronunciation(own.ipa(), "spelling rules", False, "guess from the spelling: check")
    other = second_reading(form)
    if other is None:
        return (guess,)
    if agree(own, other):
        return (Pronunciation(guess.ipa, "reader", False, "probably: two readers agree"),)
    return (Pronunciation(other.ipa(), "reader", False, "guess, and the spelling rules differ: choose"), guess)


def _inflected_own(form: str, own: Mapping[str, str]) -> tuple[Pronunciation, ...]:
    """A listed form of one of the person's own words, where the dictionary agrees that it is a form of it."""
    for stem, ending in stems(form):
        if stem not in own or ending.floor > 2:
            continue
        usual = _known(stem)
        regular = attach(usual.readings[0], stem, ending)[:1] if usual else ()
        if any(agree(wanted, parse_ipa(reading.ipa)) for wanted in regular for reading in _read(form)):
            mine = attach(parse_ipa(own[stem]), stem, ending)
            return _distinct((form.ipa() for form in mine), "word form", sure=False, note=f"built from your {stem}: check")
    return ()


def _own(word: str, own: Mapping[str, str]) -> Known | None:
    return Known((parse_ipa(own[word]),), KNOWN) if word in own else None


@lru_cache(maxsize=8192)
def _known(word: str) -> Known | None:
    """What the list and the dictionary know of a word, as material for building others."""
    grammar = function_word(word)
    if grammar:
        return Known(tuple(parse_ipa(ipa) for ipa in grammar.strong), zipf(word))
    listed = listed_readings(word)
    if listed:
        return Known(tuple(parse_ipa(ipa) for ipa in listed), KNOWN)
    readings = dictionary_readings(word)
    return Known(readings, zipf(word)) if readings else None


def _distinct(forms: Iterable[str], source: str, *, sure: bool, note: str = "") -> tuple[Pronunciation, ...]:
    return tuple(Pronunciation(ipa, source, sure, note) for ipa in dict.fromkeys(forms))
