"""What a sample is once read: tokens, what was left out, every change made on the way, and every problem with its row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from approx.ipa import Word
from approx.problems import Problem
from approx.wording import enumerated, worded

TokenKind = Literal["scored", "omitted", "no gloss", "no response", "unintelligible"]

COUNTED: tuple[TokenKind, ...] = ("scored", "omitted")
"""Kinds that enter accuracy. A word marked as left off is counted, every sound of it wrong; the others are left out."""

COLUMNS = (
    "child", "session_date", "target_word", "target_ipa", "produced_ipa",
    "context", "attempt", "transcriber", "cue", "note", "language", "age",
)  # fmt: skip
"""The columns of the contract, and two optional ones: `language` and `age` per row."""


@dataclass(slots=True, eq=False)  # never changed; a frozen one takes three times as long to make, and files have many
class Pair:
    """Word, adult form and production, one object for all tokens of a file that share them (compared by identity).

    `target` is None without a known adult form; `produced` is None for no response and has no sounds where the
    whole word was left off. `reason` says why a pair is left out of accuracy, "" for a counted one.
    """

    target_word: str
    target: Word | None
    produced: Word | None
    kind: TokenKind
    language: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Token:
    """One attempt at one word. `row` counts the header as row 1.

    `typed_target` and `typed_produced` are the cells as they stood; several attempts in one cell share them.
    `session_date` is ISO (2026-03-02), or the typed text where no date could be read. `age` is in months.
    """

    row: int
    child: str
    session_date: str
    target_word: str
    target: Word | None
    produced: Word | None
    typed_target: str
    typed_produced: str
    context: str
    attempt: int
    transcriber: str
    cue: str
    note: str
    language: str
    kind: TokenKind
    age: int | None = None

    @property
    def counted(self) -> bool:
        """True if the token enters accuracy."""
        return self.kind in COUNTED


def token_cell(token: Token, column: str) -> str:
    """A token's cell in a column of the contract, as text. KeyError for any other."""
    name = {"target_ipa": "typed_target", "produced_ipa": "typed_produced"}.get(column, column)
    if name not in Token.__dataclass_fields__:
        raise KeyError(column)
    found = getattr(token, name)
    return "" if found is None else str(found)


FormNote = tuple[str, str, str]
"""A change: what was typed, what it was read as, why."""


@dataclass(frozen=True, slots=True)
class CellChange:
    """One kind of change made while reading: in which column, from what to what, why, how often, where first."""

    column: str
    typed: str
    read: str
    why: str
    times: int
    row: int


@dataclass(frozen=True, slots=True)
class Sample:
    """A transcribed sample.

    Every row is in one of three places: it gave tokens, it is in `refused` (and named in `problems`), or it was blank:
    `rows == len({t.row for t in tokens}) + len(refused) + blank`. Tokens that are not counted stand in `left_out` too.
    """

    tokens: tuple[Token, ...]
    left_out: tuple[tuple[int, str], ...]
    problems: tuple[Problem, ...]
    changes: tuple[CellChange, ...]
    columns: tuple[str, ...]
    extra_columns: tuple[str, ...] = ()
    extra: dict[int, tuple[str, ...]] = field(default_factory=dict)
    rows: int = 0
    blank: int = 0
    refused: tuple[int, ...] = ()

    def value(self, token: Token, column: str) -> str:
        """A token's cell in any column, of the contract or not, as text. KeyError for a column the file lacks."""
        if column in self.extra_columns:
            return self.extra[token.row][self.extra_columns.index(column)]
        return token_cell(token, column)


@dataclass(frozen=True, slots=True)
class PairCounts:
    """How often each pair occurs in each group: all that most measures need, without a million tokens.

    `groups` maps the values of the `by` columns to counts of pairs; `left_out` maps them to (row, reason).
    """

    by: tuple[str, ...]
    groups: dict[tuple[str, ...], dict[Pair, int]]
    left_out: dict[tuple[str, ...], list[tuple[int, str]]]
    problems: tuple[Problem, ...]
    changes: tuple[CellChange, ...]
    columns: tuple[str, ...]
    rows: int
    blank: int
    refused: tuple[int, ...]


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
        """Add a problem; the file is filled in, but for a refused option, which stands in none."""
        if not problem.message.isprintable():
            problem = replace(problem, message=_printable(problem.message))
        told = self._told[problem.code] = self._told.get(problem.code, 0) + 1
        if told <= IN_FULL or problem.line is None:
            self._problems.append(problem if problem.code.startswith("use.") else problem.at(self.file))
        else:
            self._further.setdefault(problem.code, (problem, []))[1].append(problem.line)

    def change(self, column: str, note: FormNote, row: int, times: int = 1) -> None:
        """Add a change (typed, read, why)."""
        entry = self._changes.setdefault((column, *note), [0, row])
        entry[0] += times
        entry[1] = min(entry[1], row)

    def problems(self) -> tuple[Problem, ...]:
        """In the order of rows; those of the whole file first."""
        found = list(self._problems)
        for code, (first, rows) in self._further.items():
            distinct = sorted(set(rows))
            message = worded(
                "{distinct} more {distinct:row|rows} with a problem of this kind [{code}]: {distinct2}",
                distinct=len(distinct),
                code=code,
                distinct2=enumerated(", ", row_ranges(distinct)),
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
