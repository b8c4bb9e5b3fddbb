"""The one reader of IPA: what is typed becomes words, every change reported once, nothing dropped, no doubt made certain.

Of a text, what stands around words is taken off and blanks part them; X-SAMPA, an open ASCII spelling of the IPA (Wells 1995), is
turned into IPA by `rules/ipa/xsampa.tsv`. How a word is read, sign by sign, is decided in `typed_word` alone. The reader keeps
what was made of the vowels and the clusters of words, and puts together forms of those it knows: in 70,000 different forms there
are 4,000.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache, lru_cache
from itertools import pairwise
from sys import intern
from typing import NamedTuple
from unicodedata import normalize

from approx.datafiles import read_tsv, rules_path
from approx.ipa.features import TIE, bases, is_nucleus, is_vowel, marks
from approx.ipa.language import Language, language
from approx.ipa.reading import Reading, ReadingChange, ReadingNotes
from approx.ipa.typed_word import STRESS, WordReader
from approx.ipa.word import OMISSIONS, WEAK_VOWEL, Word, build_word

_EDGE = "#"
"""The edge of a word, in a piece and in a skeleton."""
_NEIGHBOUR = "æ"
"""A vowel that stands for the one beside a piece; in no language is there anything to say of it."""
_STRESS_SIGNS = ("", *STRESS)
_LONGEST = 60
"""Characters of a form that is put together from pieces."""
_MOST_KEPT = 16384
"""Pieces, skeletons and rows of syllables that are kept: those that come first are those that come often."""
_MARKS = "'‘’\"“”„«»‹›"
_QUOTES = rf"(?<!\S)([{_MARKS}])([^{_MARKS}]*[^\s{_MARKS}])([{_MARKS}])(?!\S)"
_FRAMES = frozenset("/[]⟨⟩" + _MARKS)
_BRACKETS = (
    r"(?<!\S)(/)(?=[^\s/])([^/]*)(?<=[^\s/])(/)(?!\S)",
    r"(?<![^\s\]])(\[)([^\[\]]*)(\])(?![^\s\[])",
    r"(?<!\S)(⟨)([^⟨⟩]*)(⟩)(?!\S)",
)
_WORD = re.compile(r"[^\s|‖‿]+")
"""What stands between blanks and the marks of groups."""


class _Piece(NamedTuple):
    """What was read in a piece of a form, and its part of the skeleton, "" where nothing can be put together with it.

    A skeleton has what decides where syllables begin and how they are stressed: C for a consonant, V for a vowel, ə for
    itself, a dot where a syllable begins, the stress marks that were typed.
    """

    phones: tuple[str, ...] = ()
    skeleton: str = ""
    changes: tuple[ReadingChange, ...] = ()


class IpaReader:
    """Reads what is typed in one language and notation. Equal sounds and equal rows of syllables are one object.

    A form is cut at each border of vowels and what is no vowel, but not where a table of the language has the two as a pair.
    So the reading of a piece depends on no more of its neighbours than that they are vowels, or the edge of the word; it is read
    once, between such. Where the syllables are is found once for each skeleton. What has a problem, a doubt, or a change other
    than a remark on a symbol that is kept, is read whole. `tests/ipa/test_ipa_reader.py` compares both ways.
    """

    def __init__(self, language_tag: str = "en-US", notation: str = "ipa") -> None:
        self._language, self._notation = language(language_tag), notation
        self._cut = _pattern(self._language)
        self._pieces: dict[str, _Piece] = {}
        self._syllables: dict[str, tuple[tuple[int, ...], tuple[int, ...]]] = {}
        self._rows: dict[tuple[int, ...], tuple[int, ...]] = {}

    def read(self, text: str) -> Reading:
        """Read a cell or a form: words between blanks.

        Slashes, brackets or quotation marks around words are taken off. Problems name symbol, code point and
        column (from 1, in what was typed).
        """
        if self._notation != "ipa" or _EDGE in text or len(text) > _LONGEST:
            return self._whole(text)
        known = self._pieces
        phones: list[str] = []
        skeleton = ""
        changes: tuple[ReadingChange, ...] = ()
        for piece in self._cut.findall(f"#{text}#"):
            sounds, shape, noted = known.get(piece) or self._piece(piece)
            if not shape:
                return self._whole(text)
            phones += sounds
            skeleton += shape
            if noted:
                changes += noted
        syllables = self._syllables.get(skeleton) or self._in_syllables(skeleton, phones)
        return Reading(text, (Word(tuple(phones), *syllables),), _together(changes) if len(changes) > 1 else changes)

    def _in_syllables(self, skeleton: str, phones: list[str]) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Starts and stress of the syllables in the first form of a skeleton."""
        cuts: list[int] = []
        stressed: dict[int, int] = {}
        at = 0
        for sign in skeleton:
            if sign == ".":
                cuts.append(at)
            elif sign in STRESS:
                stressed[at] = STRESS[sign]
            elif sign != _EDGE:
                at += 1
        word = build_word(phones, stressed, cuts, self._language)
        found = self._row(word.starts), self._row(word.stress)
        if len(self._syllables) < _MOST_KEPT:
            self._syllables[skeleton] = found
        return found

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

    def _piece(self, typed: str) -> _Piece:
        """A piece that was not met before."""
        piece = self._read_piece(typed) or _Piece()
        if len(self._pieces) < _MOST_KEPT:
            self._pieces[typed] = piece
        return piece

    def _read_piece(self, typed: str) -> _Piece | None:
        text, letters = typed.strip(_EDGE), _letters()
        if not text or not letters.plain.issuperset(text):
            return None
        vowel_first, only_vowels = text[0] in letters.vowels, letters.run.issuperset(text)
        before = "" if vowel_first or typed[0] == _EDGE else _NEIGHBOUR
        after = "" if only_vowels or typed[-1] == _EDGE else _NEIGHBOUR
        notes = ReadingNotes(text)
        careful = WordReader(notes, self._language, exact=False)
        words = careful.read(normalize("NFD", before + text + after), 0)
        if notes.problems or len(words) != 1 or words[0].doubtful:
            return None
        changes = notes.changes if notes.counts else ()
        if any(change.typed not in self._language.noted for change in changes):
            return None
        phones = words[0].phones
        first, end = len(before), len(phones) - len(after)
        if phones[:first] != tuple(before) or phones[end:] != tuple(after):
            return None
        if (vowel_first and not is_nucleus(phones[0])) or (only_vowels and not is_nucleus(phones[-1])):
            return None
        shapes = [_shape(phone) for phone in phones]
        shapes[:first], shapes[end:] = [""] * len(before), [""] * len(after)
        for at, degree in careful.sounds.stressed.items():
            shapes[at] = _STRESS_SIGNS[degree] + shapes[at]
        for at in words[0].starts[1:]:
            shapes[at] = "." + shapes[at]
        skeleton = _EDGE * (typed[0] == _EDGE) + "".join(shapes) + _EDGE * (typed[-1] == _EDGE)
        return _Piece(tuple(map(intern, phones[first:end])), intern(skeleton), changes)

    def _row(self, numbers: tuple[int, ...]) -> tuple[int, ...]:
        return self._rows.setdefault(numbers, numbers) if len(self._rows) < _MOST_KEPT else numbers


