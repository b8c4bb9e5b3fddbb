"""Formats that are no sheet, as rows of text: JSON Lines, Parquet, OpenDocument sheets, TextGrid and EAF annotations.

A file is known by how it begins, never by its name. Each reader gives rows with the heading first; what a foreign
parser makes of a broken file is one problem with a way out. Packed files (gz) are unpacked before they are looked at.

Annotations in time have a tier for each column (`target_word`, `target_ipa`, `produced_ipa`, ...: the same headings as a
sheet). A row is an interval of the first tier named as a production, or of the first tier; from every other tier it takes
the label that shares most time with it. `start` and `end` are seconds.
"""

from __future__ import annotations

import gzip
import json
import re
import zlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from tempfile import NamedTemporaryFile, SpooledTemporaryFile
from typing import IO, NamedTuple

from approx.problems import Problem
from approx.samples.files.workbook import cell_text
from approx.wording import worded

GZIP, PARQUET = b"\x1f\x8b", b"PAR1"
UNPACKED = 1 << 30
"""Bytes that a packed file may unpack to; more is refused before it is read."""
_IN_MEMORY = 1 << 24
_CHUNK = 1 << 20
_PRODUCTION = ("produced_ipa", "produced", "production")
_AGAIN = "export it again as CSV UTF-8"

Rows = Iterator[list[str]]


class Interval(NamedTuple):
    """One label of a tier, from `start` to `end` in seconds."""

    start: float
    end: float
    label: str


def unpacked(stream: IO[bytes], file: str) -> tuple[IO[bytes] | None, list[Problem]]:
    """The content of a gz file, on disk if it is long; None with a problem where it is broken or too long."""
    kept: IO[bytes] = SpooledTemporaryFile(max_size=_IN_MEMORY)  # noqa: SIM115 - it lives as long as the table
    size = 0
    try:
        with gzip.GzipFile(fileobj=stream) as packed:
            while chunk := packed.read(_CHUNK):
                size += len(chunk)
                if size > UNPACKED:
                    return None, [_problem(file, "the packed file unpacks to more than 1 GB", "split it")]
                kept.write(chunk)
    except (OSError, EOFError, zlib.error):
        return None, [_problem(file, "the packed file is broken", "pack it again")]
    kept.seek(0)
    return kept, []


_IN_A_SHEET = "copy the table into a sheet and save it as CSV UTF-8"
_FOREIGN = (
    (re.compile(r"\{\\rtf"), "formatted text (RTF)", _IN_A_SHEET),
    (re.compile(r"%PDF-"), "a printed page (PDF)", _IN_A_SHEET),
    (re.compile(r"<(?:!doctype html|html|head|body|table)\b", re.IGNORECASE), "a page of the web (HTML)", _IN_A_SHEET),
    (re.compile(r"\[\s*[{\[]"), "one JSON list", "write one JSON object a line, without the brackets around them"),
    (re.compile(r"SQLite format 3\0"), "a database, perhaps a caseload", "choose the sheet with the sample"),
)


