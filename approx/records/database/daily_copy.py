"""A dated copy of the caseload each day it is used, beside the file, encrypted if it is; the last fourteen are kept.

A copy is written under another name, found whole, and only then given its own: a kill at any moment leaves the copies
of the days before, and no half one among them.
"""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from approx.records.database.connection import Connector, cipher
from approx.records.database.copies import PART, daily_copies, last_copy, on_disk, write_copy
from approx.records.database.refusals import RefusalError, answered, database_problem, refusal
from approx.records.database.store import Store

COPIES_KEPT = 14


@dataclass(frozen=True, slots=True)
class Safekeeping:
    """`saved`: moment of the last change on the disk, ISO, UTC; `copies`: days of the daily copies, the last one first."""

    saved: str
    copies: tuple[str, ...]


@answered
def restore_copy(path: Path) -> Path:
    """Put the last daily copy in the place of a file that is damaged, which is kept under another name: that name.

    Refused where there is no copy.
    """
    copy = last_copy(path)
    if copy is None:
        raise refusal("no_copy", "there is no copy of this file", "look for one in your own backups")
    kept = path.with_name(f"{path.name}.damaged-{datetime.now(UTC):%Y%m%d-%H%M%S-%f}")
    part = path.with_name(f"{path.name}{PART}")
    shutil.copyfile(copy, part)
    os.chmod(part, 0o600)
    on_disk(part)
    for ending in ("", "-wal", "-shm"):  # a log of the damaged file does not fit the copy
        beside = Path(f"{path}{ending}")
        if beside.exists():
            os.replace(beside, f"{kept}{ending}")
    os.replace(part, path)
    return kept


class DailyCopy(Store):
    """The copies of an open caseload."""

    @answered
    def copy_today(self) -> Path | None:
        """Make the copy of this day if it is not there; None if it is. Old ones beyond `COPIES_KEPT` go, after it is whole."""
        target = self.path.with_name(f"{self.path.name}.copy-{date.today().isoformat()}")
        if target.exists():
            return None
        engine, file = self._now
        self._same_file(file)
        try:
            if not write_copy(self.path, target, Connector(self.path, self._passphrase).connect):
                hint = "keep it and open the last copy"
                raise refusal("damaged", "the file is damaged; no copy was made of it", hint)
        except (sqlite3.Error, cipher_error()) as error:
            problem = database_problem(str(error))
            raise RefusalError(problem) from None
        finally:
            for left in self.path.parent.glob(f"{self.path.name}.copy-*{PART}-*"):
                if not _alive(left):
                    with suppress(OSError):
                        left.unlink()
        for old in list(daily_copies(self.path).values())[COPIES_KEPT:]:
            old.unlink(missing_ok=True)
        return target

    def safekeeping(self) -> Safekeeping:
        """When something was saved last, and which daily copies there are."""
        moments = []
        for place in (self.path, Path(f"{self.path}-wal")):
            with suppress(OSError):
                found = os.stat(place)
                if found.st_size:  # an empty log is made by whoever looks at the file
                    moments.append(found.st_mtime)
        saved = datetime.fromtimestamp(max(moments), UTC).strftime("%Y-%m-%dT%H:%M:%SZ") if moments else ""
        return Safekeeping(saved, tuple(daily_copies(self.path)))


def cipher_error() -> type[Exception]:
    """What the encrypting build raises, where it is installed."""
    try:
        error: type[Exception] = cipher().Error
    except RefusalError:
        return sqlite3.Error
    return error


def _alive(part: Path) -> bool:
    """True if the program that writes this copy is still at work; one that was killed left it behind."""
    number = re.sub(r"\D.*", "", part.name.rpartition(f"{PART}-")[2])
    if os.name == "nt" or not number:
        return False
    try:
        os.kill(int(number), 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True
