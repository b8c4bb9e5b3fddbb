"""Cells of a probe table: counts, sessions, yes and no. What has one reading is read; anything else is named."""

from __future__ import annotations

import re

from approx.problems import Problem
from approx.scoring.progress_rules import progress_table
from approx.scoring.sample_dates import turned_into

MOST = 10_000
"""More items than a probe can have: beyond it a number is a slip of the hand."""

_WHOLE_NUMBER = re.compile(r"(\d+)(?:[.,]0+)?")
_OF = re.compile(r"(\d+)\s*(?:/|∕|of|out of|de)\s*(\d+)", re.IGNORECASE)
_PERCENT = re.compile(r"\d+(?:[.,]\d+)?\s*%")
_SESSION = re.compile(r"(?:session|visit|probe|sesi[oó]n|s)?[\s#.:no-]*(\d{1,5})(?:[.,]0+)?", re.IGNORECASE)


def read_count(text: str, what: str) -> tuple[int | None, int | None, Problem | None]:
    """(number, number of items where the cell has it too, problem). `what` names the column in the message."""
    if found := _WHOLE_NUMBER.fullmatch(text):
        number = int(found[1]) if len(found[1]) < 12 else MOST + 1
        return (
            (number, None, None)
            if number <= MOST
            else (None, None, _problem(text, what, "too large", "check the number"))
        )
    if found := _OF.fullmatch(text):
        right, whole = (int(part) if len(part) < 12 else MOST + 1 for part in found.groups())
        if max(right, whole) <= MOST:
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
    return None, Problem("probe.session", f"session '{text}' is {reason}", hint, symbol=text)


def read_yes_no(text: str) -> tuple[bool | None, Problem | None]:
    """Whether a set was in treatment; None for an empty cell."""
    if not text:
        return None, None
    cells = progress_table()["cells"]
    for answer, name in ((True, "yes"), (False, "no")):
        if text.casefold() in cells[name]:
            return answer, None
    return None, Problem("probe.treated", f"treated: '{text}' is neither yes nor no", "write yes or no", symbol=text)


def helped(text: str) -> bool:
    """True where a cell says that help was given: practice, and no probe."""
    return text.casefold() not in progress_table()["cells"]["no_help"]


def not_probed(text: str) -> bool:
    """True for a cell that says that the set was not probed in this session."""
    return text.casefold() in progress_table()["cells"]["not_probed"]


def _problem(text: str, what: str, reason: str, hint: str) -> Problem:
    return Problem("probe.count", f"{what}: '{text}' is {reason}", hint, symbol=text)