def foreign(head: bytes) -> tuple[str, str] | None:
    """What a file is that is no table of ours, and the way out; by how it begins. None for others."""
    text = head.decode("utf-16" if head[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig", "ignore").lstrip()
    found = next(((what, hint) for pattern, what, hint in _FOREIGN if pattern.match(text)), None)
    return (worded("the file is {what}, not a table", what=found[0]), found[1]) if found else None


def reader_for(head: bytes) -> Callable[[IO[bytes], str], tuple[Rows, list[Problem]]] | None:
    """The reader of a format of this module by the first bytes of a file (some hundred are enough), or None."""
    if head.startswith(PARQUET):
        return read_parquet
    if head.startswith(b"PK\x03\x04") and b"opendocument.spreadsheet" in head:
        return read_ods
    text = head.decode("utf-16" if head[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig", "ignore").lstrip()
    if text.startswith("{"):
        return read_json_lines
    if text.startswith('File type = "ooTextFile"') and "TextGrid" in text:
        return read_textgrid
    if text.startswith("<") and "<ANNOTATION_DOCUMENT" in text:
        return read_eaf
    return None


def read_json_lines(stream: IO[bytes], file: str) -> tuple[Rows, list[Problem]]:
    """One JSON object a line; the heading holds every key in order of first sight. A line that is none is a problem."""
    objects: list[dict[str, object]] = []
    problems: list[Problem] = []
    for number, line in enumerate(stream, 1):
        if not line.strip():
            continue
        try:
            found = json.loads(line)
        except (ValueError, RecursionError):
            found = None
        if isinstance(found, dict):
            objects.append({key: _value(value) for key, value in found.items()})
            inner = next((key for key, value in found.items() if isinstance(value, (list, dict))), None)
            if inner is not None:
                message = worded("'{key}' holds a list or an object", key=inner)
                problems.append(Problem("sample.row", message, "write one value a key", file, number, symbol=inner))
        else:
            hint = "each line is one JSON object with the columns as keys"
            problems.append(Problem("sample.row", "a line that is no JSON object", hint, file, number))
    header = list(dict.fromkeys(key for entry in objects for key in entry))
    return _table(header, ([cell_text(entry.get(key)) for key in header] for entry in objects)), problems


def _value(value: object) -> object:
    """A value of JSON as a cell; a list or an object as it is written."""
    return json.dumps(value, ensure_ascii=False) if isinstance(value, (list, dict)) else value


def read_parquet(stream: IO[bytes], file: str) -> tuple[Rows, list[Problem]]:
    """The columns of a Parquet file, some rows at a time."""
    try:
        from pyarrow import parquet
    except ImportError:
        return iter(()), [
            _problem(file, "reading Parquet needs pyarrow", "pip install pyarrow, or save it as CSV UTF-8")
        ]
    problems: list[Problem] = []
    try:
        source = parquet.ParquetFile(stream)
        header = [str(name) for name in source.schema_arrow.names]
        batches = source.iter_batches(batch_size=4096)
        rows = (
            [cell_text(value) for value in row]
            for batch in batches
            for row in zip(*(column.to_pylist() for column in batch.columns), strict=True)
        )
        return _guarded(_table(header, rows), file, problems), problems
    except Exception as error:  # whatever a foreign parser makes of any bytes is one thing to the user
        return iter(()), [_broken(file, error)]


def read_ods(stream: IO[bytes], file: str) -> tuple[Rows, list[Problem]]:
    """The first sheet with something in it; further ones are named in a remark."""
    try:
        from python_calamine import CalamineWorkbook

        book = CalamineWorkbook.from_filelike(stream)
        sheets = [(name, book.get_sheet_by_name(name).to_python(skip_empty_area=False)) for name in book.sheet_names]
    except Exception as error:  # as above
        return iter(()), [_broken(file, error)]
    full = [(name, rows) for name, rows in sheets if any(any(cell != "" for cell in row) for row in rows)]
    if not full:
        return iter(()), []
    chosen, rows = full[0]
    problems = [
        Problem(
            "sample.sheet",
            worded("the sheet '{name}' is not read, only '{chosen}'", name=name, chosen=chosen),
            "move it to the front",
            file,
            fatal=False,
        )
        for name, _ in full[1:]
    ]
    return ([cell_text(value) for value in row] for row in rows), problems


def read_textgrid(stream: IO[bytes], file: str) -> tuple[Rows, list[Problem]]:
    """Tiers of a Praat TextGrid, long or short form, read by praatio."""
    from praatio import textgrid

    def tiers(path: str) -> dict[str, list[Interval]]:
        grid = textgrid.openTextgrid(path, includeEmptyIntervals=False, duplicateNamesMode="rename")
        found: dict[str, list[Interval]] = {}
        for tier in grid.tiers:
            # a point tier has a time and a label
            found[tier.name] = [
                Interval(entry[0], entry[-2], entry[-1]) for entry in tier.entries if str(entry[-1]).strip()
            ]
        return found

    return _from_tiers(stream, file, ".TextGrid", tiers)


def read_eaf(stream: IO[bytes], file: str) -> tuple[Rows, list[Problem]]:
    """Tiers of an ELAN annotation file, those that refer to another tier included, read by pympi."""
    from pympi.Elan import Eaf

    def tiers(path: str) -> dict[str, list[Interval]]:
        document = Eaf(path)
        return {
            name: [
                Interval(entry[0] / 1000, entry[1] / 1000, entry[2])
                for entry in document.get_annotation_data_for_tier(name)
            ]
            for name in document.get_tier_names()
        }

    return _from_tiers(stream, file, ".eaf", tiers)


def rows_of_tiers(tiers: dict[str, list[Interval]]) -> list[list[str]]:
    """Rows with their heading: one an interval of the leading tier, labels of the others by the most shared time."""
    if not tiers:
        return []
    lead = next((name for name in tiers if name.strip().lower() in _PRODUCTION), next(iter(tiers)))
    others = [name for name in tiers if name != lead]
    rows = [["start", "end", lead, *others]]
    for one in sorted(tiers[lead]):
        labels = [_label_at(tiers[name], one) for name in others]
        rows.append([f"{one.start:.3f}", f"{one.end:.3f}", one.label.strip(), *labels])
    return rows


def _label_at(tier: Sequence[Interval], one: Interval) -> str:
    def shared(other: Interval) -> float:
        return min(one.end, other.end) - max(one.start, other.start)

    best = max(tier, key=shared, default=None)
    # a point has no length: it belongs where it falls
    return (
        best.label.strip()
        if best is not None and (shared(best) > 0 or best.start == best.end and shared(best) >= 0)
        else ""
    )


def _from_tiers(
    stream: IO[bytes], file: str, ending: str, tiers: Callable[[str], dict[str, list[Interval]]]
) -> tuple[Rows, list[Problem]]:
    with NamedTemporaryFile(suffix=ending, delete=False) as copy:
        while chunk := stream.read(_CHUNK):
            copy.write(chunk)
    try:
        return iter(rows_of_tiers(tiers(copy.name))), []
    except Exception as error:  # as above
        return iter(()), [_broken(file, error)]
    finally:
        Path(copy.name).unlink(missing_ok=True)


def _table(header: list[str], rows: Iterator[list[str]]) -> Rows:
    yield header
    yield from rows


def _guarded(rows: Rows, file: str, problems: list[Problem]) -> Rows:
    try:
        yield from rows
    except Exception as error:  # as above
        problems.append(_broken(file, error))


def _broken(file: str, error: Exception) -> Problem:
    return _problem(file, worded("the file cannot be read ({name})", name=type(error).__name__), _AGAIN)


def _problem(file: str, message: str, hint: str) -> Problem:
    return Problem("sample.file", message, hint, file)
