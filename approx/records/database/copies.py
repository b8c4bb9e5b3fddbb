"""Which copies of a caseload lie beside it: one of each day it was used, and those made before a newer version's tables."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import IO

from approx.records.database.connection import RawConnection
from approx.wording import worded

PART = ".part"
"""Ending of a copy that is not whole yet, before the number of the program that writes it."""

_DATED = re.compile(r"\.copy-(\d{4}-\d\d-\d\d)")


def copies(path: Path) -> tuple[Path, ...]:
    """All copies beside a caseload, and what is left of copies that were cut off, by name."""
    if not path.parent.is_dir():
        return ()
    return tuple(sorted(near for near in path.parent.iterdir() if near.name.startswith(f"{path.name}.copy-")))


def daily_copies(path: Path) -> dict[str, Path]:
    """The daily copies of a caseload by their day, the last one first."""
    found = {}
    for near in copies(path):
        day = _DATED.fullmatch(near.name.removeprefix(path.name))
        if day is not None:
            found[day[1]] = near
    return dict(sorted(found.items(), reverse=True))


def last_copy(path: Path) -> Path | None:
    """The last daily copy beside a caseload, None if there is none."""
    return next(iter(daily_copies(path).values()), None)


def copy_to_take(path: Path) -> str:
    """What to do where a file is damaged, in words: the last copy by name, if there is one."""
    copy = last_copy(path)
    if copy is None:
        return "keep it; there is no copy beside it, so look in your own backups"
    return worded("keep it; the last copy is {name}, and the desk can restore it", name=copy.name)


def write_copy(path: Path, copy: Path, connect: Callable[[Path], RawConnection]) -> bool:
    """A copy of an open caseload as one file, on the disk, while others may read and write it; False where it is not whole.

    It gets its name when it is whole: a kill at any moment leaves the copies that were there, and no half one among
    them. `connect` opens a raw connection to a file, with the passphrase of this one. Raises OSError, SQLite's errors.
    """
    part = copy.with_name(f"{copy.name}{PART}-{os.getpid()}")
    try:
        os.close(os.open(part, os.O_CREAT | os.O_TRUNC | os.O_RDWR, 0o600))
        source = connect(path)
        try:
            target = connect(part)
            try:
                source.backup(target)
                target.execute("PRAGMA journal_mode = DELETE")  # one file, no log beside it
                whole: bool = target.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            finally:
                target.close()
        finally:
            source.close()
        if whole:
            on_disk(part)
            os.replace(part, copy)
        return whole
    finally:
        for left in path.parent.glob(f"{part.name}*"):
            left.unlink()


def on_disk(path: Path) -> None:
    """Wait until a file is on the disk."""
    with path.open("r+b") as stream:
        os.fsync(stream.fileno())


def erase(path: Path) -> None:
    """Overwrite a file with zeros, on the disk, and remove it. Raises OSError."""
    with path.open("r+b") as stream:
        zero(stream)
    path.unlink()


def zero(stream: IO[bytes]) -> None:
    """Overwrite an open file from its beginning to its end, on the disk."""
    size = stream.seek(0, os.SEEK_END)
    stream.seek(0)
    block = bytes(1 << 20)
    while size > 0:
        size -= stream.write(block[: min(size, len(block))])
    stream.flush()
    os.fsync(stream.fileno())
