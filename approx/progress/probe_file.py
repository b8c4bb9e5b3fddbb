"""A table of probes (CSV, TSV, XLSX) into series: every row a probe, practice with help, or named with its row and column.

Rows count the header as row 1. Rows of one set and session are added up and sessions numbered. A set is treated from the first
session in which its column `treated` says yes; without such a column from its first phase that is no baseline, which is said
aloud where it could be otherwise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from approx.problems import Problem
from approx.progress.phases import Point, Series, phase_runs
from approx.progress.probe_table import (
    ProbeLayout,
    helped,
    lay_out_probes,
    not_probed,
    read_count,
    read_session,
    read_yes_no,
)
from approx.progress.rules import named_untreated
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


@dataclass(frozen=True, slots=True)
class ProbeRow:
    """One count as it was read. `treated`: None where the table does not say. `helped`: said with help, so no probe."""

    row: int
    child: str
    session: int | None
    date: str
    phase: str
    word_set: str
    target: str
    treated: bool | None
    right: int
    out_of: int
    measure: str
    helped: bool = False


SeriesKey = tuple[str, str, str]


def made_series(rows: Sequence[ProbeRow], treated: Mapping[str, str], log: Log) -> list[Series]:
    """A series for each child, measure and set, in order of first sight. Problems go to the log."""
    numbers = _sessions(rows, log)
    groups: dict[SeriesKey, list[ProbeRow]] = {}
    for row in rows:
        groups.setdefault((row.child, row.measure, row.word_set), []).append(row)
    starts = {name.strip().casefold(): value.strip() for name, value in treated.items()}
    out: list[Series] = []
    for (child, measure, name), members in groups.items():
        points = _points(members, numbers, log)
        start = starts.get(name.casefold())
        out.append(_series((child, measure, name), members, points, numbers, start, log))
    known = {row.word_set.casefold() for row in rows}
    for name in starts:
        if name not in known:
            there = ", ".join(dict.fromkeys(row.word_set for row in rows)) or "none"
            log.wrong(
                Problem(
                    "probe.set",
                    worded("there is no set '{name}' to treat", name=name),
                    worded("sets: {there}", there=there),
                    symbol=name,
                )
            )
    return out


def _sessions(rows: Sequence[ProbeRow], log: Log) -> dict[int, int]:
    """Number of the session of each row: as written, else by the order of the dates of this child."""
    out: dict[int, int] = {}
    by_child: dict[str, list[ProbeRow]] = {}
    for row in rows:
        by_child.setdefault(row.child, []).append(row)
    for mine in by_child.values():
        dated = {row.date: row.session for row in mine if row.date and row.session is not None}
        if all(row.session is None for row in mine):
            order = {date: at for at, date in enumerate(sorted({row.date for row in mine}), 1)}
            out |= {row.row: order[row.date] for row in mine}
            continue
        for row in mine:
            number = row.session if row.session is not None else dated.get(row.date)
            if number is not None:
                out[row.row] = number
            else:
                message = worded("no number of the session of {date}, while other rows have one", date=row.date)
                log.wrong(Problem("probe.session", message, "number every session, or none", line=row.row))
        _dates_in_order([row for row in mine if row.row in out], out, log)
    return out


def _dates_in_order(rows: Iterable[ProbeRow], numbers: Mapping[int, int], log: Log) -> None:
    dates: dict[int, tuple[str, int]] = {}
    for row in rows:
        if not row.date:
            continue
        known = dates.setdefault(numbers[row.row], (row.date, row.row))
        if known[0] != row.date:
            message = worded(
                "session {numbers} has two dates, {known} (row {known2}) and {date}",
                numbers=numbers[row.row],
                known=known[0],
                known2=known[1],
                date=row.date,
            )
            log.wrong(Problem("probe.date", message, "check which one is right", line=row.row, fatal=False))
    ordered = sorted(dates.items())
    for (earlier, (first, _)), (later, (second, line)) in zip(ordered, ordered[1:]):
        if second < first:
            message = worded(
                "session {later} ({second}) is dated before session {earlier} ({first})",
                later=later,
                second=second,
                earlier=earlier,
                first=first,
            )
            log.wrong(Problem("probe.date", message, "check numbers and dates", line=line, fatal=False))


def _points(rows: Sequence[ProbeRow], numbers: Mapping[int, int], log: Log) -> tuple[Point, ...]:
    """One point a session: rows of different targets are added up; a set that stands twice is a problem."""
    found: dict[int, list[ProbeRow]] = {}
    for row in rows:
        if row.row not in numbers:
            continue
        here = found.setdefault(numbers[row.row], [])
        if here and not row.target:
            message = worded(
                "session {numbers} of '{word_set}' is already in row {row}",
                numbers=numbers[row.row],
                word_set=row.word_set,
                row=here[0].row,
            )
            hint = "keep one of them; name the targets if they are single words"
            log.wrong(Problem("probe.twice", message, hint, line=row.row, symbol=row.word_set))
        elif here and row.phase != here[0].phase:
            message = worded(
                "session {numbers} is in phase '{phase}' (row {row}) and in phase '{phase2}'",
                numbers=numbers[row.row],
                phase=here[0].phase,
                row=here[0].row,
                phase2=row.phase,
            )
            log.wrong(Problem("probe.phase", message, "one phase per session and set", line=row.row, symbol=row.phase))
        else:
            here.append(row)
    return tuple(
        Point(number, sum(row.right for row in here), sum(row.out_of for row in here), here[0].phase, here[0].date)
        for number, here in sorted(found.items())
    )


def _series(
    key: SeriesKey,
    rows: Sequence[ProbeRow],
    points: tuple[Point, ...],
    numbers: Mapping[int, int],
    start: str | None,
    log: Log,
) -> Series:
    child, measure, name = key
    told = {row.treated for row in rows}
    if start is not None:
        first = _stated(start, points)
        never = start.casefold() in ("no", "never", "none")
        if first is None and not never:
            hint = "give a number of a session, the name of a phase, or no"
            log.wrong(
                Problem(
                    "probe.set",
                    worded("'{start}' is not a session or phase of the set '{name}'", start=start, name=name),
                    hint,
                    symbol=start,
                )
            )
        return Series(child, name, points, never, first, measure)
    if told - {None}:
        sessions = [numbers[row.row] for row in rows if row.treated and row.row in numbers]
        return Series(child, name, points, not sessions, min(sessions, default=None), measure)
    if named_untreated(name):
        return Series(child, name, points, True, None, measure)
    treatments = [run for run in phase_runs(points) if run.kind == "treatment"]
    first = treatments[0].points[0].session if treatments else None
    if len(Counter(run.phase for run in treatments)) > 1:
        message = worded(
            "'{name}' is taken as treated from session {first} (phase {phase}): no column says from when",
            name=name,
            first=first,
            phase=treatments[0].phase,
        )
        hint = worded(
            "if it was later, give --treated '{name}={phase}', or add a column treated (yes, no)",
            name=name,
            phase=treatments[1].phase,
        )
        log.wrong(Problem("probe.treated", message, hint, line=1, symbol=name, fatal=False))
    return Series(child, name, points, False, first, measure)


def _stated(start: str, points: Sequence[Point]) -> int | None:
    """The session at which a stated start stands: a number, or the name of a phase."""
    if start.isdecimal() and len(start) < 6:
        return int(start)
    return next((point.session for point in points if point.phase.casefold() == start.casefold()), None)
