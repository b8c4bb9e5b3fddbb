"""Which copies of a caseload lie beside it: one of each day it was used, and those made before a newer version's tables."""

from __future__ import annotations

import re
from pathlib import Path

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
    return f"keep it; the last copy is {copy.name}, and the desk can put it in its place"
