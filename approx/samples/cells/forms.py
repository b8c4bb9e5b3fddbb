"""One cell of forms: several attempts, marks for silence and for what nobody understood, and the sounds themselves.

What is read as what (common practice, no source; the words are in `rules/sample_headers.toml`):
`ma / mʌ`, `ma, mʌ`, `ma > mʌ`, `ma; mʌ`, `[ma] [mʌ]` or a line each: attempts in order; `ma x3`: three times the same.
`0 ∅ Ø -` alone: the word was left off. `xxx`, `?` alone: not understood; `3 syll.`: so many syllables not understood.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from approx.ipa import Reading, Word, reader_of
from approx.ipa.word import UNINTELLIGIBLE, UNKNOWN_CONSONANT, UNKNOWN_VOWEL
from approx.problems import Problem
from approx.samples.cells.dates import coded, mangled
from approx.samples.token import FormNote
from approx.samples.vocabulary import UNSEEN, clean, composed, sheet_rules, visible
from approx.wording import worded

_UNIDENTIFIED = frozenset((UNINTELLIGIBLE, UNKNOWN_CONSONANT, UNKNOWN_VOWEL))

NO_SOUNDS = Word((), (), ())
"""The production of a word that was left off as a whole: no sounds."""

LONGEST, MOST_SOUNDS = 2000, 500
"""Characters and sounds; a longer cell holds no form."""
_SURELY_SHORT = MOST_SOUNDS // 4
"""Characters that are not read as too many sounds: none is read as more than four."""

_SEPARATORS = {
    "ipa": re.compile(r"\s*(?:->|=>|[;>→/\r\n]|,(?=[\s\"'ˈˌ’]))\s*|\s+[,~]\s+"),
    "x-sampa": re.compile(r"\s*(?:[→\r\n]|[;,]\s)\s*|\s+(?:->|[/>,;])\s+"),  # / > ; are symbols of X-SAMPA
}
_ONE_FORM = re.compile(r"[^\s\d=&/\[\],;>→~×²³⁴-⁹#\\ÃÂÉÊËÌÍÎÏÅÐ]+")  # no separator, no number, nothing misread
_IN_BRACKETS = re.compile(r"\[([^\[\]]*)\]")
_ONLY_BRACKETS = re.compile(r"\[[^\[\]]*\](?:[\s,;>/→]*\[[^\[\]]*\])*")
_IN_SLASHES = re.compile(r"/([^/]*[^/\s][^/]*)/")
_ONLY_SLASHES = re.compile(r"/[^/]*[^/\s][^/]*/(?:\s*[,;>→/]?\s*/[^/]*[^/\s][^/]*/)*")
_TIMES = re.compile(r"(.*\S)(?:\s*×\s*|\s+x\s?)([2-9])|(.*[^\s\d])([²³⁴⁵⁶⁷⁸⁹])")
_SYLLABLES = re.compile(r"\(?([1-9])\s*(?:σ|syll?s?|syllables?|sílabas?)\.?\)?", re.IGNORECASE)
_WITHOUT_TONES = ("en", "es")  # elsewhere a raised number may be a tone
_SUPERSCRIPTS = {"²": 2, "³": 3, "⁴": 4, "⁵": 5, "⁶": 6, "⁷": 7, "⁸": 8, "⁹": 9}
_MISREAD_BYTES = re.compile(r"[ÃÂÉÊËÌÍÎÏÅÐ][\x80-\xbf€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]")


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell, read. `attempts` has a word for each attempt, None for silence; none at all where it is refused."""

    attempts: tuple[Word | None, ...] = ()
    notes: tuple[FormNote, ...] = ()
    problems: tuple[Problem, ...] = ()


SILENT = Cell((None,))