def _together(changes: Iterable[ReadingChange]) -> tuple[ReadingChange, ...]:
    """Each kind of change once, where it first came."""
    times: dict[tuple[str, str, str], int] = {}
    for change in changes:
        kind = change.typed, change.read, change.why
        times[kind] = times.get(kind, 0) + change.times
    return tuple(ReadingChange(*kind, count) for kind, count in times.items())


class _Letters(NamedTuple):
    """Vowels; what may stand in a run of vowels; all that a piece may consist of: symbols, marks, boundaries, tie bars."""

    vowels: frozenset[str]
    run: frozenset[str]
    plain: frozenset[str]


@cache
def _letters() -> _Letters:
    symbols = [symbol for symbol in bases() if len(symbol) == 1]
    vowels = frozenset(filter(is_vowel, symbols))
    return _Letters(vowels, vowels.union(marks(), TIE), frozenset((*symbols, *marks(), *STRESS, ".", TIE)))


def _pattern(lang: Language) -> re.Pattern[str]:
    """Pieces of a form, with the edges of the word: vowels with their marks, and the consonants after them where the first may
    change how the vowel is read; consonants and boundaries."""
    letters = _letters()
    vowels, run = ("".join(map(re.escape, sorted(signs))) for signs in (letters.vowels, letters.run))
    seconds = "".join(map(re.escape, sorted(seconds_of_vowels(lang))))
    with_second = f"(?:[{seconds}][^{vowels}]*)?" if seconds else ""
    return re.compile(f"{_EDGE}?[{vowels}][{run}]*{with_second}{_EDGE}?|[^{vowels}]+")


