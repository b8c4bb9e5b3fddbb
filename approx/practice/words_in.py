"""Targets from what a clinician types: a phrase, or a list with optional IPA."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace

from approx.child.profile import Profile
from approx.ipa import read
from approx.ipa.word import Word
from approx.lexicon.pronunciation import Pronunciation
from approx.problems import Problem

_IN_WORDS = "'-’‘.&·" + "".join(chr(code) for code in range(0x300, 0x370) if unicodedata.combining(chr(code)))
"""Signs that belong in a spelled word."""


@dataclass(frozen=True, slots=True)
class Target:
    """One word to aim at: as typed, its adult form (None if unreadable) and where that came from."""

    typed: str
    adult: Word | None
    read_from: str
    sure: bool
    note: str = ""
    other_readings: tuple[str, ...] = ()


def targets_in_phrase(
    text: str, language: str, profile: Profile, notation: str = "ipa"
) -> tuple[tuple[Target, ...], tuple[Problem, ...]]:
    """The words of a phrase in order; `notation` is how words between slashes are typed (ipa, x-sampa).
    An empty phrase is a problem; a word that cannot be read is kept and named."""
    from approx.lexicon.phrase import read_phrase

    if not text.strip():
        hint = 'write a phrase between quotes, such as "more tea"'
        return (), (Problem("suggest.empty", "the phrase is empty", hint),)
    spoken, problems = read_phrase(text, language, own=own_readings(language, profile))
    out: list[Target] = []
    found = list(problems)
    for word in spoken:
        out += _targets(word.typed, word.readings, language, found, column=word.column, notation=notation)
    return tuple(out), tuple(found)


def targets_in_list(
    rows: Sequence[tuple[str, str, int]], language: str, profile: Profile, file: str, notation: str = "ipa"
) -> tuple[tuple[Target, ...], tuple[Problem, ...]]:
    """The words of a list; IPA in the second place wins over the lexicon."""
    from approx.lexicon import pronunciations

    own = own_readings(language, profile)
    out: list[Target] = []
    found: list[Problem] = []
    for typed, ipa, line in rows:
        if not ipa and len(typed) > 2 and typed[0] == typed[-1] == "/":
            ipa = typed
        if ipa:
            readings: tuple[Pronunciation, ...] = (Pronunciation(ipa.strip("/[] "), "typed", True),)
        elif len(typed.split()) > 1:
            phrase, more = targets_in_phrase(typed, language, profile, notation)
            out += phrase
            found += [problem.at(file, line) for problem in more]
            continue
        else:
            readings = pronunciations(typed, language, own)
        if not readings:
            hint = "write it as IPA: in the column target_ipa, or between slashes"
            found.append(Problem("lexicon.unknown", f"cannot read '{typed}'", hint, file, line, symbol=typed))
            out.append(Target(typed, None, "", False, "not read"))
            continue
        out += _targets(typed, readings, language, found, file, line, notation=notation)
    return tuple(out), tuple(found)


def own_readings(language: str, profile: Profile) -> dict[str, str]:
    """Remembered readings of this user, then the child's own, which win."""
    from approx.lexicon.own_words import load_own_words

    own, _ = load_own_words(language)
    return {**own, **profile.readings}


def _targets(
    typed: str,
    readings: Sequence[Pronunciation],
    language: str,
    problems: list[Problem],
    file: str = "",
    line: int | None = None,
    column: int | None = None,
    notation: str = "ipa",
) -> list[Target]:
    """The target of one typed word: its first reading, the others named."""
    if not readings:
        return [Target(typed, None, "", False, "not read")]
    first = readings[0]
    reading = read(first.ipa, language, notation if first.source == "typed" else "ipa")
    if reading.problems or not reading.words:
        problems += [problem.at(file, line, column) for problem in reading.problems]
        if not reading.words:
            message = f"'{typed}' holds no sound"
            problems.append(
                Problem("suggest.no-sound", message, "write IPA between slashes", file, line, column, typed)
            )
        return [Target(typed, None, first.source, False, "not read")]
    spelled = first.source not in ("typed", "own words")
    strange = [
        char
        for char in typed
        if spelled and not (char.isalnum() or char in _IN_WORDS or unicodedata.category(char) == "Cf")
    ]
    if strange or (spelled and any(char.isdigit() for char in typed) and any(map(str.isalpha, typed))):
        symbol = "".join(dict.fromkeys(strange)) or "".join(char for char in typed if char.isdigit())
        message = f"'{symbol}' in '{typed}' was not read; the rest was"
        problems.append(Problem("lexicon.symbol", message, "check the word", file, line, column, symbol, fatal=False))
        first = replace(first, sure=False, note="a symbol in it was not read")
    others = tuple(other.ipa for other in readings[1:])
    return [
        Target(typed, word, first.source, first.sure, first.note, others if len(reading.words) == 1 else ())
        for word in reading.words
    ]
