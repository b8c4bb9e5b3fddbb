"""A source into a heading and rows of text: CSV, TSV and their relatives, workbooks, other formats, rows in memory."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from io import TextIOWrapper
from itertools import chain, islice
from pathlib import Path
from typing import IO, TypeVar

from approx.problems import Problem
from approx.samples.columns.headers import lay_out, recognised
from approx.samples.files.encoding import open_bytes, open_text
from approx.samples.files.other_formats import GZIP, foreign, reader_for, unpacked
from approx.samples.files.workbook import cell_text, read_workbook
from approx.wording import worded

_DELIMITERS = (",", ";", "\t", "|")
_SEP_LINE = re.compile(r'"?sep=([\t!#$%&*+,./:;<=>?@\\^_`{|}~-])"?[,;\t|\s]*', re.IGNORECASE)
_ZIP, _OLD_OFFICE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"
_EXPORT_AGAIN = "export the sheet again as CSV UTF-8"
_PREVIEW, _HEADER_WITHIN = 200, 20
_LONGEST_CELL = 500
"""Lines after which a quotation mark that was never closed is given up."""
LONGEST_LINE = 500_000
"""Characters; a longer line is none of a sample."""
_AT_ONCE = 256
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
"""Signs that no keyboard types; a tab and line ends are none of them."""
T = TypeVar("T")


@dataclass(slots=True)
class Table:
    """`rows` can be gone through once; `problems` grows while it is, and so does `unclosed`: records, counted from 1
    at the top of the file, with a quotation mark that was opened and not closed, and `control`: records with a control
    sign, and which. `preview` holds the first rows.
    `skipped` records stand above the heading, `above` of them hold something.

    `guarded`: a leading apostrophe may protect a cell from being taken for a formula (text files).
    """

    file: str
    header: list[str] = field(default_factory=list)
    preview: list[list[str]] = field(default_factory=list)
    rows: Iterator[list[str]] = field(default_factory=lambda: iter(()))
    problems: list[Problem] = field(default_factory=list)
    unclosed: set[int] = field(default_factory=set)
    control: dict[int, str] = field(default_factory=dict)
    skipped: int = 0
    above: int = 0
    guarded: bool = False


def open_table(source: Path | IO[bytes] | str, sheet: str | None = None, file: str = "") -> Table:
    """A table from a path, a binary stream or "-" (standard input). What cannot be read at all is one problem."""
    file = file or (str(source) if isinstance(source, Path) else "stdin" if source == "-" else "")
    try:
        stream = open_bytes(source)
        start = _head(stream)
    except OSError as error:
        hint = "check the name of the file"
        return Table(
            file,
            problems=[
                Problem(
                    "sample.file",
                    worded("cannot read the file: {strerror}", strerror=error.strerror or error),
                    hint,
                    file,
                )
            ],
        )
    if start.startswith(GZIP):
        whole, problems = unpacked(stream, file)
        if whole is None:
            return Table(file, problems=problems)
        return open_table(whole, sheet, file)
    if start.startswith(_OLD_OFFICE):
        message, hint = (
            "an old or locked workbook (XLS, or XLSX with a password)",
            "save it as XLSX or CSV UTF-8",
        )
        return Table(file, problems=[Problem("sample.file", message, hint, file)])
    if other := foreign(start):
        return Table(file, problems=[Problem("sample.file", *other, file)])
    read = reader_for(start)
    if read is not None:
        rows, problems = read(stream, file)
        return _with_header(Table(file, rows=_closing(rows, stream, source), problems=problems))
    if start.startswith(_ZIP):
        rows, problems = read_workbook(stream, sheet, file, recognised)
        return _with_header(Table(file, rows=_closing(rows, stream, source), problems=problems))
    text, remarks = open_text(stream, file)
    table = Table(file, problems=list(remarks), guarded=True)
    text_lines = iter(partial(text.readline, LONGEST_LINE), "")
    first = list(islice(text_lines, _PREVIEW))
    found = _SEP_LINE.fullmatch(first[0].rstrip("\r\n")) if first else None
    lines = first[1:] if found else first
    delimiter = found[1] if found else _delimiter(lines)
    width = _header(_rows(lines, delimiter))[1]
    rows = chain.from_iterable(
        _closing(_records(chain(lines, text_lines), delimiter, table, width), stream, source, text)
    )
    inner = _inner_delimiter(lines, delimiter)
    if inner:
        message = "each row is one cell in quotation marks; the cells inside are read"
        table.problems.append(Problem("sample.quoted", message, _EXPORT_AGAIN, file, fatal=False))
        rows = (_one_line(row[0], inner, None) if len(row) == 1 else row for row in rows)
    table.rows = rows
    return _with_header(table)


def _head(stream: IO[bytes]) -> bytes:
    """The first bytes, by which the format is known; the stream stands at its start again."""
    at = stream.tell()
    start = stream.read(1024)
    stream.seek(at)
    return start


def table_of(header: Sequence[str], rows: Iterable[Sequence[object]], file: str = "") -> Table:
    """A table of rows in memory, such as those of a data frame: numbers, dates and None as cells too."""
    texts = chain([list(header)], ([cell_text(value) for value in row] for row in rows))
    return _with_header(Table(file, rows=texts))


def table_of_columns(header: Sequence[str], columns: Sequence[Sequence[str]], file: str = "") -> Table:
    """A table of columns of cells in memory, all of one length."""
    return _with_header(Table(file, rows=chain([list(header)], map(list, zip(*columns)))))


def _with_header(table: Table) -> Table:
    """Take the heading, which need not be the first row, off the rows; keep a preview of what follows."""
    first = list(islice(table.rows, _PREVIEW))
    at, _ = _header(first)
    if not any(any(cell.strip() for cell in row) for row in first):
        table.problems.append(
            Problem("sample.empty", "the file is empty", "write a heading, and below it one row each", table.file)
        )
    table.header = first[at] if first else []
    table.above = sum(any(cell.strip() for cell in row) for row in first[:at])
    table.preview = first[at + 1 :]
    table.rows = chain(table.preview, table.rows)
    table.skipped = at
    table.problems += _above(table, first[:at])
    return table


def _above(table: Table, rows: Sequence[Sequence[str]]) -> Iterator[Problem]:
    """What stands above the heading, row by row: a title is a remark; what looks like rows of data stops the reading."""
    at = lay_out(table.header, table.preview, "").at if any(map(any, rows)) else {}
    aimed = [at[column] for column in ("target_word", "target_ipa") if column in at]
    for number, row in enumerate(rows, 1):
        if not any(cell.strip() for cell in row):
            continue

        def full(place: int | None, row: Sequence[str] = row) -> bool:
            return place is not None and place < len(row) and bool(row[place].strip())

        data = full(at.get("produced_ipa")) and any(map(full, aimed)) and recognised(row) < 2
        shown = ", ".join(cell.strip() for cell in row if cell.strip())[:60]
        message = worded(
            "row {number} of the file is above the heading and is not read: {shown}", number=number, shown=shown
        )
        hint = "put the heading above it" if data else "the row of the heading counts as row 1"
        yield Problem("sample.above", message, hint, table.file, 1, fatal=data)


def _header(rows: Sequence[Sequence[str]]) -> tuple[int, int]:
    """Index and width of the row with the most known headings; without any, of the first row that holds something."""
    near = list(enumerate(rows[:_HEADER_WITHIN]))
    at, row = max(near, key=lambda entry: (recognised(entry[1]), any(entry[1]), -entry[0]), default=(0, []))
    width = len(row)
    while width and not row[width - 1].strip():
        width -= 1
    return at, width


def _delimiter(lines: Sequence[str]) -> str:
    """The separator with which the most headings are known, and then the fewest rows are wider than the heading."""

    def fit(delimiter: str) -> tuple[int, int, int]:
        rows = _rows(lines, delimiter)
        at, width = _header(rows)
        known = recognised(rows[at]) if rows else 0
        return known, -sum(len(row) > width for row in rows), 0 if known else width

    return max(_DELIMITERS, key=fit)


def _inner_delimiter(lines: Sequence[str], delimiter: str) -> str | None:
    """The separator inside rows that are one quoted cell each, as a sheet exported twice has them."""
    rows = [row for row in _rows(lines, delimiter) if row]
    if not rows or any(len(row) > 1 for row in rows) or recognised(rows[0]):
        return None
    best = max(_DELIMITERS, key=lambda inner: recognised(rows[0][0].split(inner)))
    return best if recognised(rows[0][0].split(best)) else None


def _records(lines: Iterable[str], delimiter: str, table: Table, width: int | None = None) -> Iterator[list[list[str]]]:
    """Rows of a text file, some at a time. A quotation mark that is not closed where a cell ends would swallow the rows
    after it: there the first line is taken for a row, and reading goes on with the next line.
    """
    feed, back, number = iter(lines), list[str](), 0
    while True:
        if not back:
            some = list(islice(feed, _AT_ONCE))
            if not some:
                return
            if max(map(len, some)) >= LONGEST_LINE:
                some = _up_to_long(some, number, table)
                feed = iter(())
            block = "".join(some)
            if not block.replace("\n", "").isprintable() and CONTROL.search(block):
                _note_control(some, number, table)
            if '"' not in block:
                bare = (block.replace("\r\n", "\n").replace("\r", "\n") if "\r" in block else block).split("\n")
                if not bare[-1]:
                    bare.pop()  # what follows the last line end
                yield [line.split(delimiter) if line else [] for line in bare]
                number += len(some)
                continue
            back = some[::-1]
        line, number = back.pop(), number + 1
        if '"' not in line:
            yield [_cells(line, delimiter)]
            continue
        taken = [line]
        row, open_mark = _quoted(taken, delimiter)
        while open_mark and len(taken) < _LONGEST_CELL:
            more = back.pop() if back else next(feed, None)
            if more is None:
                break
            taken.append(more)
            if '"' in more:
                row, open_mark = _quoted(taken, delimiter)
        if row is None or (len(taken) > 1 and width is not None and _swallowed(row, taken, delimiter, width)):
            back.extend(reversed(taken[1:]))
            row = _one_line(line.rstrip("\r\n"), delimiter, width)
            table.unclosed.add(number)
        yield [row]


def _up_to_long(lines: list[str], number: int, table: Table) -> list[str]:
    """The lines before the first that is too long, which is named; `number` lines came before them."""
    at = next(at for at, line in enumerate(lines) if len(line) >= LONGEST_LINE)
    message = worded(
        "a line of more than {most} characters; it and what follows are not read", most=f"{LONGEST_LINE:,}"
    )
    hint = "is it a sample, with line breaks?"
    table.problems.append(Problem("sample.bound", message, hint, table.file, max(1, number + at + 1 - table.skipped)))
    return lines[:at]


def _swallowed(row: Sequence[str], lines: Sequence[str], delimiter: str, width: int) -> bool:
    """True if a quotation mark took rows for one cell: too many cells, or too few where each line alone has them all."""
    if any(row[width:]):
        return True
    return len(row) < width and all(len(_cells(line, delimiter)) == width for line in lines)


def _note_control(lines: Sequence[str], number: int, table: Table) -> None:
    """Remember which records of a block hold a control sign. Quoted cells of several lines count as one record before."""
    for at, line in enumerate(lines, number + 1):
        if found := CONTROL.search(line):
            table.control.setdefault(at, found[0])


def _cells(line: str, delimiter: str) -> list[str]:
    """The cells of a line without quotation marks."""
    bare = line.rstrip("\r\n")
    return bare.split(delimiter) if bare else []


def _rows(lines: Iterable[str], delimiter: str) -> list[list[str]]:
    """The rows of a few lines."""
    return list(chain.from_iterable(_records(lines, delimiter, Table(""))))


def _quoted(lines: Sequence[str], delimiter: str) -> tuple[list[str] | None, bool]:
    """The row in these lines, or None and whether a quotation mark is still open in them."""
    try:
        return next(csv.reader(lines, delimiter=delimiter, strict=True)), False
    except csv.Error as error:
        return None, "end of data" in str(error)


def _one_line(line: str, delimiter: str, width: int | None) -> list[str]:
    """The cells of a line with an open quotation mark: closed at its end, or taken for a letter, whichever fits."""
    literal = line.split(delimiter)
    try:
        quoted = next(csv.reader([line], delimiter=delimiter), literal)
    except csv.Error:
        quoted = literal
    return literal if len(literal) == width != len(quoted) else quoted


def _closing(rows: Iterator[T], stream: IO[bytes], source: object, text: TextIOWrapper | None = None) -> Iterator[T]:
    """These rows; after the last a stream we opened is closed, and one we were given is left open."""
    try:
        yield from rows
    finally:
        if text is not None and not text.closed:
            text.detach()
        if isinstance(source, Path):
            stream.close()
