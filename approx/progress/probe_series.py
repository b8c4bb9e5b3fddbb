"""Rows of a probe table into series: rows of one set and session added up, sessions numbered, the start of treatment found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from approx.problems import Problem
from approx.progress.phases import Point, Series, phase_runs
from approx.progress.rules import named_untreated
from approx.samples.token import Log
from approx.wording import worded


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
