"""Plainly typed forms straight into words: the quick way for samples with many different forms.

Only text of sounds, marks after them, stress marks and dots that `approx.ipa.read` takes as it stands goes this way; what
would be joined, doubted, moved or refused is left to it. The words and the notes are the same; tests compare the two.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from sys import intern
from typing import NamedTuple
from unicodedata import is_normalized, normalize

from approx.datafiles import read_tsv, rules_path
from approx.ipa.features import TIE, bare, bases, features, is_nucleus, is_vowel, marks
from approx.ipa.language import Language, language
from approx.ipa.syllables import syllable_starts
from approx.ipa.typed_word import STRESS
from approx.ipa.word import UNINTELLIGIBLE, Word, unmarked

FormNote = tuple[str, str, str]
"""A change: what was typed, what it was read as, why."""

LONGEST_PLAIN = 60
"""Characters of a form that is read this way."""
_MOST_PIECES = 8192
"""Pieces of forms that are remembered: those that come first are those that come often."""
_SOUND, _NUCLEUS, _STRESS, _CUT, _READ = range(5)
_NON_SYLLABIC = "̯"


class _Part(NamedTuple):
    kind: int
    phone: str
    degree: int = 0
    note: FormNote | None = None


_NEXT = _Part(_NUCLEUS, "")
"""The vowel that the next piece begins with."""


class _Piece(NamedTuple):
    """Vowels and the consonants after them, or the consonants that a form begins with; `pattern` is the number of its
    `_Pattern`, -1 where it is left to the careful reader."""

    phones: tuple[str, ...] = ()
    pattern: int = -1
    notes: tuple[FormNote, ...] = ()


class _Pattern(NamedTuple):
    """What of a piece decides over syllables and stress: how many phones it has, whether it begins with a vowel, its vowels
    as far as they matter for stress, and of each syllable whose vowel comes after the first the start and the degree."""

    phones: int
    begun: bool
    vowels: tuple[str, ...]
    starts: tuple[int, ...]
    stress: tuple[int, ...]


class QuickReader:
    """Reads forms of one language. Equal sounds and patterns are one object.

    A form is cut before each vowel that follows a consonant. Many different forms have few different pieces (of 200,000 forms
    20,000), and each is read once: its sounds, where a syllable begins in it, and how it is stressed.
    """

    def __init__(self, tag: str) -> None:
        self._language = language(tag)
        self._tokens, self._slow, self._pairs, self._pieces = _plain(tag)
        self._parts: dict[str, _Part] = {mark: _Part(_STRESS, "", degree) for mark, degree in STRESS.items()}
        self._parts["."] = _Part(_CUT, "")
        self._onsets: dict[tuple[str, ...], int] = {}
        self._inner: dict[str, _Piece] = {}
        self._last: dict[str, _Piece] = {}
        self._rows: dict[tuple[int, ...], tuple[int, ...]] = {}
        self._patterns: dict[_Pattern, int] = {}
        self._syllables: dict[tuple[int, ...], tuple[tuple[int, ...], tuple[int, ...]]] = {}

    def word(self, text: str) -> tuple[Word, tuple[FormNote, ...]] | None:
        """The word and what is noted of it; None where the text needs a closer look."""
        pieces = self._pieces.findall(text) if len(text) <= LONGEST_PLAIN else []
        if not pieces:
            return None
        last = pieces.pop()
        known = self._inner
        phones: list[str] = []
        patterns: list[int] = []
        notes: tuple[FormNote, ...] = ()
        for piece in pieces:
            sounds, pattern, noted = known.get(piece) or self._piece(piece, True)
            if pattern < 0:
                return None
            phones += sounds
            patterns.append(pattern)
            if noted:
                notes += noted
        sounds, pattern, noted = self._last.get(last) or self._piece(last, False)
        if pattern < 0:
            return None
        phones += sounds
        patterns.append(pattern)
        if noted:
            notes += noted
        key = tuple(patterns)
        starts, stress = self._syllables.get(key) or self._in_syllables(key)
        return Word(tuple(phones), starts, stress), _in_order(notes) if len(notes) > 1 else notes

    def _piece(self, text: str, followed: bool) -> _Piece:
        """Reads a piece; `followed` by another one, which begins with a vowel."""
        piece = self._read_piece(text, followed) or _Piece()
        known = self._inner if followed else self._last
        if len(known) < _MOST_PIECES:
            known[text] = piece
        return piece

    def _read_piece(self, text: str, followed: bool) -> _Piece | None:
        found = self._tokens.findall(text)
        if "".join(found) != text or self._slow.search(text) or not is_normalized("NFD", text):
            return None
        parts = [self._parts.get(token) or self._part(token) for token in found]
        begun = parts[0].kind == _NUCLEUS
        phones: list[str] = []
        vowels: list[str] = []
        starts: list[int] = []
        stress: list[int] = []
        left, cut, degree = -1, -1, 0
        for kind, phone, mark, _ in (*parts, *[_NEXT] * followed):
            if kind == _SOUND:
                phones.append(phone)
            elif kind == _NUCLEUS:
                at = len(phones)
                if left >= 0:
                    starts.append(cut if cut >= 0 else left + 1 + self._onset(tuple(phones[left + 1 :])))
                    stress.append(degree)
                elif not begun:
                    starts.append(0)
                    stress.append(degree)
                if phone:
                    phones.append(phone)
                    vowels.append("ə" if phone == "ə" else "a")
                left, cut, degree = at, -1, 0
            else:
                # one boundary at most between two vowels, none but a stress mark before the first sound
                if kind == _READ or cut >= 0 or (left < 0 and (phones or kind == _CUT)):
                    return None
                cut, degree = len(phones), mark
        if cut >= 0 or left < 0:
            return None  # a boundary without a vowel after it, or no vowel at all
        pattern = _Pattern(len(phones), begun, tuple(vowels), tuple(starts), tuple(stress))
        notes = tuple(part.note for part in parts if part.note)
        return _Piece(tuple(phones), self._patterns.setdefault(pattern, len(self._patterns)), notes)

    def _in_syllables(self, key: tuple[int, ...]) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Starts and stress of the syllables in pieces of these patterns."""
        patterns = list(self._patterns)
        count, starts, stress, vowels = 0, [0], [0], list[str]()
        if not patterns[key[0]].begun:
            starts, stress = [], []
        for pattern in map(patterns.__getitem__, key):
            starts += [count + start for start in pattern.starts]
            stress += pattern.stress
            vowels += pattern.vowels
            count += pattern.phones
        if 1 not in stress:
            stress[stress.index(2) if 2 in stress else unmarked(vowels, starts)] = 1
        found = self._syllables[key] = self._row(starts), self._row(stress)
        return found

    def _row(self, numbers: Iterable[int]) -> tuple[int, ...]:
        row = tuple(numbers)
        return self._rows.setdefault(row, row)

    def _onset(self, between: tuple[str, ...]) -> int:
        """How many of the consonants between two vowels stay with the first of them."""
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


