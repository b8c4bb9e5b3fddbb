"""Files overwritten before the disk gets them back; what a disk keeps of its own accord, no program can reach."""

from __future__ import annotations

import os
from pathlib import Path
from typing import IO


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
