"""A table of probes (CSV, TSV, XLSX) into series: every row a probe, practice with help, or named with its row and column.

Rows count the header as row 1. A set is treated from the first session in which its column `treated` says yes; without such
a column from its first phase that is no baseline, which is said aloud where it could be otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from approx.problems import Problem
from approx.progress.phases import Series
from approx.progress.probe_series import ProbeRow, made_series
from approx.progress.probe_table import (
    ProbeLayout,
    helped,
    lay_out_probes,
    not_probed,
    read_count,
    read_session,
    read_yes_no,
)
from approx.samples.cells.dates import read_date
from approx.samples.files.table import Table
from approx.samples.files.write import unguarded
from approx.samples.token import CellChange, Log
from approx.samples.vocabulary import clean
from approx.wording import worded

_ONLY_SET = "words"


@dataclass(frozen=True, slots=True)
class Probes:
    """`series`: a series a set, child and measure. `practice`: rows said with help, which are no probes. `rows`: rows below the
    heading; `blank`: cells that say a set was not probed; `refused`: rows that could not be read, each with a problem.
    """

    series: tuple[Series, ...]
    practice: tuple[ProbeRow, ...]
    problems: tuple[Problem, ...]
    changes: tuple[CellChange, ...]
    rows: int
    blank: int
    refused: int


def read_probe_table(table: Table, treated: Mapping[str, str] | None = None) -> Probes:
    """Probes from a table that is open. Nothing in the data raises.

    treated: set -> the session (a number) or the phase from which its words were practised, "no" for never; it goes
    before anything in the file. A date with two readings (03/04/2026) is refused.
    """
    log = Log(table.file)
    header = [unguarded(cell) for cell in table.header] if table.guarded else table.header
    layout = lay_out_probes(header, table.file)
    for problem in (*table.problems, *layout.problems):
        log.wrong(problem)
    for name, column in layout.renamed:
        log.change(column, (name, column, "heading read as a column"), 1)
    for name in layout.unread:
        log.change("", (name, "", "column that is not read"), 1)
    if any(problem.fatal for problem in layout.problems) or not layout.names:
        rows = sum(any(cell.strip() for cell in row) for row in table.rows)
        return Probes((), (), log.problems(), log.changes(), rows, 0, rows)
    told = len(table.problems)
    reader = _Rows(table, layout, log)
    found = list(reader)
    for problem in table.problems[told:]:
        log.wrong(problem)
    if not reader.rows and not any(problem.fatal for problem in log.problems()):
        log.wrong(Problem("probe.empty", "no row below the heading", line=1))
    practice = tuple(row for row in found if row.helped)
    if practice:
        message = worded(
            "counts with cues are practice, and are left out of the series: {practice} (the first in row {row})",
            practice=len(practice),
            row=practice[0].row,
        )
        log.wrong(Problem("probe.help", message, "probes are said without cues", line=practice[0].row, fatal=False))
    if "phase" not in layout.at and found:
        hint = "add a column phase: A for baseline, B for treatment"
        log.wrong(
            Problem("probe.phase", "no column of phases: every probe is taken as baseline", hint, line=1, fatal=False)
        )
    series = made_series([row for row in found if not row.helped], treated or {}, log)
    return Probes(
        tuple(series), practice, log.problems(), log.changes(), reader.rows, reader.blank, len(reader.refused)
    )


class _Rows:
    """Go through it once: each count of each row. Afterwards `rows`, `blank` and `refused` are complete."""

    def __init__(self, table: Table, layout: ProbeLayout, log: Log) -> None:
        self.table, self.layout, self.log = table, layout, log
        self.rows = self.blank = 0
        self.refused: set[int] = set()

    def __iter__(self) -> Iterator[ProbeRow]:
        for number, raw in enumerate(self.table.rows, 2):
            cells = [clean(unguarded(cell) if self.table.guarded else cell) for cell in raw]
            if not any(cells):
                continue
            self.rows += 1
            if self._fits(cells, raw, number):
                cells += [""] * (self.layout.width - len(cells))
                yield from self._row(cells, number)

    def _fits(self, cells: list[str], raw: list[str], number: int) -> bool:
        width = self.layout.width
        if number + self.table.skipped in self.table.unclosed:
            self._wrong(
                Problem("probe.row", "a quotation mark is opened and not closed", "close it", symbol='"'), number
            )
            return False
        if raw == self.table.header:
            self._wrong(Problem("probe.row", "the heading again", "when tables are joined, keep one heading"), number)
            return False
        beyond = next((place for place, cell in enumerate(cells[width:], width) if cell), None)
        if beyond is not None:
            message = worded(
                "{cells} {cells:cell|cells} in the row, {width} in the heading", cells=len(cells), width=width
            )
            self._wrong(
                Problem("probe.row", message, "a cell that contains a separator goes in quotation marks"),
                number,
                beyond,
            )
        return beyond is None

    def _wrong(self, problem: Problem, number: int, place: int | None = None) -> None:
        self.log.wrong(problem.at(line=number, column=None if place is None else place + 1))
        if problem.fatal:
            self.refused.add(number)

    def _text(self, column: str, cells: Sequence[str]) -> str:
        place = self.layout.at.get(column)
        return cells[place] if place is not None else ""

    def _row(self, cells: list[str], number: int) -> Iterator[ProbeRow]:
        session = self._session(cells, number)
        date = self._date(cells, number)
        treated, problem = read_yes_no(self._text("treated", cells))
        if problem:
            self._wrong(problem, number, self.layout.at["treated"])
        if number in self.refused:
            return
        if session is None and not date:
            hint = "fill in the session's number or its date"
            self._wrong(Problem("probe.session", "neither a session nor a date", hint), number)
            return
        for name, right, out_of in self._counts(cells, number):
            yield ProbeRow(
                number, self._text("child", cells), session, date, self._text("phase", cells), name, self._text("target", cells),
                treated, right, out_of, self._text("measure", cells), helped(self._text("help", cells)),
            )  # fmt: skip

    def _session(self, cells: Sequence[str], number: int) -> int | None:
        text = self._text("session", cells)
        if not text:
            return None
        session, problem = read_session(text)
        if problem:
            self._wrong(problem, number, self.layout.at["session"])
        return session

    def _date(self, cells: Sequence[str], number: int) -> str:
        text = self._text("session_date", cells)
        if not text:
            return ""
        date, why, problem = read_date(text, None)
        if why:
            self.log.change("session_date", (text, date, why), number)
        if problem and not problem.fatal:
            hint = "write year-month-day, such as 2026-03-02"
            problem = Problem("probe.date", worded("'{text}' is not a date", text=text), hint, symbol=text)
        if problem:
            self._wrong(problem, number, self.layout.at["session_date"])
            return ""
        return date

    def _counts(self, cells: Sequence[str], number: int) -> Iterator[tuple[str, int, int]]:
        """(set, right, out of) of one row: one, or one a column."""
        if "right" in self.layout.at:
            place = self.layout.at["right"]
            whole = self._text("out_of", cells)
            if whole == "" and "out_of" not in self.layout.at and "target" in self.layout.at:
                whole = "1"
            name = self._text("word_set", cells) or _ONLY_SET
            yield from self._count(name, cells[place], whole, place, self.layout.at.get("out_of", place), number)
        for each in self.layout.sets:
            whole = str(each.out_of) if each.out_of_at is None else cells[each.out_of_at]
            where = each.right if each.out_of_at is None else each.out_of_at
            yield from self._count(each.name, cells[each.right], whole, each.right, where, number)

    def _count(
        self, name: str, text: str, whole: str, place: int, whole_place: int, number: int
    ) -> Iterator[tuple[str, int, int]]:
        if not_probed(text):
            self.blank += 1
            return
        right, out_of, problem = read_count(text, self.layout.names[place])
        if problem is None and out_of is not None:
            self.log.change(
                self.layout.names[place],
                (text, worded("{right} of {out_of}", right=right, out_of=out_of), "two counts in one cell"),
                number,
            )
        if problem is None and whole:
            stated, _, problem = read_count(whole, self.layout.names[whole_place])
            if problem is None and out_of not in (None, stated):
                message = worded(
                    "'{text}' says out of {out_of}, the column says out of {stated}",
                    text=text,
                    out_of=out_of,
                    stated=stated,
                )
                problem = Problem("probe.count", message, "make them agree", symbol=text)
            out_of = stated
        if problem is None and out_of is None:
            hint = "add a column out_of, or write 8/10"
            problem = Problem(
                "probe.count", worded("'{text}' without the number of items", text=text), hint, symbol=text
            )
        if problem is None and (not out_of or right is None or right > out_of):
            problem = Problem(
                "probe.count",
                worded("{right} correct out of {out_of} is impossible", right=right, out_of=out_of),
                "check both numbers",
                symbol=text,
            )
        if problem is not None or right is None or out_of is None:
            if problem is not None:
                self._wrong(problem, number, place)
            return
        yield name, right, out_of
