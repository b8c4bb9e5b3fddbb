"""Long files: a line on stderr that moves while they are read, and no search for garbage where there is none."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from approx.scoring.sample_table import Table, open_table

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
