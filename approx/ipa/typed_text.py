"""A typed text as a whole into words: what stands around words is taken off, blanks part them, each is read sign by sign."""

from __future__ import annotations

import re
from unicodedata import normalize

from approx.ipa.language import Language
from approx.ipa.reading import Reading, ReadingNotes
from approx.ipa.typed_word import WordReader
from approx.ipa.word import OMISSIONS, Word

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


def read_text(text: str, lang: Language, notation: str) -> Reading:
    """Reads a text in IPA or in X-SAMPA, from its first sign to its last."""
    if notation == "x-sampa":
        return _read_xsampa(text, lang)
    return _read_typed(text, normalize("NFD", text), ReadingNotes(text), lang, exact=False)


def _read_xsampa(text: str, lang: Language) -> Reading:
    from approx.ipa.xsampa import from_xsampa, xsampa_symbols  # noqa: PLC0415 - few samples are typed so

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
