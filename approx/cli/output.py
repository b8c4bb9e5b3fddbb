"""Where things go: data on stdout, problems on stderr, files in one piece."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from approx.problems import Problem


def print_json(data: Any) -> None:
    """One JSON document, IPA as it is."""
    print(json.dumps(data, ensure_ascii=False, indent=1))


def print_problems(problems: Iterable[Problem]) -> None:
    """A line each, in order."""
    for problem in problems:
        print(problem, file=sys.stderr)


def is_terminal() -> bool:
    """True where a person looks at the answer, so that tables may be drawn."""
    return sys.stdout.isatty()


def replace_file(path: Path, text: str) -> Problem | None:
    """Write a file in one piece: a reader sees the old one or the new one, never a half."""
    import os

    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.write_text(text, encoding="utf-8", newline="\n")
        draft.replace(path)
    except OSError as error:
        return Problem("file.write", f"cannot write: {error.strerror}", "choose another place", str(path))
    return None


def write_new(path: Path, text: str) -> Problem | None:
    """Write a file that must not exist yet, whole or not at all."""
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        return Problem("file.exists", "this file is there already", "choose another name", str(path))
    except OSError as error:
        return Problem("file.write", f"cannot write: {error.strerror}", "choose another place", str(path))
    return None
