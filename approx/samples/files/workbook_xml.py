"""The parts of a workbook as they come out of its zip, piece by piece: never whole in memory, and never beyond a bound.

A spreadsheet's own reader builds each row before it hands it on, and drops rows that stand out of order; a file of ten
megabytes can hold a row of five million cells.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import IO
from xml.parsers.expat import ParserCreate

from approx.wording import worded

MOST_TAGS, MOST_CELLS, LONGEST_PART, DEEPEST = 8_000_000, 1_600_000, 4_000_000, 100
"""Of one part: elements, cells, bytes of one text or one tag, elements within each other."""
MOST_GAP = 1_048_576
"""Rows of a sheet; a row cannot stand below."""
_CHUNK = 1 << 16
_COLUMN = re.compile("[A-Z]{1,3}")
_PLACES = {letter: number for number, letter in enumerate("ABCDEFGHIJKLMNOPQRSTUVWXYZ", 1)}

Attributes = dict[str, str]


class TooMuchError(ValueError):
    """A part that is larger than any sample; what it is too much of."""


class OutOfOrderError(ValueError):
    """A row that stands below one with a higher number; its number."""


@dataclass(slots=True)
class RawCell:
    """A cell as the file has it: `kind` is its type (`s` an index of the shared texts), `style` the index of its format."""

    kind: str = "n"
    style: int = 0
    value: str = ""
    formula: str | None = None


SheetRow = list[RawCell | None]


def walk(
    part: IO[bytes],
    start: Callable[[str, Attributes], None],
    end: Callable[[str], None],
    text: Callable[[str], None],
) -> Iterator[None]:
    """Go through a part and yield after each piece of it. Names are local ones. Raises `TooMuchError` and `ExpatError`."""
    parser = ParserCreate()
    parser.buffer_text = True
    depth = tags = 0
    local: dict[str, str] = {}

    def begun(name: str, attributes: Attributes) -> None:
        nonlocal depth, tags
        depth, tags = depth + 1, tags + 1
        if depth > DEEPEST or tags > MOST_TAGS:
            too_many = worded("more than {most} elements in the sheet", most=f"{MOST_TAGS:,}")
            raise TooMuchError(too_many if tags > MOST_TAGS else "elements within elements in the sheet")
        known = local.get(name)
        if known is None:
            known = name.rpartition(":")[2]
            if len(local) < 1000:
                local[name] = known
        start(known, attributes)

    def ended(name: str) -> None:
        nonlocal depth
        depth -= 1
        end(local.get(name) or name.rpartition(":")[2])

    def refused(*_: object) -> None:
        raise ValueError("a document type, which no workbook has")

    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = begun, ended, text
    parser.StartDoctypeDeclHandler = refused
    fed = 0
    while chunk := part.read(_CHUNK):
        parser.Parse(chunk, False)
        fed += len(chunk)
        if fed - max(parser.CurrentByteIndex, 0) > LONGEST_PART:
            raise TooMuchError(worded("more than {most} bytes in one piece of the sheet", most=f"{LONGEST_PART:,}"))
        yield
    parser.Parse(b"", True)
    yield


class _Texts:
    """What stands in `t` elements of a text, joined; how it is to be spoken (`rPh`) is no part of it."""

    def __init__(self) -> None:
        self.parts: list[str] | None = None
        self.spoken = 0
        self.size = 0

    def add(self, data: str) -> None:
        if self.parts is not None:
            self.size += len(data)
            if self.size > LONGEST_PART:
                raise TooMuchError(worded("more than {most} letters in one cell", most=f"{LONGEST_PART:,}"))
            self.parts.append(data)


def shared_texts(part: IO[bytes]) -> list[str]:
    """The shared texts of a workbook, in their order."""
    found: list[str] = []
    texts = _Texts()
    pieces: list[str] = []

    def start(name: str, attributes: Attributes) -> None:
        if name == "t" and not texts.spoken:
            texts.parts = pieces
        elif name == "si":
            pieces.clear()
            texts.size = 0
        elif name == "rPh":
            texts.spoken += 1

    def end(name: str) -> None:
        if name == "t":
            texts.parts = None
        elif name == "si":
            found.append("".join(pieces))
        elif name == "rPh":
            texts.spoken -= 1

    for _ in walk(part, start, end, texts.add):
        pass
    return found


class _SheetRows:
    """Handlers that gather the rows of a sheet; `ready` holds those that are whole."""

    def __init__(self) -> None:
        self.ready: list[SheetRow] = []
        self.row: SheetRow | None = None
        self.cell: RawCell | None = None
        self.number = self.cells = 0
        self.texts = _Texts()
        self.shared: dict[str, str] = {}
        self.formula_of = ""

    def start(self, name: str, attributes: Attributes) -> None:
        if name == "c" and self.row is not None:
            self._cell(self.row, attributes)
        elif name == "row":
            self._row(attributes)
        elif self.cell is not None:
            if name in ("v", "t", "f") and not self.texts.spoken:
                self.texts.parts, self.texts.size = [], 0
                self.formula_of = attributes.get("si", "") if name == "f" else ""
            elif name == "rPh":
                self.texts.spoken += 1

    def end(self, name: str) -> None:
        cell, parts = self.cell, self.texts.parts
        if cell is not None and parts is not None and name in ("v", "t", "f"):
            text = "".join(parts)
            if name == "f":
                if text and self.formula_of:
                    self.shared.setdefault(self.formula_of, text)
                cell.formula = text or self.shared.get(self.formula_of, "")
            else:
                cell.value += text
            self.texts.parts = None
        elif name == "rPh":
            self.texts.spoken -= 1
        elif name == "c":
            self.cell = None
        elif name == "row" and self.row is not None:
            self.ready.append(self.row)
            self.row = None

    def _row(self, attributes: Attributes) -> None:
        given = attributes.get("r")
        number = int(float(given)) if given is not None else self.number + 1
        if number <= self.number:
            raise OutOfOrderError(str(number))
        if number > MOST_GAP:
            raise TooMuchError(worded("a row below row {most}", most=f"{MOST_GAP:,}"))
        self.ready.extend([[]] * (number - self.number - 1))
        self.number, self.row = number, []

    def _cell(self, row: SheetRow, attributes: Attributes) -> None:
        place = len(row) + 1
        if "r" in attributes:
            letters = _COLUMN.match(attributes["r"])
            if letters is None:
                raise ValueError(attributes["r"])
            place = 0
            for letter in letters[0]:
                place = 26 * place + _PLACES[letter]
        self.cells += 1 + max(0, place - 1 - len(row))  # cells that are not there are cells of the row, too
        if self.cells > MOST_CELLS:
            raise TooMuchError(worded("more than {most} cells in the sheet", most=f"{MOST_CELLS:,}"))
        while len(row) < place:
            row.append(None)
        self.cell = row[place - 1] = RawCell(attributes.get("t", "n"), int(attributes.get("s") or 0))


def sheet_rows(part: IO[bytes]) -> Iterator[SheetRow]:
    """The rows of a sheet from row 1 on, with empty ones for those that are not there.

    Raises `TooMuchError`, `OutOfOrderError`, `ExpatError`, `ValueError`: the rows before are given first.
    """
    found = _SheetRows()
    pieces = walk(part, found.start, found.end, found.texts.add)
    while True:
        error: Exception | None = None
        try:
            next(pieces)
        except StopIteration:
            return
        except Exception as caught:
            error = caught
        ready, found.ready = found.ready, []
        yield from ready
        if error is not None:
            raise error


@dataclass(frozen=True, slots=True)
class BookParts:
    """Where the sheets of a workbook are: name -> member of the zip, in their order. `texts`, `styles`: members or ""."""

    sheets: dict[str, str]
    texts: str
    styles: str
    since_1904: bool


def book_parts(packed: zipfile.ZipFile) -> BookParts:
    """The parts a workbook names; no sheets where it is none. Raises what `walk` raises."""
    main = _targets(packed, "", "_rels/.rels").get("officeDocument", [("", "xl/workbook.xml")])[0][1]
    folder = posixpath.dirname(main)
    kinds = _targets(packed, folder, f"{folder}/_rels/{posixpath.basename(main)}.rels")
    sheets_by_id = dict(kinds.get("worksheet", []))
    sheets: dict[str, str] = {}
    since_1904 = False

    def start(name: str, attributes: Attributes) -> None:
        nonlocal since_1904
        if name == "sheet":
            found = next((value for key, value in attributes.items() if key.rpartition(":")[2] == "id"), "")
            if found in sheets_by_id:
                sheets.setdefault(attributes.get("name", found), sheets_by_id[found])
        elif name == "workbookPr":
            since_1904 = attributes.get("date1904", "0") not in ("0", "false")

    if main in packed.namelist():
        _through(packed, main, start)
    texts, styles = (kinds.get(kind, [("", "")])[0][1] for kind in ("sharedStrings", "styles"))
    return BookParts(sheets, texts, styles, since_1904)


@dataclass(slots=True)
class _Formats:
    codes: dict[int, str] = field(default_factory=dict)
    used: list[int] = field(default_factory=list)
    inside: bool = False


def number_formats(packed: zipfile.ZipFile, styles: str) -> tuple[list[int], dict[int, str]]:
    """For each style of cells the number of its format, and the formats that the workbook itself writes out."""
    found = _Formats()

    def start(name: str, attributes: Attributes) -> None:
        if name == "xf" and found.inside:
            found.used.append(int(attributes.get("numFmtId") or 0))
        elif name == "cellXfs":
            found.inside = True
        elif name == "cellStyles":
            found.inside = False
        elif name == "numFmt":
            found.codes[int(attributes.get("numFmtId") or 0)] = attributes.get("formatCode", "")

    if styles in packed.namelist():
        _through(packed, styles, start)
    return found.used, found.codes


def _targets(packed: zipfile.ZipFile, folder: str, member: str) -> dict[str, list[tuple[str, str]]]:
    """What a part refers to: kind -> ids and members of the zip."""
    kinds: dict[str, list[tuple[str, str]]] = {}

    def start(name: str, attributes: Attributes) -> None:
        if name == "Relationship" and attributes.get("TargetMode") != "External":
            target = attributes.get("Target", "")
            target = (
                target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            )
            kinds.setdefault(attributes.get("Type", "").rpartition("/")[2], []).append(
                (attributes.get("Id", ""), target)
            )

    if member.lstrip("/") in packed.namelist():
        _through(packed, member.lstrip("/"), start)
    return kinds


def _through(packed: zipfile.ZipFile, member: str, start: Callable[[str, Attributes], None]) -> None:
    with packed.open(member) as part:
        for _ in walk(part, start, lambda name: None, lambda text: None):
            pass
