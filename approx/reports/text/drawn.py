"""Text that holds tables: drawn with borders to the width of a terminal, as blocks where it is narrow, as plain columns elsewhere."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import zip_longest

_LONG_WORD = 14
NARROW = 64
"""Columns of a terminal under which a table would be a heap of letters."""


@dataclass(frozen=True, slots=True)
class Columns:
    """A table: headers and rows of text; a cell may have several lines."""

    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""


Part = str | Columns


def flat(parts: Iterable[Part]) -> list[str]:
    """Plain lines, columns under each other and nothing cut, as files and programs take them."""
    return [line for part in parts for line in ([part] if isinstance(part, str) else columns(part))]


def columns(table: Columns) -> list[str]:
    """A table as lines."""
    widths = [max(map(_width, column)) for column in zip(table.headers, *table.rows, strict=True)]
    lines = [table.title] if table.title else []
    for row in (table.headers, *table.rows):
        cells = [cell + " " * (width - _width(cell)) for cell, width in zip(row, widths, strict=True)]
        lines.append("  ".join(cells).rstrip())
    return lines


def _width(text: str) -> int:
    """Columns a text takes: marks that stand on a letter take none."""
    return sum(not unicodedata.combining(char) for char in text)


def drawn(parts: Iterable[Part], width: int) -> list[str]:
    """Lines for a terminal of so many columns."""
    lines: list[str] = []
    for part in parts:
        if isinstance(part, str):
            lines += [part]
        else:
            made = [] if width < NARROW else _table(part, width)
            fits = made and max(map(_width, made)) <= width
            lines += made if fits else _blocks(part, width)
    return lines


def _table(table: Columns, width: int) -> list[str]:
    widths = _widths(table, width)
    several = any("\n" in cell for row in table.rows for cell in row)
    top, middle, bottom = (_rule(widths, *ends) for ends in ("┌┬┐", "├┼┤", "└┴┘"))
    lines = [*([table.title] if table.title else []), top, *_row(table.headers, widths), middle]
    for number, row in enumerate(table.rows):
        lines += [middle] if several and number else []
        lines += _row(row, widths)
    return [*lines, bottom]


def _rule(widths: Sequence[int], left: str, between: str, right: str) -> str:
    return left + between.join("─" * (width + 2) for width in widths) + right


def _row(cells: Sequence[str], widths: Sequence[int]) -> list[str]:
    """The lines of one row, each cell folded to its column."""
    folded = [
        [part for line in cell.split("\n") for part in textwrap.wrap(line, width) or [""]]
        for cell, width in zip(cells, widths, strict=True)
    ]
    return [
        "│ " + " │ ".join(text + " " * (width - _width(text)) for text, width in zip(line, widths, strict=True)) + " │"
        for line in zip_longest(*folded, fillvalue="")
    ]


def _widths(table: Columns, width: int) -> list[int]:
    """Widths of the columns: the widest give way first, none to less than its heading and the words in it."""
    cells = [[header, *column] for header, column in zip(table.headers, zip(*table.rows, strict=True), strict=True)]
    lines = [[line for cell in column for line in cell.split("\n")] for column in cells]
    wide = [max(map(_width, column)) for column in lines]
    least = [max(min(_width(word), _LONG_WORD) for line in column for word in line.split() or [""]) for column in lines]
    least = [max(number, _width(header)) for number, header in zip(least, table.headers, strict=True)]
    room = width - 3 * len(wide) - 1
    while sum(wide) > room and any(now > low for now, low in zip(wide, least, strict=True)):
        at = max(range(len(wide)), key=lambda i: wide[i] - least[i])
        wide[at] -= 1
    return wide


def _blocks(table: Columns, width: int) -> list[str]:
    """A row as a block of lines, a cell after the other behind the head of its column."""
    lines = [table.title] if table.title else []
    for row in table.rows:
        for header, cell in zip(table.headers, row, strict=True):
            for number, line in enumerate(cell.split("\n") if cell else ()):
                first = f"{header}: " if number == 0 else "  "
                lines += textwrap.wrap(line, width - 1, initial_indent=first, subsequent_indent="  ") or [first]
        lines.append("")
    return lines
