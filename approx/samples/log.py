"""What a reading has to say: every problem with its row, every kind of change once with how often and where first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from approx.problems import Problem
from approx.samples.token import CellChange

IN_FULL = 1000
"""Problems of one kind that are told in full; of the further ones, rows and number are."""


class Log:
    """Collects problems and changes of one file."""

    def __init__(self, file: str = "") -> None:
        self.file = file
        self._problems: list[Problem] = []
        self._told: dict[str, int] = {}
        self._further: dict[str, tuple[Problem, list[int]]] = {}
        self._changes: dict[tuple[str, str, str, str], list[int]] = {}

    def wrong(self, problem: Problem) -> None:
        """Add a problem; the file is filled in."""
        if not problem.message.isprintable():
            problem = replace(problem, message=_printable(problem.message))
        told = self._told[problem.code] = self._told.get(problem.code, 0) + 1
        if told <= IN_FULL or problem.line is None:
            self._problems.append(problem.at(self.file))
        else:
            self._further.setdefault(problem.code, (problem, []))[1].append(problem.line)

    def change(self, column: str, note: tuple[str, str, str], row: int, times: int = 1) -> None:
        """Add a change (typed, read, why)."""
        entry = self._changes.setdefault((column, *note), [0, row])
        entry[0] += times
        entry[1] = min(entry[1], row)

    def problems(self) -> tuple[Problem, ...]:
        """In the order of rows; those of the whole file first."""
        found = list(self._problems)
        for code, (first, rows) in self._further.items():
            distinct = sorted(set(rows))
            message = (
                f"{len(distinct)} more rows with a problem of this kind [{code}]: {', '.join(row_ranges(distinct))}"
            )
            found.append(replace(first.at(self.file), message=message, column=None, symbol=""))
        return tuple(sorted(found, key=lambda problem: problem.line or 0))

    def changes(self) -> tuple[CellChange, ...]:
        """In the order in which they first came."""
        found = [CellChange(*key, times, row) for key, (times, row) in self._changes.items()]
        return tuple(sorted(found, key=lambda change: (change.row, change.column, change.typed)))


def _printable(text: str) -> str:
    """Control characters of a file as escapes: they would reach the terminal."""
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode() for char in text)


def row_ranges(rows: Sequence[int]) -> Iterator[str]:
    """Rows in order as 3, 5-9, 12."""
    start = last = rows[0]
    for row in (*rows[1:], -1):
        if row != last + 1:
            yield f"{start}-{last}" if last > start else str(start)
            start = row
        last = row
