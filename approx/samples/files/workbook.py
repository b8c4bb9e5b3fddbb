"""Workbooks into rows of text: dates, numbers and formulas as what was typed, so far as the file still tells."""

from __future__ import annotations

import re
import warnings
import zipfile
from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime, time
from typing import IO, TYPE_CHECKING, Any

from approx.problems import Problem
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

_NOTHING = ("nan", "NaT", "<NA>")  # of a data frame; as texts they have been returned before
MOST_XML_BYTES, MOST_TEXT_BYTES, MOST_MEMBERS, _SMALL, TIGHTEST = 120_000_000, 30_000_000, 5_000, 1_000_000, 200
"""Bytes that a workbook may unfold to, and its shared texts, which are held in memory; files in it; a file above _SMALL
bytes is refused if it shrank to a `TIGHTEST`th of its size."""
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
    try:
        from openpyxl import load_workbook
    except ImportError:
        hint = "install openpyxl, or save the sheet as CSV UTF-8"
        return iter(()), [Problem("sample.sheets", "reading XLSX needs openpyxl", hint, file)]
    start = stream.tell()
    if too_large := _too_large(stream, file):
        return iter(()), [too_large]
    stream.seek(start)
    try:
        with warnings.catch_warnings():  # styles and validations that openpyxl does not keep; no cell is concerned
            warnings.simplefilter("ignore")
            book = load_workbook(stream, read_only=True)
            names = [name for name in book.sheetnames if hasattr(book[name], "iter_rows")]
            if sheet is not None and sheet not in names:
                hint = worded("the sheets are: {names}", names=enumerated(", ", names))
                return iter(()), [
                    Problem("sample.sheet", worded("no sheet named '{sheet}'", sheet=sheet), hint, file, symbol=sheet)
                ]
            heads = {name: _head(book, name) for name in names}
    except Exception as error:  # whatever a foreign parser makes of any bytes is one thing to the user
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
    return _rows(book, chosen, _Values(stream, start, chosen), file, problems), problems


def _too_large(stream: IO[bytes], file: str) -> Problem | None:
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
    message = "the workbook unfolds to more than a sample can be; it is not read"
    return Problem("sample.bound", message, "save the one sheet as CSV UTF-8", file)


def _head(book: Workbook, name: str) -> list[list[str]]:
    book[name].reset_dimensions()  # the stated size of a sheet is often wrong
    return [[cell_text(value) for value in row] for row in book[name].iter_rows(max_row=20, values_only=True)]


def _broken(file: str, error: Exception) -> Problem:
    message = worded("the workbook cannot be read ({name})", name=type(error).__name__)
    return Problem("sample.file", message, "open it in a spreadsheet and save it again as XLSX or CSV UTF-8", file)


def _rows(book: Workbook, name: str, values: _Values, file: str, problems: list[Problem]) -> Iterator[list[str]]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            for number, row in enumerate(book[name].iter_rows()):
                yield [
                    values.formula(cell.value, number, at) if cell.data_type == "f" else _plain(cell.value)
                    for at, cell in enumerate(row)
                ]
    except Exception as error:
        problems.append(_broken(file, error))


def _plain(value: Any) -> str:
    text = cell_text(value)
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text


class _Values:
    """The results a spreadsheet stored beside its formulas; the workbook is opened again only if there is a formula."""

    def __init__(self, stream: IO[bytes], start: int, sheet: str) -> None:
        self.stream, self.start, self.sheet = stream, start, sheet
        self.rows: Iterator[tuple[Any, ...]] | None = None
        self.at, self.row = -1, ()

    def formula(self, value: Any, number: int, place: int) -> str:
        """A result that is a text or a number stands; else what was typed: Excel makes `=-a` of a typed `-a`."""
        result = self.result(number, place)
        text = cell_text(result)
        if text and not text.startswith("#"):
            return text
        formula = str(getattr(value, "text", value))  # an array formula is an object with its text
        return formula[1:] if formula[:2] in ("=-", "=+") else formula

    def result(self, number: int, place: int) -> Any:
        if self.rows is None:
            from openpyxl import load_workbook

            self.stream.seek(self.start)
            again = load_workbook(self.stream, read_only=True, data_only=True)[self.sheet]
            again.reset_dimensions()
            self.rows = again.iter_rows(values_only=True)
        while self.at < number:
            self.row = next(self.rows, ())
            self.at += 1
        return self.row[place] if place < len(self.row) else None
