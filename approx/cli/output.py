"""Long files: a line on stderr that moves while they are read, and no search for garbage where there is none.

Where things go: data on stdout, problems on stderr, files in one piece.

Reports onto disk, in one piece, in the format that the file's name asks for.

Pages as files: whole or not at all, and never over a file that is there, for somebody may have edited it.
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from approx.problems import Problem
from approx.reports.document import Document
from approx.reports.documents.documents import FORMATS, printed
from approx.samples.files.table import Table, open_table


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


def page_problem(path: Path | None) -> list[Problem]:
    """What is wrong with a page's name, before any work is done."""
    if path is None or path.suffix.casefold() in FORMATS:
        return []
    return [Problem("use.page", f"'{path.name}' is no page", "end the name in " + " or ".join(FORMATS))]


def write_document(path: Path, document: Document) -> list[Problem]:
    """Write the file whole or not at all."""
    try:
        content = printed(document, path.suffix)
    except ImportError as error:
        hint = "install python-docx, or take .html"
        return [Problem("page.library", f"a library for {path.suffix} is not there ({error.name})", hint, str(path))]
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.write_bytes(content)
        draft.replace(path)
    except OSError as error:
        return [Problem("file.write", f"cannot write: {error.strerror}", "choose another place", str(path))]
    return []


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


STEP = 20_000
"""Rows between two moves of the line; a file of fewer shows none."""
_WIDTH, _BLOCK = 30, 1 << 20


class Bar:
    """One line on stderr, written over as work goes on. Nothing is written unless stderr is a terminal."""

    def __init__(self, what: str, total: int = 0) -> None:
        self.what, self.total = what, total
        self.shown = 0
        self.wanted = sys.stderr.isatty()

    def move(self, done: int) -> None:
        """Show how far it is: a bar where the whole is known, else the number alone."""
        if not self.wanted:
            return
        text = f"{done:,} {self.what}"
        if self.total:
            share = min(1.0, done / self.total)
            full = round(share * _WIDTH)
            text = f"[{'#' * full}{'-' * (_WIDTH - full)}] {share:4.0%}  {done:,} of {self.total:,} {self.what}"
        print("\r" + text.ljust(self.shown), end="", file=sys.stderr, flush=True)
        self.shown = len(text)

    def count(self, done: int, total: int) -> None:
        """One more of a known number is done."""
        self.total = total
        self.move(done)

    def clear(self) -> None:
        """Take the line away."""
        if self.shown:
            print("\r" + " " * self.shown + "\r", end="", file=sys.stderr, flush=True)
            self.shown = 0


def opened(file: str) -> Table:
    """FILE ("-" is stdin) as a table; where a person waits at a terminal its rows are counted as they are read."""
    source = file if file == "-" else Path(file)
    table = open_table(source)
    bar = Bar("rows read")
    if bar.wanted:
        bar.total = _rows(source) if isinstance(source, Path) else 0
        table.rows = _watched(table.rows, bar)
    return table


def _watched(rows: Iterator[list[str]], bar: Bar) -> Iterator[list[str]]:
    for number, row in enumerate(rows):
        if number and not number % STEP:
            bar.move(number)
        yield row
    bar.clear()


def _rows(path: Path) -> int:
    """Lines of a text file; 0 where it is none, or cannot be read again."""
    if not path.is_file() or path.suffix.lower() not in (".csv", ".tsv", ".txt"):
        return 0
    with path.open("rb") as stream:
        return sum(block.count(b"\n") for block in iter(lambda: stream.read(_BLOCK), b""))


@contextmanager
def uncollected() -> Iterator[None]:
    """Without the garbage collector: a sample is hundreds of thousands of objects that all stay and refer to no cycle,
    and searching them again and again takes a third of the time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
