"""Files written whole or not at all: a reader sees the old one or the new one, never a half."""

from __future__ import annotations

import os
from pathlib import Path

from approx.problems import Problem


def write_text(path: Path, text: str, force: bool = False) -> tuple[Problem, ...]:
    """Write a text as UTF-8; over an existing file only with `force`, for somebody may have edited it."""
    return write_bytes(path, text.encode(), force)


def write_bytes(path: Path, data: bytes, force: bool = False) -> tuple[Problem, ...]:
    """The same of bytes."""
    if not force and path.exists():
        return (Problem("file.exists", "this file is there already", "choose another name, or add --force", str(path)),)
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.write_bytes(data)
        draft.replace(path)
    except OSError as error:
        draft.unlink(missing_ok=True)
        return (Problem("file.write", f"cannot write: {error.strerror}", "choose another place", str(path)),)
    return ()
