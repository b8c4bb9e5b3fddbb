"""How a call says no: inside, `RefusalError` ends the transaction; outside, the caller gets `Refused` and no exception.

No message holds more of a child's data than the word at fault.
"""

from __future__ import annotations

import errno
import shutil
from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import ParamSpec, TypeVar

from approx.problems import Problem
from approx.records.database.rows import Conflict, Refused, StoredRow
from approx.wording import worded

LEAST_ROOM = 100_000
"""Bytes: the index of the log alone takes 32 kB."""

P = ParamSpec("P")
T = TypeVar("T")


class RefusalError(Exception):
    """Raised within the package only; `answered` turns it into the value."""

    def __init__(self, *problems: Problem, current: StoredRow | None = None) -> None:
        super().__init__(problems[0].code)
        self.answer = Refused(problems) if current is None else Conflict(problems, current)


def refusal(code: str, message: str, hint: str = "", symbol: str = "") -> RefusalError:
    """A refusal for one reason."""
    return RefusalError(Problem(f"records.{code}", message, hint, symbol=symbol))


def answered(call: Callable[P, T]) -> Callable[P, T | Refused]:
    """The call, which returns `Refused` where it would raise for something that a user or the disk can cause."""

    @wraps(call)
    def answer(*args: P.args, **kwargs: P.kwargs) -> T | Refused:
        from sqlalchemy.exc import DBAPIError, StatementError

        try:
            return call(*args, **kwargs)
        except RefusalError as refused:
            return refused.answer
        except DBAPIError as error:
            return Refused((database_problem(str(error.orig), _file(args)),))
        except (StatementError, OverflowError, UnicodeEncodeError):
            return Refused((Problem("records.value", "a value cannot be stored", "type it again"),))
        except OSError as error:
            return Refused((disk_problem(error),))

    return answer


def _file(args: Sequence[object]) -> Path | None:
    """The file that a call is about: that of the caseload it belongs to, or the one to be opened."""
    of = args[0] if args else None
    place = getattr(of, "path", of)
    return place if isinstance(place, Path) else None


def _no_room(file: Path | None) -> bool:
    """True where the disk of a file has no room for what SQLite puts beside it."""
    try:
        return file is not None and shutil.disk_usage(file.parent).free < LEAST_ROOM
    except OSError:
        return False


def disk_problem(error: OSError) -> Problem:
    """What the system says of a file, in plain words and with a way out."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return database_problem("full")
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return database_problem("readonly")
    message = worded("disk error: {strerror}", strerror=error.strerror or "no")
    return Problem("records.disk", message, "nothing was changed; check the disk and its permissions")


def database_problem(said: str, file: Path | None = None) -> Problem:
    """What SQLite says, in plain words and with a way out. On a full disk it may say no more than that it cannot go on."""
    said = said.lower()
    if "disk i/o" in said and _no_room(file):
        said = "full"
    if "locked" in said or "busy" in said:
        return Problem("records.busy", "another window is saving just now", "nothing was changed; try again")
    if "full" in said:
        return Problem("records.full", "the disk is full", "nothing was changed; free some space and try again")
    if "readonly" in said or "unable to open" in said:
        hint = "check the permissions of the file and its folder, and whether the disk is read-only"
        return Problem("records.rights", "the file is write-protected", hint)
    if "not a database" in said or "malformed" in said:
        hint = "keep it, close the desk and open it again: it offers the last copy"
        return Problem("records.damaged", "the file is damaged", hint)
    if "unique" in said:
        return Problem("records.twice", "this entry already exists", "change that one, or choose another name")
    if "constraint" in said:
        return Problem("records.value", "a value does not agree with the others", "check the numbers")
    return Problem("records.disk", "the file cannot be read or written", "nothing was changed; try again")
