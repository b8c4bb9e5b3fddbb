"""The cells of one row that hold words and forms, into pairs of adult form and production."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from approx.ipa import Word, read
from approx.ipa.word import UNINTELLIGIBLE
from approx.problems import Problem
from approx.scoring.sample_cells import SILENT, CellReader, Note, joined, not_understood
from approx.scoring.sample_guard import unguarded
from approx.scoring.sample_headers import Layout
from approx.scoring.sample_rules import clean, plain, sheet_rules
from approx.scoring.sample_token import COUNTED, Kind, Pair

LookUp = Callable[[str, str], str | None]
"""(word, language) -> IPA of the adult form, or None."""

FORM_COLUMNS = ("target_word", "target_ipa", "produced_ipa", "language")
"""Cells that decide the pairs of a row: rows that agree in them have the same pairs."""

_TAG = re.compile(r"[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]{2,8})*")
_HARMLESS = ("sample.unknown_word",)
"""Problems that leave the row in: without an adult form it still counts for the inventory."""

Notes = list[tuple[str, Note]]
"""Changes, each with its column."""


@dataclass(frozen=True, slots=True)
class RowPairs:
    """Pairs of the attempts in a row, in order; none where the row is refused or, without problems, has no words at all."""

    pairs: tuple[Pair, ...] = ()
    notes: tuple[tuple[str, Note], ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class _Target:
    """An adult form, and why a token of it cannot be scored ("" if it can)."""

    word: Word | None
    reason: str
    notes: tuple[tuple[str, Note], ...]
    problems: tuple[Problem, ...]


class PairReader:
    """Reads rows; each distinct adult form is read, or looked up, once."""

    def __init__(
        self, layout: Layout, guarded: bool, language: str, look_up: LookUp | None, notation: str
    ) -> None:
        self.layout, self.guarded, self.language, self.look_up = layout, guarded, language, look_up
        self.cells = CellReader(notation)
        self._targets: dict[tuple[str, str, str], _Target] = {}

    def row(self, cells: Sequence[str]) -> RowPairs:
        """The pairs of one row of cells."""
        word, ipa, said, typed_language = (self.typed(cells, column) for column in FORM_COLUMNS)
        notes: Notes = []
        problems: list[Problem] = []
        language = self._language(clean(typed_language), notes, problems)
        if not language:
            return RowPairs((), tuple(notes), tuple(problems))
        gloss = " ".join(clean(word).split())
        target = self._target(gloss, clean(ipa), language)
        production = self.cells.production(said, language)
        if not gloss and not clean(ipa) and production is SILENT and not typed_language.strip():
            return RowPairs()
        notes += target.notes
        notes += (("produced_ipa", note) for note in production.notes)
        problems += target.problems
        problems += (self._placed(problem, "produced_ipa") for problem in production.problems)
        pairs: tuple[Pair, ...] = ()
        if all(problem.code in _HARMLESS for problem in problems):
            pairs = tuple(_pair(gloss, target, attempt, language) for attempt in production.attempts)
        for text, column in ((word, "target_word"), (ipa, "target_ipa"), (said, "produced_ipa")):
            if text != text.strip():
                notes.append((column, (" ", "", "blanks at the edge of a cell")))
        return RowPairs(pairs, tuple(notes), tuple(problems))

    def typed(self, cells: Sequence[str], column: str) -> str:
        """A cell as it was typed: without the guard against formulas. "" without such a column."""
        place = self.layout.at.get(column)
        text = cells[place] if place is not None else ""
        return unguarded(text) if self.guarded else text

    def _placed(self, problem: Problem, column: str) -> Problem:
        message = f"{self.layout.heading(column)}: {problem.message}"
        return replace(problem, message=message, column=self.layout.at.get(column, -1) + 1 or None)

    def _language(self, typed: str, notes: Notes, problems: list[Problem]) -> str:
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
            f"'{typed}' is not a language tag",
            "write a tag such as en-US or es",
            symbol=typed,
        )
        problems.append(self._placed(problem, "language"))
        return ""

    def _target(self, gloss: str, ipa: str, language: str) -> _Target:
        key = (gloss, ipa, language)
        found = self._targets.get(key)
        if found is None:
            found = self._targets[key] = self._new_target(*key)
        return found

    def _new_target(self, gloss: str, ipa: str, language: str) -> _Target:
        cell = self.cells.target(ipa, language)
        notes: Notes = [("target_ipa", note) for note in cell.notes]
        problems = [self._placed(problem, "target_ipa") for problem in cell.problems]
        if gloss.casefold() in sheet_rules().no_gloss:
            notes.append(("target_word", (gloss, "", "a mark for no gloss")))
            gloss = ""
        word = cell.attempts[0] if cell.attempts else None
        if word is None and gloss and not problems:
            word = self._looked_up(gloss.rstrip("?"), language, notes, problems)
        if word is not None and not word.phones:
            word = None
        if gloss.endswith("?") and " " not in gloss:
            reason = "doubtful gloss"
        elif word is None:
            reason = "adult form not known" if gloss else "no gloss"
        else:
            reason = "adult form not wholly known" if not_understood(word) else ""
        return _Target(word, reason, tuple(notes), tuple(problems))

    def _looked_up(self, gloss: str, language: str, notes: Notes, problems: list[Problem]) -> Word | None:
        """The adult form of a word, or of each word of a phrase, from the caller's dictionary."""
        look_up = self.look_up or (lambda word, language: None)
        whole = look_up(gloss, language)
        parts = [whole] if whole else [look_up(part, language) for part in gloss.split()]
        readings = [read(part, language) for part in parts if part]
        if len(readings) < len(parts) or not parts or any(one.problems or not one.words for one in readings):
            message = f"'{gloss}' was not found" if self.look_up else f"'{gloss}' has no adult form"
            problem = Problem(
                "sample.unknown_word", message, "write the adult form into target_ipa", symbol=gloss
            )
            problems.append(self._placed(problem, "target_word"))
            return None
        notes.append(("target_ipa", ("", "the adult form", "looked up, as target_ipa is empty")))
        return self.cells.kept(joined(tuple(word for reading in readings for word in reading.words)))


def _pair(gloss: str, target: _Target, said: Word | None, language: str) -> Pair:
    """What kind of token an attempt is. Wholly not understood comes before no gloss, which comes before partly."""
    kind: Kind = "scored"
    reason = ""
    if said is None or (not said.phones and target.word is None):
        said, kind = None, "no response"
    elif said.phones and set(said.phones) == {UNINTELLIGIBLE}:
        kind = "unintelligible"
    elif target.reason:
        kind, reason = "no gloss", target.reason
    elif not said.phones:
        kind = "omitted"
    elif not_understood(said):
        kind = "unintelligible"
    return Pair(gloss, target.word, said, kind, language, reason or ("" if kind in COUNTED else kind))
