"""What a word can be asked to work on: a sound, a vowel, a cluster, a shape, a length or a process, as a clinician writes it.

"k", "k final", "sp initial", "ʊ", "CVC", "CV.CV", "3 syllables", "velar fronting".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache

from approx.child.demands import position_of
from approx.child.profile import POSITIONS
from approx.ipa import read
from approx.ipa.features import is_nucleus
from approx.ipa.word import UNIDENTIFIED, Word
from approx.practice.words.word_bank import BankWord, Key
from approx.practice.words.word_weights import typed_sounds
from approx.problems import Problem
from approx.wording import worded

_PLACES = {
    **{name: name for name in POSITIONS},
    "inicial": "initial",
    "medio": "medial",
    "start": "initial",
    "middle": "medial",
    "end": "final",
}
_SHAPE = re.compile(r"(?=.*V)[CV]+(?:[.\-][CV]+)*", re.IGNORECASE)
_LENGTH = re.compile(r"([1-9])\s*-?\s*(?:syll\w*|sílabas?|silabas?)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class WordGoal:
    """One thing to work on. `kind`: sound, vowel, cluster, shape, length or process; `place` "" is anywhere in a word."""

    text: str
    kind: str
    sounds: tuple[str, ...] = ()
    place: str = ""
    language: str = "en-US"
    """Of the words, where the goal is a process: what can be lost in one language is none of another."""

    def works_on(self, word: BankWord) -> bool:
        """True if the adult form gives the child an opportunity for it."""
        if self.kind == "shape":
            wanted = self.sounds[0]
            return wanted == word.shape.replace(".", "") or wanted in (word.shape, *word.shape.split("."))
        if self.kind == "length":
            return str(word.syllables) == self.sounds[0]
        if self.kind == "process":
            return self.sounds[0] in _chances(word.adult, self.language)
        return any(
            self.sounds == run and self.place in ("", place) for run, place in _runs(word.adult, len(self.sounds))
        )

    def is_singleton_in(self, word: BankWord) -> bool:
        """True if the goal stands in the word by itself, no part of a cluster; a medial one between vowels, for the l of dulce
        closes a syllable as a last one does; of other goals than sounds if it works."""
        if self.kind != "sound":
            return self.works_on(word)
        phones, edges = word.adult.phones, {*word.adult.starts, len(word.adult.phones)}
        nuclei = [at for at, phone in enumerate(phones) if is_nucleus(phone)] or [len(phones)]
        return any(
            phone == self.sounds[0]
            and (at in edges or is_nucleus(phones[at - 1]))
            and (at + 1 in edges and self.place != "medial" or at + 1 < len(phones) and is_nucleus(phones[at + 1]))
            and self.place in ("", position_of(at, len(phones), nuclei[0], nuclei[-1]))
            for at, phone in enumerate(phones)
        )

    def asked_by(self, keys: Iterable[Key]) -> bool:
        """True if one of these demands asks for it."""
        return any(self._is(key) for key in keys)

    def _is(self, key: Key) -> bool:
        kind, item = key
        if self.kind in ("shape", "length"):
            return kind == self.kind and item[0] == self.sounds[0]
        if self.kind == "vowel":
            return kind == "vowel" and item == self.sounds
        if kind not in ("consonant", "cluster") or self.place not in ("", item[-1]):
            return False
        if self.kind == "cluster":
            return kind == "cluster" and item[:-1] == self.sounds
        return self.kind == "sound" and kind == "consonant" and item[0] == self.sounds[0]


def _runs(word: Word, size: int) -> Iterable[tuple[tuple[str, ...], str]]:
    """Every run of so many sounds within a syllable, with its place; a longer cluster has its parts."""
    phones, count = word.phones, len(word.phones)
    nuclei = [at for at in range(count) if is_nucleus(phones[at])] or [count]
    for start, end in zip(word.starts, (*word.starts[1:], count), strict=True):
        for at in range(start, end - size + 1):
            run = phones[at : at + size]
            if size == 1 or not any(map(is_nucleus, run)):
                yield run, "" if is_nucleus(run[0]) else position_of(at, count, nuclei[0], nuclei[-1])


@lru_cache(maxsize=16384)
def _chances(word: Word, language: str) -> frozenset[str]:
    from approx.processes.explain.opportunities import opportunities_in

    return frozenset(opportunities_in(word, language=language))


def read_goals(
    texts: Sequence[str], language: str, option: str = "--goal"
) -> tuple[tuple[WordGoal, ...], tuple[Problem, ...]]:
    """Goals from what was typed, each as typed, and a problem for each that cannot be read. Commas part several."""
    goals: list[WordGoal] = []
    problems: list[Problem] = []
    for text in (part.strip() for typed in texts for part in typed.split(",")):
        if text:
            goal = _read(text, language, option, problems)
            goals += [goal] if goal else []
    return tuple(dict.fromkeys(goals)), tuple(problems)


def _read(text: str, language: str, option: str, problems: list[Problem]) -> WordGoal | None:
    if _SHAPE.fullmatch(text) and text == text.upper():
        return WordGoal(text, "shape", (text.replace("-", "."),))
    if length := _LENGTH.fullmatch(text):
        return WordGoal(text, "length", (length[1],))
    words = text.split()
    place = _PLACES.get(words[-1].lower(), "") if len(words) > 1 else ""
    typed = " ".join(words[:-1]) if place else text
    if " " in typed or len(typed) > 6:
        return _process(text, language, option, problems)
    sound = typed.strip("/[]")
    if sound in typed_sounds():
        meant = typed_sounds()[sound]
        message = worded("{option}: '{sound}' was read as {meant}", option=option, sound=sound, meant=meant)
        problems.append(Problem("words.spelled-sound", message, "IPA is safer", symbol=sound, fatal=False))
        sound = meant
    reading = read(sound, language)
    phones = reading.words[0].phones if len(reading.words) == 1 else ()
    wrong = next((problem for problem in reading.problems if problem.fatal), None)
    vowels = [is_nucleus(phone) for phone in phones]
    if wrong or not phones or UNIDENTIFIED & set(phones) or any(vowels) and len(phones) > 1:
        known = _process(text, language, option, [])
        if known is None:
            hint = 'write a sound in IPA ("k final"), a cluster ("sp initial"), a shape ("CVC"), "3 syllables" or a process'
            problems.append(
                Problem(
                    f"use.{option.strip('-')}",
                    worded("{option} cannot be {value}", option=option, value=f"'{text}'"),
                    hint,
                    symbol=text,
                )
            )
        return known
    problems += [problem for problem in reading.problems if not problem.fatal]
    if vowels[0] and place:
        problems.append(
            Problem(
                "words.vowel-place",
                worded("{option}: vowels are taken in any place", option=option),
                symbol=text,
                fatal=False,
            )
        )
        place = ""
    if place:
        text = worded("{sounds} {position}", sounds=typed, position=words[-1].lower())
    return WordGoal(text, "vowel" if vowels[0] else "sound" if len(phones) == 1 else "cluster", phones, place)


def _process(text: str, language: str, option: str, problems: list[Problem]) -> WordGoal | None:
    from approx.processes.rules.ruleset import load_rules

    rules = load_rules()
    found = rules.process(text.lower())
    if found is not None:
        return WordGoal(text, "process", (found.name,), language=language)
    known = [name for process in rules.processes for name in (process.name, process.spanish)]
    near = get_close_matches(text.lower(), known, 2, 0.5)
    hint = (
        worded("did you mean {near}?", near=" or ".join(near))
        if near
        else "write a sound in IPA, a cluster, a shape or a process; `approx list processes` names those"
    )
    problems.append(
        Problem(
            f"use.{option.strip('-')}",
            worded("{option} cannot be {value}", option=option, value=f"'{text}'"),
            hint,
            symbol=text,
        )
    )
    return None
