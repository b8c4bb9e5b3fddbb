"""One pass over a sheet: each row into pairs of words, each distinct pair of cells read once, nothing lost on the way."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from operator import itemgetter
from sys import intern

from approx.ipa import Word, read
from approx.problems import Problem
from approx.scoring.sample_cells import LEFT_OFF, SILENT, Cell, CellReader, Note, joined, not_understood
from approx.scoring.sample_headers import Layout, lay_out
from approx.scoring.sample_labels import Labels
from approx.scoring.sample_log import Log
from approx.scoring.sample_rules import clean, plain, sheet_rules
from approx.scoring.sample_table import Table
from approx.scoring.sample_token import Kind, Pair
from approx.scoring.sample_write import unguarded

LookUp = Callable[[str, str], str | None]
"""(word, language) -> IPA of the adult form, or None."""

_KEY = ("target_word", "target_ipa", "produced_ipa", "language")
_TAG = re.compile(r"[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]{2,8})*")

Pairs = tuple[Pair, ...]


@dataclass(slots=True)
class _Noted:
    """Pairs of cells that were changed or refused, and how often they came."""

    pairs: Pairs
    notes: tuple[tuple[str, Note], ...]
    problems: tuple[Problem, ...]
    first: int
    uses: int = 0


class SampleReader:
    """Go through it once: `for row, cells, pairs in reader`. Rows that are blank or refused do not come up.

    `pairs` are those of the attempts in the row, in order. `rows`, `blank`, `refused` and the log are complete
    afterwards. Memory grows with the distinct pairs of cells, not with the rows.
    """

    def __init__(
        self,
        table: Table,
        language: str = "en-US",
        look_up: LookUp | None = None,
        notation: str = "ipa",
        day_first: bool | None = None,
    ) -> None:
        self.table, self.language, self.look_up = table, language, look_up
        self.layout: Layout = lay_out(table.header, table.preview, table.file)
        self.log = Log(table.file)
        self.labels = Labels(self.layout, self.log, table.guarded, day_first)
        self.cells = CellReader(notation)
        self.rows = self.blank = 0
        self.refused: list[int] = []
        self._noted: list[_Noted] = []
        self._targets: dict[tuple[str, str, str], tuple[Word | None, str, list[tuple[str, Note]], list[Problem]]] = {}

    def __iter__(self) -> Iterator[tuple[int, list[str], Pairs]]:
        self._announce()
        at = self.layout.at
        places = [at[column] for column in _KEY if column in at] if "produced_ipa" in at else []
        if not places:
            yield from self._no_productions()
            return
        key_of = itemgetter(*places, places[0])  # one twice, so that a single column gives a tuple too
        width, known = self.layout.width, dict[tuple[str, ...], Pairs | _Noted]()
        number = 1
        for number, cells in enumerate(self.table.rows, 2):
            if len(cells) != width or self.table.unclosed and number + self.table.skipped in self.table.unclosed:
                fitted = self._fitted(cells, number)
                if fitted is None:
                    continue
                cells = fitted
            key = key_of(cells)
            found = known.get(key)
            if found is None:
                found = known[tuple(map(intern, key))] = self._read(cells, number)
            if isinstance(found, _Noted):
                found.uses += 1
                if found.problems:
                    for problem in found.problems:
                        self.log.wrong(problem.at(line=number))
                if not found.pairs:
                    self.refused.append(number)
                    continue
                found = found.pairs
            elif not found:
                if not any(cell.strip() for cell in cells):
                    self.blank += 1
                    continue
                found = (Pair("", None, None, "no response", self.language, "no response"),)
            yield number, cells, found
        self.rows = number - 1
        self._finish()

    def _no_productions(self) -> Iterator[tuple[int, list[str], Pairs]]:
        for number, cells in enumerate(self.table.rows, 2):
            self.rows += 1
            if any(cell.strip() for cell in cells):
                self.refused.append(number)
            else:
                self.blank += 1
        if self.refused:
            message = f"{len(self.refused)} rows are not read, for want of a column of productions"
            self.log.wrong(Problem("sample.header", message, "", line=self.refused[0]))
        self._finish()
        yield from ()

    def _announce(self) -> None:
        for problem in (*self.table.problems, *self.layout.problems):
            self.log.wrong(problem)
        self._told = len(self.table.problems)
        for name, column, why in self.layout.renamed:
            self.log.change(column, (name, column, why), 1)
        if self.table.above:
            why = "rows above the heading, which are not read; rows are counted from the heading"
            self.log.change("", (f"{self.table.above} rows", "", why), 1)

    def _finish(self) -> None:
        for problem in self.table.problems[self._told :]:
            self.log.wrong(problem)
        for noted in self._noted:
            for column, note in noted.notes:
                self.log.change(column, note, noted.first, noted.uses)
        self.labels.finish()
        if not self.rows and not any(problem.fatal for problem in self.log.problems()):
            self.log.wrong(Problem("sample.empty", "no row below the heading", "", line=1))

    def _fitted(self, cells: list[str], number: int) -> list[str] | None:
        """The row with as many cells as the heading; None where it is blank, or refused and named."""
        width = self.layout.width
        if not any(cell.strip() for cell in cells):
            self.blank += 1
            return None
        unclosed = number + self.table.skipped in self.table.unclosed
        if any(cell.strip() for cell in cells[width:]) or unclosed and len(cells) != width:
            if unclosed:
                message, hint = "a quotation mark is opened and not closed", "close it, or write it twice inside a cell"
            else:
                message = f"{len(cells)} cells in the row, {width} in the heading"
                hint = "a cell that holds a separator stands in quotation marks"
            extra = '"' if unclosed else next(cell for cell in cells[width:] if cell.strip())
            column = cells.index(extra, 0 if unclosed else width) + 1 if extra in cells else None
            self.log.wrong(Problem("sample.row", message, hint, line=number, column=column, symbol=extra))
            self.refused.append(number)
            return None
        if unclosed:
            self.log.change("", ('"', "", "a quotation mark that is not closed"), number)
        return cells[:width] + [""] * (width - len(cells))

    def _cell(self, cells: Sequence[str], column: str) -> str:
        place = self.layout.at.get(column)
        text = cells[place] if place is not None else ""
        return unguarded(text) if self.table.guarded else text

    def _read(self, cells: Sequence[str], number: int) -> Pairs | _Noted:
        """The pairs of a row; () where word, adult form and production are all empty; noted where there is more to say."""
        word, ipa, said = (self._cell(cells, column) for column in _KEY[:3])
        notes: list[tuple[str, Note]] = []
        problems: list[Problem] = []
        language = self._language(clean(self._cell(cells, "language")), notes, problems)
        if not language:
            return self._note((), notes, problems, number)
        target, reason, target_notes, target_problems = self._target(clean(word), clean(ipa), language)
        production = self.cells.production(said, language)
        if not (word.strip() or ipa.strip()) and production is SILENT:
            return ()
        notes += [*target_notes, *(("produced_ipa", note) for note in production.notes)]
        problems += target_problems
        problems += (self._placed(problem, "produced_ipa") for problem in production.problems)
        pairs: Pairs = ()
        if not any(problem.code != "sample.unknown_word" for problem in problems):
            pairs = tuple(self._pair(clean(word), target, said_word, language, reason) for said_word in production.attempts)
        for text, column in ((word, "target_word"), (ipa, "target_ipa"), (said, "produced_ipa")):
            if text != text.strip():
                notes.append((column, (" ", "", "blanks at the edge of a cell")))
        return self._note(pairs, notes, problems, number) if notes or problems else pairs

    def _note(self, pairs: Pairs, notes: list[tuple[str, Note]], problems: list[Problem], first: int) -> _Noted:
        self._noted.append(_Noted(pairs, tuple(notes), tuple(problems), first))
        return self._noted[-1]

    def _placed(self, problem: Problem, column: str) -> Problem:
        message = f"{self.layout.heading(column)}: {problem.message}"
        return replace(problem, message=message, column=self.layout.at.get(column, -1) + 1 or None)

    def _pair(self, word: str, target: Word | None, said: Word | None, language: str, reason: str) -> Pair:
        kind: Kind = "scored"
        if said is None or (said is LEFT_OFF and target is None):
            return Pair(word, target, None, "no response", language, "no response")
        if said.phones and set(said.phones) == {"xxx"}:
            kind = "unintelligible"
        elif target is None or reason:
            kind = "no gloss"
        elif not_understood(said):
            kind = "unintelligible"
        elif said is LEFT_OFF:
            return Pair(word, target, said, "omitted", language)
        return Pair(word, target, said, kind, language, "" if kind == "scored" else kind if kind != "no gloss" else reason or kind)

    def _language(self, typed: str, notes: list[tuple[str, Note]], problems: list[Problem]) -> str:
        """The tag of a row, or "" where the language is not known."""
        if not typed:
            return self.language
        if name := sheet_rules().languages.get(plain(typed)):
            notes.append(("language", (typed, name, "name of a language")))
            return name
        if _TAG.fullmatch(typed):
            return typed
        message, hint = f"'{typed}' is not a language tag", "write a tag such as en-US or es"
        problems.append(self._placed(Problem("sample.language", message, hint, symbol=typed), "language"))
        return ""

    def _target(
        self, word: str, ipa: str, language: str
    ) -> tuple[Word | None, str, list[tuple[str, Note]], list[Problem]]:
        """Adult form, why the token cannot be scored ("" if it can), changes and problems; each distinct one once."""
        key = (word, ipa, language)
        if key not in self._targets:
            self._targets[key] = self._new_target(*key)
        return self._targets[key]

    def _new_target(
        self, word: str, ipa: str, language: str
    ) -> tuple[Word | None, str, list[tuple[str, Note]], list[Problem]]:
        cell = self.cells.target(ipa, language)
        notes = [("target_ipa", note) for note in cell.notes]
        problems = [self._placed(problem, "target_ipa") for problem in cell.problems]
        gloss = "" if word.casefold() in sheet_rules().no_gloss else word
        if gloss != word:
            notes.append(("target_word", (word, "", "a mark for no gloss")))
        target = cell.attempts[0] if cell.attempts else None
        if target is None and gloss and not problems:
            target = self._looked_up(gloss.rstrip("?"), language, notes, problems)
        if target is not None and not target.phones:
            target = None
        if gloss.endswith("?") and " " not in gloss:
            return target, "doubtful gloss", notes, problems
        if target is not None and not_understood(target):
            return target, "adult form not wholly known", notes, problems
        return target, "" if target else "adult form not known" if gloss else "no gloss", notes, problems

    def _looked_up(
        self, word: str, language: str, notes: list[tuple[str, Note]], problems: list[Problem]
    ) -> Word | None:
        """The adult form of a word, or of each word of a phrase, from the caller's dictionary."""
        whole = self.look_up(word, language) if self.look_up else None
        parts = [whole] if whole else [self.look_up(part, language) if self.look_up else None for part in word.split()]
        readings = [read(part, language) for part in parts if part]
        if not parts or len(readings) < len(parts) or any(one.problems or not one.words for one in readings):
            where = "was not found" if self.look_up else "has no adult form"
            problem = Problem("sample.unknown_word", f"'{word}' {where}", "write the adult form into target_ipa", symbol=word)
            problems.append(self._placed(problem, "target_word"))
            return None
        notes.append(("target_ipa", ("", "the adult form", "looked up, as target_ipa is empty")))
        return self.cells.kept(joined(tuple(one for reading in readings for one in reading.words)))
