"""Workbooks into rows of text: dates, numbers and formulas as what was typed, so far as the file still tells."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from itertools import islice
from typing import IO
from xml.parsers.expat import ExpatError

from approx.problems import Problem
from approx.samples.files.workbook_xml import (
    BookParts,
    OutOfOrderError,
    RawCell,
    SheetRow,
    TooMuchError,
    book_parts,
    number_formats,
    shared_texts,
    sheet_rows,
)
from approx.wording import enumerated, worded

_NOTHING = ("nan", "NaT", "<NA>")  # of a data frame; as texts they have been returned before
MOST_XML_BYTES, MOST_TEXT_BYTES, MOST_MEMBERS, _SMALL, TIGHTEST = 120_000_000, 30_000_000, 5_000, 1_000_000, 200
"""Bytes that a workbook may unfold to, and its shared texts, which are held in memory; files in it; a file above _SMALL
bytes is refused if it shrank to a `TIGHTEST`th of its size."""
_HEAD_ROWS = 20
_SAVE_SHEET = "save the one sheet as CSV UTF-8"
_WHOLE = re.compile(r"-?(?:0|[1-9][0-9]*)")
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


def cell_text(value: object) -> str:
    """A cell of a workbook or a data frame as text: dates in ISO form, whole numbers without a point, nothing as "".

    A date in a column of forms keeps its ISO look, by which it is recognised as a date.
    """
    if isinstance(value, str):
        return value
    if value is None or str(value) in _NOTHING:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time(0) else value.isoformat(" ", "seconds")
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)


def read_workbook(
    stream: IO[bytes], sheet: str | None, file: str, recognised: Callable[[Sequence[str]], int]
) -> tuple[Iterator[list[str]], list[Problem]]:
    """Rows of one sheet as text, and problems; no rows where the file is no workbook.

    Without a name, the sheet whose first rows hold the most known headings; the others are named in a remark.
    """
    if too_much := too_large(stream, file):
        return iter(()), [too_much]
    try:
        book = _open(stream)
        if not book.parts.sheets:
            return iter(()), [_no_workbook(book.packed, file)]
        names = list(book.parts.sheets)
        if sheet is not None and sheet not in names:
            hint = worded("the sheets are: {names}", names=enumerated(", ", names))
            missing = worded("no sheet named '{sheet}'", sheet=sheet)
            return iter(()), [Problem("sample.sheet", missing, hint, file, symbol=sheet)]
        heads = {name: _head(book, name) for name in names}
    except Exception as error:  # whatever is inside is one thing to the user
        return iter(()), [_broken(file, error)]
    full = [name for name in names if any(map(any, heads[name]))]
    best = max(full, key=lambda name: max(map(recognised, heads[name])), default=None)
    chosen = sheet or best
    if chosen is None:
        return iter(()), []
    problems = [
        Problem(
            "sample.sheet",
            worded("the sheet '{name}' is not read, only '{chosen}'", name=name, chosen=chosen),
            "name it to read it",
            file,
            fatal=False,
        )
        for name in full
        if name != chosen
    ]
    return _rows(book, chosen, file, problems), problems


def too_large(stream: IO[bytes], file: str) -> Problem | None:
    """Why a workbook is not unpacked: it says itself that it unfolds to more than a sample can be. None for others."""
    try:
        with zipfile.ZipFile(stream) as packed:
            sizes = [(member.filename, member.file_size, member.compress_size) for member in packed.infolist()]
    except (zipfile.BadZipFile, OSError, ValueError, EOFError):
        return None  # what is no workbook is said by who opens it
    texts = sum(size for name, size, _ in sizes if name.casefold().endswith("sharedstrings.xml"))
    whole = sum(size for name, size, _ in sizes if name.casefold().endswith((".xml", ".rels")))
    tight = any(size > _SMALL and size > TIGHTEST * shrunk for _, size, shrunk in sizes)
    if texts <= MOST_TEXT_BYTES and whole <= MOST_XML_BYTES and not tight and len(sizes) <= MOST_MEMBERS:
        return None
    message = "the workbook is too large when unpacked; it is not read"
    return Problem("sample.bound", message, _SAVE_SHEET, file)


@dataclass(frozen=True, slots=True)
class _Book:
    """An open workbook: its parts, its shared texts, and how numbers of a style are shown."""

    packed: zipfile.ZipFile
    parts: BookParts
    texts: list[str]
    formats: list[int]
    codes: dict[int, str]
    kinds: dict[int, str] = field(default_factory=dict)

    def kind(self, style: int) -> str:
        """What a number of a style is: "date", "duration" or ""."""
        known = self.kinds.get(style)
        if known is None:
            from openpyxl.styles.numbers import builtin_format_code, is_date_format, is_timedelta_format

            number = self.formats[style] if 0 <= style < len(self.formats) else 0
            code = self.codes.get(number) or builtin_format_code(number)
            known = "duration" if is_timedelta_format(code) else "date" if is_date_format(code) else ""
            self.kinds[style] = known
        return known

    def text(self, cell: RawCell | None) -> str:
        """A cell as text. Of a formula the result that the spreadsheet kept, if it is a text or a number; else what was
        typed: Excel makes `=-a` of a typed `-a`."""
        if cell is None:
            return ""
        if cell.formula is None:
            return self.value(cell)
        result = self.value(cell)
        if result and not result.startswith("#"):
            return result
        return cell.formula if cell.formula[:1] in ("-", "+") else f"={cell.formula}"

    def value(self, cell: RawCell) -> str:
        """What a cell holds, without its formula."""
        kind, value = cell.kind, cell.value
        if not value:
            return ""
        if kind == "s":
            return _unescaped(self.texts[_index(value)])
        if kind in ("str", "inlineStr"):
            return _unescaped(value)
        if kind == "b":
            return str(value.strip() != "0")
        if kind == "d":
            return _iso_date(value)
        if kind == "n":
            return self.number(value, cell.style)
        return value

    def number(self, value: str, style: int) -> str:
        """A number as it was typed: a date where its style says so."""
        kind = self.kind(style) if style else ""
        if not kind:
            if _WHOLE.fullmatch(value):
                return value
            try:
                return cell_text(float(value))
            except ValueError:
                return value
        from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_excel

        epoch = MAC_EPOCH if self.parts.since_1904 else WINDOWS_EPOCH
        try:
            found: date | time | timedelta | None = from_excel(float(value), epoch, timedelta=kind == "duration")
        except (ValueError, OverflowError):
            return value
        return cell_text(found)


def _index(value: str) -> int:
    number = int(value)
    if number < 0:
        raise IndexError(value)
    return number


def _iso_date(value: str) -> str:
    try:
        return cell_text(datetime.fromisoformat(value))
    except ValueError:
        return value


def _unescaped(text: str) -> str:
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text


def _open(stream: IO[bytes]) -> _Book:
    packed = zipfile.ZipFile(stream)
    parts = book_parts(packed)
    texts: list[str] = []
    if parts.texts in packed.namelist():
        with packed.open(parts.texts) as part:
            texts = shared_texts(part)
    return _Book(packed, parts, texts, *number_formats(packed, parts.styles))


def _head(book: _Book, name: str) -> list[list[str]]:
    """The first rows of a sheet; one that breaks off counts as one with something in it, so that it is named."""
    rows: list[list[str]] = []
    try:
        with book.packed.open(book.parts.sheets[name]) as part:
            rows.extend(_texts(book, row) for row in islice(sheet_rows(part), _HEAD_ROWS))
    except Exception:  # what it is is told when the rows are read
        rows.append(["broken"])
    return rows


def _texts(book: _Book, row: SheetRow) -> list[str]:
    return [book.text(cell) for cell in row]


def _no_workbook(packed: zipfile.ZipFile, file: str) -> Problem:
    """What a packed file is that holds no sheet."""
    names = packed.namelist()
    if "word/document.xml" in names:
        return Problem("sample.file", "the file is a text document, not a table", "copy its table into a sheet", file)
    message = worded(
        "the file is a zipped folder with {files} {files:file|files} in it, such as '{name}'",
        files=f"{len(names):,}",
        name=(names or [""])[0][:60],
    )
    return Problem("sample.file", message, "unpack it and choose the sheet inside", file)


def _broken(file: str, error: Exception) -> Problem:
    message: str = worded("the workbook cannot be read ({name})", name=type(error).__name__)
    if isinstance(error, ExpatError):
        message = "the workbook cannot be read: it is damaged inside"
    return Problem("sample.file", message, "open it in a spreadsheet and save it again as XLSX or CSV UTF-8", file)


def _rows(book: _Book, name: str, file: str, problems: list[Problem]) -> Iterator[list[str]]:
    number = 0
    try:
        with book.packed.open(book.parts.sheets[name]) as part:
            for row in sheet_rows(part):
                number += 1
                yield _texts(book, row)
    except TooMuchError as error:
        message = worded("{why}; the rows after row {row} are not read", why=error.args[0], row=number)
        problems.append(Problem("sample.bound", message, _SAVE_SHEET, file, number))
    except OutOfOrderError as error:
        message = worded(
            "row {row} is below row {last} in the sheet; the rows after that are not read", row=error, last=number
        )
        problems.append(Problem("sample.file", message, "open it in a spreadsheet and save it again", file, number))
    except Exception as error:
        problems.append(_broken(file, error))