class CellReader:
    """Reads cells of one notation, each text once."""

    def __init__(self, notation: str = "ipa") -> None:
        self.notation = notation
        self.marks = frozenset().union(*sheet_rules().cells)
        self._productions = defaultdict[str, dict[str, Word | Cell]](dict)

    def production(self, text: str, language: str) -> Word | Cell:
        """A cell of what the child said: the one word where it is wholly understood and there is nothing to say of it.

        One object for equal cells, since a form is said for several words.
        """
        known = self._productions[language]
        found = known.get(text)
        if found is None:
            found = known[text] = self._production(text, language)
        return found

    def _production(self, text: str, language: str) -> Word | Cell:
        if len(text) <= _SURELY_SHORT and _ONE_FORM.fullmatch(text) and text.casefold() not in self.marks:
            reading = reader_of(language, self.notation).read(text)
            if len(reading.words) == 1 and not reading.problems:
                word = reading.words[0]
                if not reading.changes and not not_understood(word):
                    return word
                if clean(text) == text:
                    return Cell((word,), _form_notes(reading))
        seen = visible(text)
        cell = self._marked(composed(seen), language) if seen else SILENT
        return cell if seen == text else replace(cell, notes=(*cell.notes, UNSEEN))

    def form(self, text: str, language: str) -> Cell:
        """A cell of what the child said, whatever mark it may be."""
        return self._forms(composed(visible(text)), language)

    def target(self, text: str, language: str) -> Cell:
        """A cell of an adult form: at most one word; several forms or marks of doubt are noted."""
        body = clean(text)
        if not body or body.casefold() in sheet_rules().no_gloss or body in ("0", "∅", "Ø"):
            notes = ((body, "", "a mark for no adult form"),) if body else ()
            return Cell((None,), notes)
        cell = self._forms(body, language)
        if len(cell.attempts) > 1:
            first = cell.attempts[0]
            note = (body, first.ipa if first else "", "several adult forms in one cell: the first is taken")
            return Cell((first,), (*cell.notes, note), cell.problems)
        return cell

    def _marked(self, body: str, language: str) -> Cell:
        rules, small = sheet_rules(), body.casefold()
        if small in rules.no_response or body in rules.no_response_in_capitals:
            return Cell((None,), ((body, "", "a mark for no response"),))
        if small in rules.remark:
            hint = worded("write the form; if it is one, write [{body}]", body=body)
            return Cell(
                problems=(
                    Problem("sample.remark", worded("'{body}' is a remark, not a form", body=body), hint, symbol=body),
                )
            )
        return self._forms(body, language)

    def _forms(self, body: str, language: str) -> Cell:
        if len(body) > LONGEST:
            return _too_long(worded("a cell of {body} characters is too long for a form", body=len(body)), body)
        notes: list[FormNote] = []
        pieces = [body]
        if not _ONE_FORM.fullmatch(body):
            if what := mangled(body):
                hint = "type the character itself" if coded(body) else "format the column as text before typing"
                message = worded("'{text}' is {what}", text=body, what=what)
                return Cell(problems=(Problem("sample.mangled", message, hint, symbol=body),))
            repaired = _repaired(body)
            if repaired != body:
                notes.append((body, repaired, "UTF-8 text that was opened as Windows-1252"))
            pieces = self._split(repaired, language, notes)
        problems: list[Problem] = []
        words = [self._word(piece, language, notes, problems) for piece in pieces]
        sounds = sum(len(word.phones) for word in words if word is not None)
        if sounds > MOST_SOUNDS and not problems:
            return _too_long(worded("a cell of {sounds} sounds is too long for a form", sounds=sounds), body)
        return Cell(() if problems else tuple(words), tuple(notes), tuple(problems))

    def _split(self, body: str, language: str, notes: list[FormNote]) -> list[str]:
        """The attempts in a cell as texts; the cell itself if there is one."""
        if _ONLY_BRACKETS.fullmatch(body):
            pieces = _IN_BRACKETS.findall(body)
        elif self.notation == "ipa" and _ONLY_SLASHES.fullmatch(body):
            pieces = _IN_SLASHES.findall(body)
        else:
            if self.notation == "ipa" and len(body) > 2 and body[0] == body[-1] == "/":
                body = body[1:-1]
            pieces = _SEPARATORS[self.notation].split(body)
        pieces = [piece.strip() for piece in pieces if piece.strip()] or [body]
        out: list[str] = []
        for piece in pieces:
            found = _TIMES.fullmatch(piece)
            if found and (found[2] or language[:2] in _WITHOUT_TONES):
                form, count = found[1] or found[3], _SUPERSCRIPTS.get(found[4] or "") or int(found[2])
                notes.append((piece, form, "said several times"))
                out += [form] * count
            else:
                out.append(piece)
        if len(out) > 1:
            notes.append((body, " / ".join(out), "several attempts in one cell"))
        return out

    def _word(self, piece: str, language: str, notes: list[FormNote], problems: list[Problem]) -> Word | None:
        if piece.casefold() in sheet_rules().unintelligible:
            notes.append((piece, UNINTELLIGIBLE, "a mark for what was not understood"))
            return Word((UNINTELLIGIBLE,), (0,), (0,), frozenset({0}))
        if found := _SYLLABLES.fullmatch(piece):
            count = int(found[1])
            notes.append((piece, f"{count} × {UNINTELLIGIBLE}", "syllables that were not understood"))
            places = tuple(range(count))
            return Word((UNINTELLIGIBLE,) * count, places, (0,) * count, frozenset(places))
        reading = reader_of(language, self.notation).read(piece)
        if reading.problems:
            problems.extend(reading.problems)
            return None
        if reading.omitted:
            return NO_SOUNDS
        if not reading.words:
            problems.append(
                Problem(
                    "sample.nothing",
                    worded("no sound can be read in '{piece}'", piece=piece),
                    "write the form",
                    symbol=piece,
                )
            )
            return None
        notes.extend(_form_notes(reading))
        return joined_words(reading.words, piece.split())