def seconds_of_vowels(lang: Language) -> set[str]:
    """Consonants that a table of the language has after a vowel."""
    pairs = {pair for entry in (*lang.respelled, *lang.rhotic, *lang.doubtful) for pair in pairwise(entry)}
    return {second for first, second in pairs if is_vowel(first) and not is_vowel(second)}


@lru_cache(maxsize=65536)
def _shape(phone: str) -> str:
    """What stands for a sound in a skeleton."""
    if not is_nucleus(phone):
        return "C"
    return WEAK_VOWEL if phone == WEAK_VOWEL else "V"


@lru_cache(maxsize=256)
def reader_of(language_tag: str = "en-US", notation: str = "ipa") -> IpaReader:
    """The reader of a language and a notation: "ipa" or "x-sampa"."""
    return _one_of(language(language_tag).code, notation)


@cache
def _one_of(code: str, notation: str) -> IpaReader:
    return IpaReader(code, notation)


@lru_cache(maxsize=65536)
def read(text: str, language_tag: str = "en-US", notation: str = "ipa") -> Reading:
    """Read a cell or a form (`IpaReader.read`) in a language and a notation; what is asked again is kept whole."""
    return reader_of(language_tag, notation).read(text)


def segments(text: str, language_tag: str = "en-US") -> tuple[str, ...]:
    """The sounds of one canonical form. ValueError on anything that is not one word of known symbols."""
    found = read(text, language_tag)
    if found.problems or len(found.words) != 1:
        raise ValueError("; ".join(map(str, found.problems)) or f"'{text}' is not one word")
    return found.words[0].phones


def read_text(text: str, lang: Language, notation: str) -> Reading:
    """Reads a text in IPA or in X-SAMPA, from its first sign to its last."""
    if notation == "x-sampa":
        return _read_xsampa(text, lang)
    return _read_typed(text, normalize("NFD", text), ReadingNotes(text), lang, exact=False)


def _read_xsampa(text: str, lang: Language) -> Reading:
    notes = ReadingNotes(text, [at + 1 for ipa, at in xsampa_symbols(text) for _ in normalize("NFD", ipa)])
    found = _read_typed(text, normalize("NFD", from_xsampa(text)), notes, lang, exact=True)
    if found.words and found.ipa != text:
        notes.changed(text, found.ipa, "X-SAMPA")
    return Reading(text, found.words, notes.changes, found.problems, found.omitted)


def _read_typed(typed: str, chars: str, notes: ReadingNotes, lang: Language, exact: bool) -> Reading:
    """Reads decomposed text character by character."""
    body = chars if _FRAMES.isdisjoint(chars) else _without_frames(chars, notes)
    tokens = [(found.start(), found[0]) for found in _WORD.finditer(body)]
    left_off = [not token.strip(OMISSIONS) for _, token in tokens]
    if left_off and all(left_off):
        return Reading(typed, (), notes.changes, (), omitted=True)
    reader = WordReader(notes, lang, exact)
    words: list[Word] = []
    for (start, token), nothing in zip(tokens, left_off, strict=True):
        if nothing:
            notes.changed(token, "", "an omitted word")
            continue
        words += reader.read(token, start)
    reader.close()
    return Reading(typed, tuple(words), notes.changes, tuple(notes.problems))


def _without_frames(chars: str, notes: ReadingNotes) -> str:
    """The text with blanks where brackets, slashes or quotation marks stood around words."""
    quoted = re.search(_QUOTES, chars)
    while quoted:
        notes.changed(quoted[1] + quoted[3], "", "quotation marks")
        chars = re.sub(_QUOTES, r" \2 ", chars, count=1)
        quoted = re.search(_QUOTES, chars)
    for pattern in _BRACKETS:
        chars = re.sub(pattern, r" \2 ", chars)
    return chars


@cache
def _xsampa_table() -> dict[str, str]:
    return {row["xsampa"]: row["ipa"] for row in read_tsv(rules_path("ipa/xsampa.tsv"))}


def xsampa_symbols(text: str) -> Iterator[tuple[str, int]]:
    """IPA for each symbol with its place in `text`, longest match first; what is no X-SAMPA stays."""
    table, at = _xsampa_table(), 0
    longest = max(map(len, table))
    while at < len(text):
        sizes = range(min(longest, len(text) - at), 0, -1)
        size = next((size for size in sizes if text[at : at + size] in table), 1)
        typed = text[at : at + size]
        yield table.get(typed, typed), at
        at += size


def from_xsampa(text: str) -> str:
    """A text in X-SAMPA as IPA; what is not X-SAMPA is left as it is, never dropped."""
    return "".join(ipa for ipa, _ in xsampa_symbols(text))
