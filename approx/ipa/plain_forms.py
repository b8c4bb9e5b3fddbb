"""Plainly typed forms straight into words: the quick way for samples with many different forms.

Only text of sounds, marks after them, stress marks and dots that `approx.ipa.read` takes as it stands goes this way; what
would be joined, doubted, moved or refused is left to it. The words and the notes are the same; tests compare the two.
"""

from __future__ import annotations

import re
from functools import cache
from sys import intern
from typing import NamedTuple
from unicodedata import is_normalized, normalize

from approx.datafiles import read_tsv, rules_path
from approx.ipa.features import TIE, bare, bases, features, is_nucleus, is_vowel, marks
from approx.ipa.language import Language, language
from approx.ipa.syllables import syllable_starts
from approx.ipa.typed_sounds import STRESS
from approx.ipa.word import UNINTELLIGIBLE, Word, unmarked

FormNote = tuple[str, str, str]
"""A change: what was typed, what it was read as, why."""

LONGEST_PLAIN = 60
"""Characters of a form that is read this way."""
_SOUND, _NUCLEUS, _STRESS, _CUT, _READ = range(5)
_NON_SYLLABIC = "̯"


class _Part(NamedTuple):
    kind: int
    phone: str
    degree: int = 0
    note: FormNote | None = None


class QuickReader:
    """Reads forms of one language. Equal sounds and patterns are one object."""

    def __init__(self, tag: str) -> None:
        self._language = language(tag)
        self._tokens, self._slow, self._pairs = _plain(tag)
        self._parts: dict[str, _Part] = {mark: _Part(_STRESS, "", degree) for mark, degree in STRESS.items()}
        self._parts["."] = _Part(_CUT, "")
        self._onsets: dict[tuple[str, ...], int] = {}
        self._rows: dict[tuple[int, ...], tuple[int, ...]] = {}

    def word(self, text: str) -> tuple[Word, tuple[FormNote, ...]] | None:
        """The word and what is noted of it; None where the text needs a closer look."""
        found = self._tokens.findall(text)
        if not found or "".join(found) != text or len(text) > LONGEST_PLAIN or self._slow.search(text):
            return None
        if not is_normalized("NFD", text):
            return None
        parts = self._parts
        phones: list[str] = []
        starts = [0]
        stress = [0]
        notes: list[FormNote] = []
        left, cut, degree = -1, -1, 0
        for token in found:
            kind, phone, mark, note = parts.get(token) or self._part(token)
            if kind == _SOUND:
                phones.append(phone)
            elif kind == _NUCLEUS:
                at = len(phones)
                phones.append(phone)
                if left >= 0:
                    starts.append(cut if cut >= 0 else left + 1 + self._onset(phones, left + 1, at))
                    stress.append(degree)
                else:
                    stress[0] = degree
                left, cut, degree = at, -1, 0
            else:
                # one boundary at most between two vowels, none but a stress mark before the first sound
                if kind == _READ or cut >= 0 or (left < 0 and (phones or kind == _CUT)):
                    return None
                cut, degree = len(phones), mark
            if note:
                notes.append(note)
        if cut >= 0 or left < 0:
            return None  # a boundary without a vowel after it, or no vowel at all
        if 1 not in stress:
            stress[stress.index(2) if 2 in stress else unmarked(phones, starts)] = 1
        rows = self._rows.setdefault
        begin, degrees = tuple(starts), tuple(stress)
        word = Word(tuple(phones), rows(begin, begin), rows(degrees, degrees))
        return word, tuple(_in_order(notes)) if notes else ()

    def _onset(self, phones: list[str], first: int, nucleus: int) -> int:
        """How many of the consonants between two vowels stay with the first of them."""
        between = tuple(phones[first:nucleus])
        kept = self._onsets.get(between)
        if kept is None:
            kept = self._onsets[between] = syllable_starts(("a", *between, "a"), (), self._language)[1] - 1
        return kept

    def _part(self, token: str) -> _Part:
        part = _Part(_READ, "")
        base = bare(token)[0]
        if token[:2] not in self._pairs and features(token) is not None and base not in self._language.doubtful:
            why = self._language.noted.get(base)
            note = (base, base, why) if why else None
            part = _Part(_NUCLEUS if is_nucleus(token) else _SOUND, intern(token), 0, note)
        self._parts[token] = part
        return part


def _in_order(notes: list[FormNote]) -> list[FormNote]:
    """Each kind of note where it first came, as often as it came."""
    return [note for note in dict.fromkeys(notes) for _ in range(notes.count(note))]


@cache
def quick_reader(tag: str) -> QuickReader:
    """The reader of a language."""
    return QuickReader(tag)


@cache
def _plain(tag: str) -> tuple[re.Pattern[str], re.Pattern[str], frozenset[str]]:
    """Sounds with their marks; what is left to the careful reader; pairs of letters that it would join."""
    lang = language(tag)
    sounds, pairs = _one_sound(tag)
    after = "".join(re.escape(mark) for mark in marks() if mark != _NON_SYLLABIC and mark not in lookalikes(lang.code))
    return re.compile(f"(?:{sounds})[{after}]*|[ˈˌ.]"), _slow(lang, pairs, after), pairs


def _slow(lang: Language, pairs: frozenset[str], after: str) -> re.Pattern[str]:
    """Text that may be doubted, and two letters that are one sound but for a mark between them."""
    doubted = [re.escape(entry) for entry in lang.doubtful if len(entry) > 1]
    joined = sorted({*pairs, *lang.diphthongs})
    apart = [f"{re.escape(pair[0])}[{after}]+{re.escape(pair[1:])}" for pair in joined]
    return re.compile("|".join((UNINTELLIGIBLE, *doubted, *apart)))


@cache
def lookalikes(code: str) -> frozenset[str]:
    """What is typed for another symbol in a language, decomposed."""
    primary = code.split("-", maxsplit=1)[0]
    rows = read_tsv(rules_path("ipa/lookalikes.tsv"))
    return frozenset(normalize("NFD", row["typed"]) for row in rows if row["language"] in ("", primary))


@cache
def _one_sound(tag: str) -> tuple[str, frozenset[str]]:
    """A pattern of one sound without marks; and the pairs of letters that reading would join or change."""
    lang = language(tag)
    alike = lookalikes(lang.code)
    joined = {pair.replace(TIE, "") for pair in lang.affricates} | set(lang.respelled) | set(lang.rhotic) | alike
    joined = {entry for entry in joined if len(entry) == 2}
    seconds: dict[str, str] = {}
    for pair in sorted(joined | lang.diphthongs):
        seconds[pair[0]] = seconds.get(pair[0], "") + pair[1]
    two = "|".join(f"{re.escape(first)}[{re.escape(second)}]" for first, second in seconds.items()) or "(?!)"
    single = [sound for sound in bases() if len(sound) == 1 and sound not in alike]
    one = "".join(map(re.escape, single))
    consonants = "".join(re.escape(sound) for sound in single if not is_vowel(sound))
    return f"[{consonants}]{TIE}[{consonants}](?!{TIE})|{two}|[{one}](?!{TIE})", frozenset(joined)