def _form_notes(reading: Reading) -> tuple[FormNote, ...]:
    """Every change, as often as it was made."""
    return tuple([(change.typed, change.read, change.why) for change in reading.changes for _ in range(change.times)])


def _too_long(message: str, body: str) -> Cell:
    return Cell(problems=(Problem("sample.long", message, "is a quotation mark missing?", symbol=body[:20]),))


def joined_words(words: tuple[Word, ...], typed: Sequence[str] = ()) -> Word:
    """Listing words of one cell ("uh oh") as one form: their syllables in a row, and where the words meet (`edges`).

    A word of one syllable is stressed, as by itself; but where another such word is typed with a mark, one without a mark
    has no stress ("ˈfid hɚ").
    """
    if len(words) == 1:
        return words[0]
    phones: list[str] = []
    starts: list[int] = []
    doubtful: set[int] = set()
    edges: list[int] = []
    for word in words:
        edges.append(len(phones))
        starts += [len(phones) + at for at in word.starts]
        doubtful |= {len(phones) + at for at in word.doubtful}
        phones += word.phones
    texts = typed if len(typed) == len(words) else ("",) * len(words)
    short = [len(word.stress) == 1 for word in words]
    marked = [not _STRESS_MARKS.isdisjoint(text) for text in texts]
    told = any(one and mark for one, mark in zip(short, marked))
    degrees = [(0,) if told and one and not mark else word.stress for word, one, mark in zip(words, short, marked)]
    stress = tuple(degree for each in degrees for degree in each)
    omitted = (words[0].omitted[0], words[-1].omitted[1])
    return Word(tuple(phones), tuple(starts), stress, frozenset(doubtful), omitted, _inner(edges, len(phones)))


def _inner(edges: Sequence[int], end: int) -> tuple[int, ...]:
    """Where words begin, the first one and those without sounds left out."""
    return tuple(sorted({edge for edge in edges if 0 < edge < end}))


_STRESS_MARKS = frozenset("ˈˌ'’‘ʼʹ′´`\"“”")
"""The two marks of stress, and what is typed for the first."""


def not_understood(word: Word) -> bool:
    """True if some of the word was not identified: C, V, or a stretch. `*` was heard, it only has no symbol."""
    return not _UNIDENTIFIED.isdisjoint(word.phones)


def _repaired(body: str) -> str:
    """UTF-8 that was opened as Windows-1252 and saved, put right; only where every byte fits, so there is no doubt."""
    if not _MISREAD_BYTES.search(body):
        return body
    try:
        raw = b"".join(bytes([ord(char)]) if ord(char) < 256 else char.encode("cp1252") for char in body)
        return clean(raw.decode("utf-8"))
    except UnicodeError:
        return body
