"""Look-ups in a large sorted text file without reading it: the file is mapped and bisected.

A file is sorted by the bytes of its head words, one entry a line. Lines at the top that start with `#` are
remarks. Opening costs well under a millisecond whatever the size, a look-up some ten steps.
"""

from __future__ import annotations

import mmap
from collections.abc import Callable
from functools import cache
from pathlib import Path

WINDOW = 4096
"""Bytes below which the rest is searched as one piece, which costs less than more steps."""

LONGEST_HEAD = 80
"""Bytes of a line that are looked at to compare its head."""


class SortedFile:
    """A mapped file whose lines are sorted by `head(line)`."""

    __slots__ = ("_bytes", "_end", "_head", "_start")

    def __init__(self, path: Path, head: Callable[[bytes], bytes], header_rows: int = 0) -> None:
        """Map `path`, skipping `header_rows` lines after the remarks. Raises OSError if it cannot be read."""
        with path.open("rb") as file:
            self._bytes = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
        self._head = head
        self._end = len(self._bytes)
        start = 0
        while start < self._end and (self._bytes[start : start + 1] == b"#" or header_rows):
            header_rows -= self._bytes[start : start + 1] != b"#"
            start = self._line_end(start) + 1
        self._start = start

    def lines(self, key: str) -> list[str]:
        """All lines whose head is `key`, in file order, without their line ends."""
        wanted = key.encode(errors="replace")
        data, head = self._bytes, self._head
        low, high = self._start, self._end
        while high - low > WINDOW:
            middle = data.rfind(b"\n", low, (low + high) // 2) + 1 or low
            if head(data[middle : middle + LONGEST_HEAD]) < wanted:
                low = self._line_end(middle) + 1
            else:
                high = middle
                if middle == low:
                    break
        found: list[str] = []
        place = low
        while place < self._end:
            end = self._line_end(place)
            line = data[place:end]
            at = head(line)
            if at == wanted:
                found.append(line.decode().rstrip("\r"))
            elif found or at > wanted:
                break
            elif place == low:  # not there yet: go straight to the first line that begins so
                place = data.find(b"\n" + wanted, end, high + len(wanted) + 1)
                if place < 0:
                    break
                end = place
            place = end + 1
        return found

    def _line_end(self, start: int) -> int:
        end = self._bytes.find(b"\n", start)
        return self._end if end < 0 else end


def first_column(line: bytes) -> bytes:
    """The head of a tab-separated line."""
    return line.partition(b"\t")[0]


@cache
def sorted_table(path: Path) -> SortedFile:
    """A tab-separated table with one header row, sorted by its first column; opened once."""
    return SortedFile(path, first_column, header_rows=1)
