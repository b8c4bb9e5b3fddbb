"""The one reader of IPA: what is typed becomes words, every change reported once, nothing dropped, no doubt made certain.

How a text is read is decided in `typed_text` and `typed_word` alone. The reader keeps what they made of pieces of words, and
puts forms together from pieces it knows: of 200,000 forms that children said there are 20,000 pieces.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache, lru_cache
from sys import intern
from typing import NamedTuple
from unicodedata import normalize

from approx.ipa.features import TIE, bases, is_nucleus, is_vowel, marks
from approx.ipa.language import language
from approx.ipa.reading import Reading, ReadingChange, ReadingNotes
from approx.ipa.typed_text import read_text
from approx.ipa.typed_word import STRESS, WordReader
from approx.ipa.word import WEAK_VOWEL, Word

_NEXT = "i"
"""A vowel that stands for that of the next piece; it is plain in every language."""
_STRESS_SIGNS = ("", *STRESS)
_LONGEST = 60
"""Characters of a form that is put together from pieces."""
_MOST_KEPT = 16384
"""Pieces, skeletons and rows of syllables that are kept: those that come first are those that come often."""


class _Piece(NamedTuple):
    """A vowel (or several in a row) and what follows up to the next vowel, or what a form begins with before its first one.

    `skeleton` has what decides where syllables begin and how they are stressed: C for a consonant, V for a vowel, ə for
    itself, a dot where a syllable begins inside, the stress marks that were typed. It is empty for a piece by which
    nothing can be put together.
    """

    phones: tuple[str, ...] = ()
    skeleton: str = ""
    changes: tuple[ReadingChange, ...] = ()


class Reader:
    """Reads what is typed in one language and notation. Equal sounds and equal rows of syllables are one object.

    A form is cut before each vowel that follows something else. Each piece is read with a vowel after it, or with the end of
    the word, which is all that its reading depends on: no two sounds on both sides of such a cut are ever one, doubt each other, or
    change places (`tests/ipa/test_ipa_reader.py`). Where the syllables are is read from the first whole form of a skeleton.
    What has a problem, a doubt, or a change other than a remark on a symbol that is kept, is read whole.
    """

    def __init__(self, language_tag: str = "en-US", notation: str = "ipa") -> None:
        self._language, self._notation = language(language_tag), notation
        self._cut, self._plain, self._vowels = _signs()
        self._inner: dict[str, _Piece] = {}
        self._last: dict[str, _Piece] = {}
        self._syllables: dict[str, tuple[tuple[int, ...], tuple[int, ...]]] = {}
        self._rows: dict[tuple[int, ...], tuple[int, ...]] = {}

    def read(self, text: str) -> Reading:
        """Read a cell or a form: words between blanks.

        Slashes, brackets or quotation marks around words are taken off. Problems name symbol, code point and
        column (from 1, in what was typed).
        """
        pieces = self._cut.findall(text) if len(text) <= _LONGEST and self._notation == "ipa" else None
        if not pieces:
            return self._whole(text)
        last = pieces.pop()
        known = self._inner
        phones: list[str] = []
        skeleton = ""
        changes: tuple[ReadingChange, ...] = ()
        for piece in pieces:
            sounds, shape, noted = known.get(piece) or self._piece(piece, True)
            if not shape:
                return self._whole(text)
            phones += sounds
            skeleton += shape
            if noted:
                changes += noted
        sounds, shape, noted = self._last.get(last) or self._piece(last, False)
        if not shape:
            return self._whole(text)
        phones += sounds
        skeleton += shape
        if noted:
            changes += noted
        syllables = self._syllables.get(skeleton)
        if syllables is None:
            return self._first_of(skeleton, text)
        return Reading(text, (Word(tuple(phones), *syllables),), _together(changes) if len(changes) > 1 else changes)

    def _first_of(self, skeleton: str, text: str) -> Reading:
        """Reads the first form of a skeleton, whole, and keeps where its syllables are."""
        reading = self._whole(text)
        if len(self._syllables) < _MOST_KEPT:
            self._syllables[skeleton] = reading.words[0].starts, reading.words[0].stress
        return reading

    def _whole(self, text: str) -> Reading:
        """Reads a text sign by sign."""
        found = read_text(text, self._language, self._notation)
        words = tuple(
            Word(
                tuple(map(intern, word.phones)),
                self._row(word.starts),
                self._row(word.stress),
                word.doubtful,
                word.omitted,
            )
            for word in found.words
        )
        return Reading(text, words, found.changes, found.problems, found.omitted)

    def _piece(self, text: str, followed: bool) -> _Piece:
        """A piece that was not met before; `followed` by another one, which begins with a vowel."""
        piece = self._read_piece(text, followed) or _Piece()
        known = self._inner if followed else self._last
        if len(known) < _MOST_KEPT:
            known[text] = piece
        return piece

    def _read_piece(self, text: str, followed: bool) -> _Piece | None:
        if not self._plain.issuperset(text):
            return None
        notes = ReadingNotes(text)
        careful = WordReader(notes, self._language, exact=False)
        words = careful.read(normalize("NFD", text + _NEXT if followed else text), 0)
        changes = notes.changes
        if notes.problems or len(words) != 1 or words[0].doubtful:
            return None
        if changes and any(change.typed not in self._language.noted for change in changes):
            return None
        phones = [intern(phone) for phone in words[0].phones]
        if followed and phones.pop() != _NEXT:
            return None
        if text[0] in self._vowels and not is_nucleus(phones[0]):
            return None
        signs = [_sign(phone) for phone in phones]
        if followed:
            signs.append("")
        for at, degree in careful.sounds.stressed.items():
            signs[at] = _STRESS_SIGNS[degree] + signs[at]
        for at in words[0].starts[1:]:
            signs[at] = "." + signs[at]
        return _Piece(tuple(phones), intern("".join(signs)), changes)

    def _row(self, numbers: tuple[int, ...]) -> tuple[int, ...]:
        return self._rows.setdefault(numbers, numbers) if len(self._rows) < _MOST_KEPT else numbers


def _together(changes: Iterable[ReadingChange]) -> tuple[ReadingChange, ...]:
    """Each kind of change once, where it first came."""
    times: dict[tuple[str, str, str], int] = {}
    for change in changes:
        kind = change.typed, change.read, change.why
        times[kind] = times.get(kind, 0) + change.times
    return tuple(ReadingChange(*kind, count) for kind, count in times.items())


@cache
def _signs() -> tuple[re.Pattern[str], frozenset[str], frozenset[str]]:
    """How a form is cut into pieces; the signs of which a piece consists: single symbols, marks, boundaries, tie bars; the
    vowels among them."""
    symbols = [symbol for symbol in bases() if len(symbol) == 1]
    vowels = [symbol for symbol in symbols if is_vowel(symbol)]
    vowel, after = "".join(map(re.escape, vowels)), "".join(map(re.escape, (*marks(), TIE)))
    cut = re.compile(f"(?:[{vowel}][{after}]*)+[^{vowel}]*|[^{vowel}]+")
    return cut, frozenset((*symbols, *marks(), *STRESS, ".", TIE)), frozenset(vowels)


@lru_cache(maxsize=65536)
def _sign(phone: str) -> str:
    """What stands for a sound in a skeleton."""
    if not is_nucleus(phone):
        return "C"
    return WEAK_VOWEL if phone == WEAK_VOWEL else "V"


@lru_cache(maxsize=256)
def reader_of(language_tag: str = "en-US", notation: str = "ipa") -> Reader:
    """The reader of a language and a notation: "ipa" or "x-sampa"."""
    return _one_of(language(language_tag).code, notation)


@cache
def _one_of(code: str, notation: str) -> Reader:
    return Reader(code, notation)


@lru_cache(maxsize=65536)
def read(text: str, language_tag: str = "en-US", notation: str = "ipa") -> Reading:
    """Read a cell or a form (`Reader.read`) in a language and a notation; what is asked again is kept whole."""
    return reader_of(language_tag, notation).read(text)


def segments(text: str, language_tag: str = "en-US") -> tuple[str, ...]:
    """The sounds of one canonical form. ValueError on anything that is not one word of known symbols."""
    found = read(text, language_tag)
    if found.problems or len(found.words) != 1:
        raise ValueError("; ".join(map(str, found.problems)) or f"'{text}' is not one word")
    return found.words[0].phones
