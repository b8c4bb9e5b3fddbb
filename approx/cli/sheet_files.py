"""Pages as files: whole or not at all, and never over a file that is there, for somebody may have edited it."""

from __future__ import annotations

import os
from pathlib import Path

from approx.problems import Problem


def write_page(path: Path, data: bytes, force: bool) -> Problem | None:
    """Write a page in one piece. An existing file is only replaced where that was asked for."""
    if path.exists() and not force:
        return Problem("file.exists", "this file is there already", "choose another name, or --force", str(path))
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.write_bytes(data)
        draft.replace(path)
    except OSError as error:
        draft.unlink(missing_ok=True)
        return Problem("file.write", f"cannot write: {error.strerror}", "choose another place", str(path))
    return None
