"""Lists of words in files: look-ups in a large sorted one without reading it, and small ones read whole."""

from __future__ import annotations

import mmap
from bisect import bisect_left
from collections.abc import Callable
from functools import cache
from pathlib import Path

from approx.datafiles import rules_path

BLOCK_BYTES = 4096
"""Bytes between two heads that are kept."""

LONGEST_HEAD = 80
"""Bytes of a line that are looked at to compare its head."""


class SortedFile:
    """A mapped file whose lines are sorted by `head(line)`."""

    __slots__ = ("_bytes", "_head", "_heads", "_places")

    def __init__(self, path: Path, head: Callable[[bytes], bytes], header_rows: int = 0) -> None:
        """Map `path`, skipping `header_rows` lines after the remarks. Raises OSError if it cannot be read."""
        with path.open("rb") as file:
            self._bytes = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
        self._head = head
        data, end, start = self._bytes, len(self._bytes), 0
        while start < end and (data[start : start + 1] == b"#" or header_rows):
            header_rows -= data[start : start + 1] != b"#"
            start = self._line_end(start) + 1
        # where pieces of whole lines begin, and where the last of them ends
        inner = (self._line_end(at) + 1 for at in range(start + BLOCK_BYTES, end, BLOCK_BYTES))
        self._places = [start, *(place for place in inner if place < end), end]
        self._heads = [head(data[place : place + LONGEST_HEAD]) for place in self._places[1:-1]]

    def lines(self, key: str) -> list[str]:
        """All lines whose head is `key`, in file order, without their line ends."""
        wanted, head = key.encode(errors="replace"), self._head
        low = high = bisect_left(self._heads, wanted)
        while high < len(self._heads) and self._heads[high] == wanted:
            high += 1
        piece = self._bytes[self._places[low] : self._places[high + 1]]
        found: list[str] = []
        place = 0 if piece.startswith(wanted) else piece.find(b"\n" + wanted) + 1 or len(piece)
        while place < len(piece):
            end = piece.find(b"\n", place)
            line = piece[place : end if end >= 0 else len(piece)]
            if head(line) != wanted:
                break
            found.append(line.decode().rstrip("\r"))
            place += len(line) + 1
        return found

    def _line_end(self, start: int) -> int:
        end = self._bytes.find(b"\n", start)
        return len(self._bytes) if end < 0 else end


def first_column(line: bytes) -> bytes:
    """The head of a tab-separated line."""
    return line.partition(b"\t")[0]


@cache
def sorted_table(path: Path) -> SortedFile:
    """A tab-separated table with one header row, sorted by its first column; opened once."""
    return SortedFile(path, first_column, header_rows=1)


@cache
def word_set(name: str) -> frozenset[str]:
    """The words of `rules/lexicon/<name>.txt`."""
    lines = rules_path(f"lexicon/{name}.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(word for line in lines if not line.startswith("#") and (word := line.strip()))
