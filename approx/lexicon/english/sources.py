"""English spelling to pronunciations: the sources in their order, each answer with where it came from.

Own words; strong forms of grammar words, the shipped list, the CMU dictionary; word forms and compounds built on those; and at
last guesses from the letters, with the opinion of a second, independent reader where one is installed (gruut, MIT licence, an
optional extra). Of what nothing records no reading is sure; its note says how it was made and how far to trust it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache, lru_cache

from approx.lexicon.english.endings import attach, stems
from approx.lexicon.english.letters import read_letters
from approx.lexicon.english.recorded import ALWAYS_KNOWN, RECORDED, Known, distinct, known, recorded
from approx.lexicon.english.word_forms import WordLookUp, likeliest_build
from approx.lexicon.pronunciation import Pronunciation, WordSounds, is_vowel_segment, parse_ipa, same_segments
from approx.lexicon.spelling import look_up_form, without_accents
from approx.lexicon.word_lists import function_word
from approx.wording import worded

Reader = Callable[[str], tuple[Pronunciation, ...]]
_SEAMS = str.maketrans({"/": "-", "+": "-", "_": "-"})


def read_english(word: str, own: Mapping[str, str] | None = None) -> tuple[Pronunciation, ...]:
    """Pronunciations of one English word, the best first, each form once; () if nothing of it can be read.

    `own` maps words in `look_up_form` to IPA; such a reading always wins and is a stem for other words.
    """
    form = look_up_form(word)
    if not own:
        return _read(form)
    if form in own:
        return (Pronunciation(own[form], "own words", True),)

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
    return unrecorded(form, read_english)


def unrecorded(form: str, read: Reader, own: Mapping[str, str] | None = None) -> tuple[Pronunciation, ...]:
    """Best reading of a word in its look-up form; () if it has no Latin letter.

    `read` reads the parts of a word with hyphens; `own` are words of the person's own, which serve as stems.
    """
    return built(form, own) or _parts(form, read) or _guessed(form)


def built(form: str, own: Mapping[str, str] | None = None) -> tuple[Pronunciation, ...]:
    """Readings put together from known words, marked to be checked; () if that cannot be done."""
    found = likeliest_build(form, _lookup(own))
    if not found:
        return ()
    note = worded("built from {parts}: check", parts=found.parts)
    if found.source == "compound":
        by_letters = read_letters(form)
        agreed = by_letters is not None and same_segments(found.readings[0], by_letters)
        pattern = (
            "two words, {parts}: probably: the spelling rules agree" if agreed else "two words, {parts}: check twice"
        )
        note = worded(pattern, parts=found.parts)
    return distinct((reading.ipa() for reading in found.readings), found.source, sure=False, note=note)


def inflected_own(form: str, own: Mapping[str, str], usual: tuple[Pronunciation, ...]) -> tuple[Pronunciation, ...]:
    """A recorded word as a form of one of the person's own words, where its usual reading shows it is one.

    So "dogs" follows an own "dog", and "his" does not follow an own "hi".
    """
    for stem, ending in stems(form):
        stem_known = known(stem) if stem in own and ending.floor <= 2 else None
        regular = attach(stem_known.readings[0], stem, ending)[:1] if stem_known else ()
        if any(same_segments(wanted, parse_ipa(reading.ipa)) for wanted in regular for reading in usual):
            mine = attach(parse_ipa(own[stem]), stem, ending)
            note = worded("built from your {stem}: check", stem=stem)
            return distinct((reading.ipa() for reading in mine), "word form", sure=False, note=note)
    return ()


def _lookup(own: Mapping[str, str] | None) -> WordLookUp:
    if not own:
        return known
    return lambda word: Known((parse_ipa(own[word]),), ALWAYS_KNOWN) if word in own else known(word)


def _parts(form: str, read: Reader) -> tuple[Pronunciation, ...]:
    """A word with hyphens, read part by part; a grammar word inside is weak, as in peek-a-boo."""
    parts = [part for part in form.translate(_SEAMS).split("-") if part]
    if len(parts) < 2:
        return ()
    readings = [read(part)[:1] for part in parts]
    if not all(readings):
        return ()
    firsts = [reading[0] for reading in readings]
    if not all(first.source in RECORDED for first in firsts):
        joined = "".join(parts)
        whole = recorded(joined)
        if whole:
            return tuple(
                Pronunciation(p.ipa, p.source, False, worded("read as {joined}: check", joined=joined)) for p in whole
            )
    sounds = parse_ipa(firsts[0].ipa)
    for place, (part, first) in enumerate(zip(parts[1:], firsts[1:]), start=1):
        grammar = function_word(part)
        weak = grammar.weak if grammar and place < len(parts) - 1 else ()
        sounds = _with_weak(sounds, weak[0]) if weak else sounds.with_second(parse_ipa(first.ipa))
    guessed = any(first.source in ("reader", "spelling rules") for first in firsts)
    source = "spelling rules" if guessed else "compound"
    return distinct(
        [sounds.ipa()], source, sure=False, note=worded("built from {parts}: check", parts=" + ".join(parts))
    )


def _with_weak(sounds: WordSounds, weak: str) -> WordSounds:
    tail = parse_ipa(weak)
    return sounds.with_ending(WordSounds(tail.phones, tuple(None if level is None else 0 for level in tail.stress)))


def _guessed(form: str) -> tuple[Pronunciation, ...]:
    """What the letters say; the second reader goes first where it says something else."""
    own_rules = read_letters(form)
    if not own_rules:
        return ()
    guess = Pronunciation(own_rules.ipa(), "spelling rules", False, "guess from the spelling: check")
    other = second_reading(form)
    if other is None:
        return (guess,)
    if same_segments(own_rules, other):
        return (Pronunciation(guess.ipa, "reader", False, "probably: two readers agree"),)
    return (
        Pronunciation(other.ipa(), "reader", False, "guess, and the spelling rules differ: choose"),
        guess,
    )


@cache
def is_installed() -> bool:
    """Whether the second reader can be imported; importing it is left until a word needs it."""
    from importlib.util import find_spec

    return find_spec("gruut") is not None


def second_reading(word: str) -> WordSounds | None:
    """The second reader's sounds, None if it is not installed or has no answer for this word."""
    if not is_installed():
        return None
    import gruut

    phones: list[str] = []
    stress: list[int | None] = []
    try:
        sentences = gruut.sentences(word, lang="en-us")
        spoken = [phone for sentence in sentences for part in sentence for phone in part.phonemes]
    except Exception:  # a foreign library's failure on an odd word must not stop a session
        return None
    for marked in spoken:
        phone = marked.strip("ˈˌ")
        degree = {"ˈ": 1, "ˌ": 2}.get(marked[:1], 0)
        if phone == "ɚ" and degree:
            phone = "ɝ"
        if phone:
            phones.append(phone)
            stress.append(degree if is_vowel_segment(phone) else None)
    return WordSounds(tuple(phones), tuple(stress)) if phones else None
