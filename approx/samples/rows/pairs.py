"""The cells of one row that hold words and forms, into pairs of adult form and production."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from approx.ipa import Word, read
from approx.ipa.features import is_vowel
from approx.ipa.word import UNINTELLIGIBLE
from approx.problems import Problem
from approx.samples.cells.forms import SILENT, Cell, CellReader, joined_words, not_understood
from approx.samples.columns.headers import Layout
from approx.samples.files.write import unguarded
from approx.samples.token import COUNTED, FormNote, Pair, TokenKind
from approx.samples.vocabulary import UNSEEN, briefly, clean, plain, sheet_rules, visible
from approx.wording import worded

LookUp = Callable[[str, str], str | None]
"""(word, language) -> IPA of the adult form, or None."""

AIM_COLUMNS = ("target_word", "target_ipa", "language")
"""Cells that decide what a row aims at."""

_TAG = re.compile(r"[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]{2,8})*")
_HARMLESS = ("sample.unknown_word",)
"""Problems that leave the row in: without an adult form it still counts for the inventory."""

ColumnNotes = list[tuple[str, FormNote]]
"""Changes, each with its column."""


@dataclass(slots=True)
class Noted:
    """Cells that were changed or refused: pairs (none where refused), what is said of them, where first, how often."""

    pairs: tuple[Pair, ...]
    notes: tuple[tuple[str, FormNote], ...]
    problems: tuple[Problem, ...]
    first: int
    uses: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class RowTarget:
    """What a row aims at: word, adult form and language, and why a token of it cannot be scored ("" if it can).

    `known` has what was made of each production met with it; `empty` says that all its cells are; `typed` is the cell
    of the adult form.
    """

    gloss: str
    target: Word | None
    language: str
    reason: str
    notes: tuple[tuple[str, FormNote], ...]
    problems: tuple[Problem, ...]
    empty: bool
    typed: str
    known: dict[str, tuple[Pair, ...] | Noted] = field(default_factory=dict)

    @property
    def plain(self) -> bool:
        """True if there is nothing to say of it and a token of it can be scored."""
        return not (self.notes or self.problems or self.reason)


class PairReader:
    """Reads rows; each distinct aim is read, or looked up, once, and each production with it."""

    def __init__(self, layout: Layout, guarded: bool, language: str, look_up: LookUp | None, notation: str) -> None:
        self.layout, self.guarded, self.language, self.look_up = layout, guarded, language, look_up
        self.cells = CellReader(notation)

    def pairs(self, aim: RowTarget, typed: str, row: int) -> tuple[Pair, ...] | Noted:
        """The pairs of a row's attempts, in order; none, and nothing noted, where all cells are empty."""
        said = self.cells.production(self.free(typed), aim.language)
        if isinstance(said, Word):
            if aim.plain:
                return (Pair(aim.gloss, aim.target, said, "scored", aim.language),)
            said = Cell((said,))
        if said.problems and any(problem.code == "sample.remark" for problem in said.problems):
            said = self._form_after_all(said, self.free(typed), aim)
        if not aim.notes and not aim.problems and not said.notes and not said.problems:
            return () if aim.empty and said is SILENT else tuple([_pair(aim, attempt) for attempt in said.attempts])
        notes = (*aim.notes, *[("produced_ipa", note) for note in said.notes])
        problems = (*aim.problems, *[self._placed(problem, "produced_ipa") for problem in said.problems])
        refused = bool(problems) and any(problem.code not in _HARMLESS for problem in problems)
        pairs = () if refused else tuple([_pair(aim, attempt) for attempt in said.attempts])
        return Noted(pairs, notes, problems, row)

    def _form_after_all(self, said: Cell, typed: str, aim: RowTarget) -> Cell:
        """A mark such as "ok" is the form where it is as good as the adult one: "oak" said [ok] and nothing else."""
        read_as = self.cells.form(typed, aim.language)
        word = read_as.attempts[0] if len(read_as.attempts) == 1 else None
        if aim.target is None or word is None or not _could_be(word, aim.target):
            return said
        note = (typed, word.ipa, "could be a remark; read as the form, as it is close to the adult one")
        return replace(read_as, notes=(*read_as.notes, note))

    def typed(self, cells: Sequence[str], column: str) -> str:
        """A cell as it was typed: without the guard against formulas. "" without such a column."""
        place = self.layout.at.get(column)
        return self.free(cells[place]) if place is not None else ""

    def free(self, text: str) -> str:
        """A cell without the guard that a text file may have."""
        return unguarded(text) if self.guarded and text[:1] == "'" else text

    def _placed(self, problem: Problem, column: str) -> Problem:
        message = worded("{column}: {what}", column=self.layout.heading(column), what=problem.message)
        return replace(problem, message=message, column=self.layout.at.get(column, -1) + 1 or None)

    def _language(self, typed: str, notes: ColumnNotes, problems: list[Problem]) -> str:
        """The tag of a row, or "" where the language is not known."""
        if not typed:
            return self.language
        if name := sheet_rules().languages.get(plain(typed)):
            notes.append(("language", (typed, name, "name of a language")))
            return name
        if _TAG.fullmatch(typed):
            return typed
        problem = Problem(
            "sample.language",
            worded("'{tag}' is not a language tag", tag=briefly(typed)),
            "write a tag such as en-US or es",
            symbol=briefly(typed),
        )
        problems.append(self._placed(problem, "language"))
        return ""

    def aim(self, cells: Sequence[str]) -> RowTarget:
        """What a row aims at."""
        word, ipa, typed_language = (self.typed(cells, column) for column in AIM_COLUMNS)
        notes: ColumnNotes = []
        problems: list[Problem] = []
        language = self._language(clean(typed_language), notes, problems)
        gloss = " ".join(clean(word).split())
        if gloss.casefold() in sheet_rules().no_gloss:
            notes.append(("target_word", (gloss, "", "a mark for no gloss")))
            gloss = ""
        target = self._target(gloss, clean(ipa), language, notes, problems) if language else None
        for text, column in ((word, "target_word"), (ipa, "target_ipa")):
            if text != visible(text):
                notes.append((column, UNSEEN))
        if gloss.endswith("?") and " " not in gloss:
            reason = "doubtful gloss"
        elif target is None:
            reason = "adult form not known" if gloss else "no gloss"
        else:
            reason = "adult form not wholly known" if not_understood(target) else ""
        empty = not (visible(word) or visible(ipa) or visible(typed_language))
        return RowTarget(
            gloss, target, language or self.language, reason, tuple(notes), tuple(problems), empty, clean(ipa)
        )

    def _target(self, gloss: str, ipa: str, language: str, notes: ColumnNotes, problems: list[Problem]) -> Word | None:
        cell = self.cells.target(ipa, language)
        notes += (("target_ipa", note) for note in cell.notes)
        problems += (self._placed(problem, "target_ipa") for problem in cell.problems)
        word = cell.attempts[0] if cell.attempts else None
        if word is None and gloss and not cell.problems:
            word = self._looked_up(gloss.rstrip("?"), language, notes, problems)
        return word if word is not None and word.phones else None

    def _looked_up(self, gloss: str, language: str, notes: ColumnNotes, problems: list[Problem]) -> Word | None:
        """The adult form of a word, or of each word of a phrase, from the caller's dictionary."""
        look_up = self.look_up or (lambda word, language: None)
        whole = look_up(gloss, language)
        words = gloss.split()
        parts = [whole] if whole or len(words) == 1 else [look_up(part, language) for part in words]
        readings = [read(part, language) for part in parts if part]
        if len(readings) < len(parts) or not parts or any(one.problems or not one.words for one in readings):
            message = (
                worded("'{gloss}' was not found", gloss=briefly(gloss))
                if self.look_up
                else worded("'{gloss}' has no adult form", gloss=briefly(gloss))
            )
            problem = Problem(
                "sample.unknown_word", message, "write the adult form into target_ipa", symbol=briefly(gloss)
            )
            problems.append(self._placed(problem, "target_word"))
            return None
        notes.append(("target_ipa", ("", "the adult form", "looked up, as target_ipa is empty")))
        return joined_words(tuple(word for reading in readings for word in reading.words))


def _could_be(word: Word, target: Word) -> bool:
    """True if every consonant of a form stands in the adult one, in order, and it has as many syllables."""
    rest = iter(target.phones)
    consonants = [phone for phone in word.phones if not is_vowel(phone)]
    return bool(consonants) and len(word.starts) == len(target.starts) and all(phone in rest for phone in consonants)


def _pair(aim: RowTarget, said: Word | None) -> Pair:
    """What kind of token an attempt is. Wholly not understood comes before no gloss, which comes before partly."""
    if said is not None and said.phones and not aim.reason and not not_understood(said):
        return Pair(aim.gloss, aim.target, said, "scored", aim.language)
    kind: TokenKind
    reason = ""
    if said is None or (not said.phones and aim.target is None):
        said, kind = None, "no response"
    elif said.phones and set(said.phones) == {UNINTELLIGIBLE}:
        kind = "unintelligible"
    elif aim.reason:
        kind, reason = "no gloss", aim.reason
    else:
        kind = "unintelligible" if said.phones else "omitted"
    return Pair(aim.gloss, aim.target, said, kind, aim.language, reason or ("" if kind in COUNTED else kind))