def _in_order(notes: tuple[FormNote, ...]) -> tuple[FormNote, ...]:
    """Each kind of note where it first came, as often as it came."""
    return tuple([note for note in dict.fromkeys(notes) for _ in range(notes.count(note))])


@cache
def quick_reader(tag: str) -> QuickReader:
    """The reader of a language."""
    return QuickReader(tag)


@cache
def _plain(tag: str) -> tuple[re.Pattern[str], re.Pattern[str], frozenset[str], re.Pattern[str]]:
    """Sounds with their marks; what is left to the careful reader; pairs of letters that it would join; pieces of forms."""
    lang = language(tag)
    sounds, pairs, vowels = _one_sound(tag)
    after = "".join(re.escape(mark) for mark in marks() if mark != _NON_SYLLABIC and mark not in lookalikes(lang.code))
    pieces = re.compile(f"(?:[{vowels}][{after}]*)+[^{vowels}]*|[^{vowels}]+")
    return re.compile(f"(?:{sounds})[{after}]*|[ˈˌ.]"), _slow(lang, pairs, after), pairs, pieces


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
def _one_sound(tag: str) -> tuple[str, frozenset[str], str]:
    """A pattern of one sound without marks; the pairs of letters that reading would join or change; letters of vowels."""
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
    vowels = "".join(re.escape(sound) for sound in single if is_vowel(sound))
    return f"[{consonants}]{TIE}[{consonants}](?!{TIE})|{two}|[{one}](?!{TIE})", frozenset(joined), vowels
