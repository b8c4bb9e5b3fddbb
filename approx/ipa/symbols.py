"""Typed IPA into words: normalised, every change reported once, nothing dropped, no doubt made certain; X-SAMPA, an open ASCII spelling of the IPA (Wells 1995), too."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import cache, lru_cache

from approx.datafiles import read_tsv, rules_path
from approx.ipa.features import TIE
from approx.ipa.language import Language, language
from approx.ipa.reading import Reading, ReadingChange, ReadingNotes
from approx.ipa.word import OMISSIONS, UNINTELLIGIBLE, Word, build_word

__all__ = ["ReadingChange", "Reading", "nfd", "read", "segments"]

_BREAKS = {"|", "‖", "‿"}
_MARKS = "'‘’\"“”„«»‹›"
_QUOTES = rf"(?<!\S)([{_MARKS}])([^{_MARKS}]*[^\s{_MARKS}])([{_MARKS}])(?!\S)"
_FRAMES = frozenset("/[]⟨⟩" + _MARKS)
_BRACKETS = (
    r"(?<!\S)(/)(?=[^\s/])([^/]*)(?<=[^\s/])(/)(?!\S)",
    r"(?<![^\s\]])(\[)([^\[\]]*)(\])(?![^\s\[])",
    r"(?<!\S)(⟨)([^⟨⟩]*)(⟩)(?!\S)",
)


def nfd(text: str) -> str:
    """Decomposed form: a letter and its marks as single characters."""
    return unicodedata.normalize("NFD", text)


@lru_cache(maxsize=65536)
def read(text: str, language_tag: str = "en-US", notation: str = "ipa") -> Reading:
    """Read a cell or a form: words between blanks, in IPA or (notation="x-sampa") in X-SAMPA.

    Slashes, brackets or quotation marks around words are taken off. Problems name symbol, code point and
    column (from 1, in what was typed).
    """
    lang = language(language_tag)
    if notation == "x-sampa":
        return _read_xsampa(text, lang)
    word = _canonical(text, lang)
    if word:
        return Reading(text, (word,))
    return _read_typed(text, nfd(text), ReadingNotes(text), lang, exact=False)


def _canonical(text: str, lang: Language) -> Word | None:
    """The word, if all of the text is in the symbols of its language and needs no word of explanation."""
    units = _pattern(lang.code).findall(text)
    if not units or sum(map(len, units)) != len(text):
        return None
    phones: list[str] = []
    stressed: dict[int, int] = {}
    cuts: list[int] = []
    for unit in units:
        first = unit[0]
        if first not in "ˈˌ.":
            phones.append(unit)
            continue
        if first == ".":
            cuts.append(len(phones))
        else:
            stressed[len(phones)] = 1 if first == "ˈ" else 2
        phones.append(unit[1:])
    word = build_word(phones, stressed, cuts, lang)
    if 0 in cuts or not set(word.starts).issuperset((*cuts, *stressed)):
        return None  # a boundary that cannot stay where it was typed is reported
    return word


@cache
def _pattern(code: str) -> re.Pattern[str]:
    """One sound of a language with the boundary before it, unless it would be joined, doubted or noted."""
    lang = language(code)
    sounds = sorted((*lang.vowels, *lang.consonants), key=len, reverse=True)
    refused = [*lang.respelled, *lang.doubtful, *(pair.replace(TIE, "") for pair in lang.affricates)]
    vowels = "".join(sorted({vowel[0] for vowel in lang.vowels}))
    refused += [f"{pair}(?![{vowels}])" for pair in lang.rhotic]
    either = "|".join((*refused, UNINTELLIGIBLE))
    return re.compile(f"[ˈˌ.]?(?!{either})(?:{'|'.join(sounds) or '(?!)'})")


def _read_xsampa(text: str, lang: Language) -> Reading:

    columns = [at + 1 for ipa, at in pieces(text) for _ in nfd(ipa)]
    notes = ReadingNotes(text, columns)
    found = _read_typed(text, nfd(from_xsampa(text)), notes, lang, exact=True)
    if found.words and found.ipa != text:
        notes.changed(text, found.ipa, "X-SAMPA")
    return Reading(text, found.words, notes.changes, found.problems, found.omitted)


def _read_typed(typed: str, chars: str, notes: ReadingNotes, lang: Language, exact: bool) -> Reading:
    """Reads decomposed text character by character."""
    from approx.ipa.typed_word import WordReader  # noqa: PLC0415 - a form of plain sounds is read without

    body = chars if _FRAMES.isdisjoint(chars) else _without_frames(chars, notes)
    tokens = list(_tokens(body))
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


def _tokens(text: str) -> Iterator[tuple[int, str]]:
    """Words between blanks and group marks, with their place."""
    start = None
    for at, char in enumerate((*text, " ")):
        blank = char.isspace() or char in _BREAKS
        if blank and start is not None:
            yield start, text[start:at]
            start = None
        elif not blank and start is None:
            start = at


def segments(text: str, language_tag: str = "en-US") -> tuple[str, ...]:
    """The sounds of one canonical form. ValueError on anything that is not one word of known symbols."""
    found = read(text, language_tag)
    if found.problems or len(found.words) != 1:
        raise ValueError("; ".join(map(str, found.problems)) or f"'{text}' is not one word")
    return found.words[0].phones


@cache
def _table() -> dict[str, str]:
    return {row["xsampa"]: row["ipa"] for row in read_tsv(rules_path("ipa/xsampa.tsv"))}


def pieces(text: str) -> Iterator[tuple[str, int]]:
    """IPA for each symbol with its place in `text`, longest match first; what is no X-SAMPA stays."""
    table, at = _table(), 0
    longest = max(map(len, table))
    while at < len(text):
        sizes = range(min(longest, len(text) - at), 0, -1)
        size = next((size for size in sizes if text[at : at + size] in table), 1)
        typed = text[at : at + size]
        yield table.get(typed, typed), at
        at += size


def from_xsampa(text: str) -> str:
    """A text in X-SAMPA as IPA; what is not X-SAMPA is left as it is, never dropped."""
    return "".join(ipa for ipa, _ in pieces(text))
