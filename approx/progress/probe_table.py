"""Columns and cells of a probe table: which column is which, with one set a row (`word_set, right, out_of`) or one set a column
(`set1_of_10`); counts, sessions, yes and no. What has one reading is read; anything else is named.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache

from approx.problems import Problem
from approx.progress.rules import progress_table
from approx.samples.cells.dates import turned_into
from approx.samples.vocabulary import clean, plain
from approx.wording import worded

_OF_NUMBER = re.compile(r"(.*?)[\s_(-]*(?:out[\s_-]*of|of|/|de)[\s_-]*(\d{1,5})\)?", re.IGNORECASE)
_WHOLE = re.compile(r"(.+?)[\s_-]+(out[\s_-]*of|of|total|n)", re.IGNORECASE)
_RIGHT = re.compile(r"(.+?)[\s_-]+(right|correct|hits|correctas|aciertos)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SetColumn:
    """A set that has a column of its own: where its right answers stand, and the number of items or the column that has it."""

    name: str
    right: int
    out_of: int | None = None
    out_of_at: int | None = None


@dataclass(slots=True)
class ProbeLayout:
    """Where each column stands (from 0), the sets that have columns, and what was decided."""

    names: tuple[str, ...]
    at: dict[str, int] = field(default_factory=dict)
    sets: tuple[SetColumn, ...] = ()
    problems: list[Problem] = field(default_factory=list)
    unread: tuple[str, ...] = ()
    renamed: list[tuple[str, str]] = field(default_factory=list)

    @property
    def width(self) -> int:
        """Number of columns."""
        return len(self.names)


@cache
def _headings() -> dict[str, str]:
    columns = progress_table()["columns"]
    return {plain(word): name for name, words in columns.items() for word in (name, *words)}


def lay_out_probes(header: Sequence[str], file: str = "") -> ProbeLayout:
    """The columns of a probe table. What is missing for want of which nothing can be read is a fatal problem."""
    names = [clean(cell) for cell in header]
    while names and not names[-1]:
        names.pop()
    layout = ProbeLayout(tuple(names))
    for place, name in enumerate(names):
        column = _headings().get(plain(name))
        if column and column not in layout.at:
            layout.at[column] = place
            if name.casefold() != column:
                layout.renamed.append((name, column))
        elif column:
            message = worded(
                "two columns are {column}: '{names}' and '{name}'",
                column=column,
                names=names[layout.at[column]],
                name=name,
            )
            layout.problems.append(Problem("probe.header", message, "keep one of them", file, 1, place + 1, name))
    if "right" not in layout.at:
        layout.sets = _set_columns(names, set(layout.at.values()))
    taken = {*layout.at.values(), *(place for each in layout.sets for place in (each.right, each.out_of_at))}
    layout.unread = tuple(name for place, name in enumerate(names) if place not in taken and name)
    layout.problems += _missing(layout, file)
    return layout


def _set_columns(names: Sequence[str], taken: set[int]) -> tuple[SetColumn, ...]:
    """`set1_of_10`, or `set1 correct` with `set1 out of`, in the order of the columns."""
    out: list[SetColumn] = []
    wholes = {found[1].casefold(): place for place, name in enumerate(names) if (found := _WHOLE.fullmatch(name))}
    for place, name in enumerate(names):
        if place in taken:
            continue
        if (found := _OF_NUMBER.fullmatch(name)) and found[1]:
            bare = _RIGHT.fullmatch(found[1])
            out.append(SetColumn(bare[1] if bare else found[1], place, int(found[2])))
        elif (found := _RIGHT.fullmatch(name)) and (whole := wholes.get(found[1].casefold())) is not None:
            out.append(SetColumn(found[1], place, None, whole))
    return tuple(out)


def _missing(layout: ProbeLayout, file: str) -> list[Problem]:
    out: list[Problem] = []
    heads = ", ".join(name or "(blank)" for name in layout.names) or "none"
    if not layout.names:
        return out
    if "right" not in layout.at and not layout.sets:
        message = worded("no column of correct answers; the headings are: {heads}", heads=heads)
        hint = "use the headings word_set, right, out_of; or give each set a column such as set1_of_10"
        out.append(Problem("probe.header", message, hint, file, 1))
    if "session" not in layout.at and "session_date" not in layout.at:
        message = worded("no column of sessions or dates; the headings are: {heads}", heads=heads)
        out.append(Problem("probe.header", message, "use the heading session (1, 2, 3) or date", file, 1))
    doubles = [each.name for each in layout.sets]
    for name in dict.fromkeys(doubles):
        if doubles.count(name) > 1:
            out.append(
                Problem(
                    "probe.header",
                    worded("two columns are of the set '{name}'", name=name),
                    "give them different names",
                    file,
                    1,
                    symbol=name,
                )
            )
    return out


MOST_ITEMS = 10_000
"""More items than a probe can have: beyond it a number is a slip of the hand."""

_WHOLE_NUMBER = re.compile(r"(\d+)(?:[.,]0+)?")
_OF = re.compile(r"(\d+)\s*(?:/|∕|of|out of|de)\s*(\d+)", re.IGNORECASE)
_PERCENT = re.compile(r"\d+(?:[.,]\d+)?\s*%")
_SESSION = re.compile(r"(?:session|visit|probe|sesi[oó]n|s)?[\s#.:no-]*(\d{1,5})(?:[.,]0+)?", re.IGNORECASE)


def read_count(text: str, what: str) -> tuple[int | None, int | None, Problem | None]:
    """(number, number of items where the cell has it too, problem). `what` names the column in the message."""
    if found := _WHOLE_NUMBER.fullmatch(text):
        number = int(found[1]) if len(found[1]) < 12 else MOST_ITEMS + 1
        return (
            (number, None, None)
            if number <= MOST_ITEMS
            else (None, None, _problem(text, what, "too large", "check the number"))
        )
    if found := _OF.fullmatch(text):
        right, whole = (int(part) if len(part) < 12 else MOST_ITEMS + 1 for part in found.groups())
        if max(right, whole) <= MOST_ITEMS:
            return right, whole, None
        return None, None, _problem(text, what, "too large", "check the number")
    if _PERCENT.fullmatch(text):
        return (
            None,
            None,
            _problem(text, what, "a percentage without its number of items", "write right and out_of as counts"),
        )
    reason = turned_into(text)
    if reason:
        return None, None, _problem(text, what, reason, "write right and out_of in two columns of numbers")
    return None, None, _problem(text, what, "not a whole number", "write how many were right, such as 8")


def read_session(text: str) -> tuple[int | None, Problem | None]:
    """A session's number, from `4`, `S4` or `session 4`."""
    if found := _SESSION.fullmatch(text):
        return int(found[1]), None
    reason = turned_into(text) or "not a number of a session"
    hint = "number the sessions 1, 2, 3; give the day in a column of dates"
    return None, Problem(
        "probe.session", worded("session '{text}' is {reason}", text=text, reason=reason), hint, symbol=text
    )


def read_yes_no(text: str) -> tuple[bool | None, Problem | None]:
    """Whether a set was in treatment; None for an empty cell."""
    if not text:
        return None, None
    cells = progress_table()["cells"]
    for answer, name in ((True, "yes"), (False, "no")):
        if text.casefold() in cells[name]:
            return answer, None
    return None, Problem(
        "probe.treated", worded("treated: '{text}' is neither yes nor no", text=text), "write yes or no", symbol=text
    )


def helped(text: str) -> bool:
    """True where a cell says that help was given: practice, and no probe."""
    return text.casefold() not in progress_table()["cells"]["no_help"]


def not_probed(text: str) -> bool:
    """True for a cell that says that the set was not probed in this session."""
    return text.casefold() in progress_table()["cells"]["not_probed"]


def _problem(text: str, what: str, reason: str, hint: str) -> Problem:
    return Problem(
        "probe.count", worded("{what}: '{text}' is {reason}", what=what, text=text, reason=reason), hint, symbol=text
    )
