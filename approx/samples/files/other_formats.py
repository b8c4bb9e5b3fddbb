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
import zipfile
import zlib
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from tempfile import NamedTemporaryFile, SpooledTemporaryFile
from typing import IO, NamedTuple

from approx.problems import Problem
from approx.samples.files.workbook import TIGHTEST, cell_text, too_large
from approx.samples.files.workbook_xml import MOST_CELLS, walk
from approx.wording import worded

GZIP, PARQUET = b"\x1f\x8b", b"PAR1"
MOST_LINES, MOST_KEYS, MOST_BAD = 400_000, 2_000, 20_000
"""Of JSON Lines, which are held in memory: objects, different keys, problems."""
UNPACKED = 1 << 30
"""Bytes that a packed file may unpack to; more is refused before it is read."""
_IN_MEMORY, _SMALL = 1 << 24, 50_000_000
_CHUNK = 1 << 20
_PRODUCTION = ("produced_ipa", "produced", "production")
_AGAIN = "export it again as CSV UTF-8"

TextRows = Iterator[list[str]]


class TierInterval(NamedTuple):
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
                if size > _SMALL and size > TIGHTEST * stream.tell():
                    message = worded("the packed file unpacks to more than {most} times its size", most=TIGHTEST)
                    return None, [_problem(file, message, "unpack it first, and look at what it is")]
                if size > UNPACKED:
                    return None, [_problem(file, "the packed file unpacks to more than 1 GB", "split it")]
                kept.write(chunk)
    except (OSError, EOFError, zlib.error):
        return None, [_problem(file, "the packed file is damaged", "pack it again")]
    kept.seek(0)
    return kept, []


_IN_A_SHEET = "copy the table into a sheet and save it as CSV UTF-8"
_FOREIGN = (
    (re.compile(r"\{\\rtf"), "formatted text (RTF)", _IN_A_SHEET),
    (re.compile(r"%PDF-"), "a printed page (PDF)", _IN_A_SHEET),
    (re.compile(r"<(?:!doctype html|html|head|body|table)\b", re.IGNORECASE), "a web page (HTML)", _IN_A_SHEET),
    (re.compile(r"\[\s*[{\[]"), "one JSON list", "write one JSON object per line, without the brackets around them"),
    (re.compile(r"SQLite format 3\0"), "a database, perhaps a caseload", "choose the sheet with the sample"),
)


def foreign(head: bytes) -> tuple[str, str] | None:
    """What a file is that is no table of ours, and the way out; by how it begins. None for others."""
    text = head.decode("utf-16" if head[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig", "ignore").lstrip()
    found = next(((what, hint) for pattern, what, hint in _FOREIGN if pattern.match(text)), None)
    return (worded("the file is {what}, not a table", what=found[0]), found[1]) if found else None


def reader_for(head: bytes) -> Callable[[IO[bytes], str], tuple[TextRows, list[Problem]]] | None:
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


def read_json_lines(stream: IO[bytes], file: str) -> tuple[TextRows, list[Problem]]:
    """One JSON object a line; the heading holds every key in order of first sight. A line that is none is a problem."""
    objects: list[dict[str, object]] = []
    problems: list[Problem] = []
    keys: dict[str, None] = {}
    for number, line in enumerate(stream, 1):
        if not line.strip():
            continue
        if (
            max(len(objects), len(keys) * (MOST_LINES // MOST_KEYS), len(problems) * (MOST_LINES // MOST_BAD))
            > MOST_LINES
        ):
            message = worded("more than a sample holds; the lines from {line} on are not read", line=number)
            problems.append(Problem("sample.bound", message, "is it a sample? if it is, split the file", file, number))
            break
        try:
            found = json.loads(line)
        except (ValueError, RecursionError):
            found = None
        if isinstance(found, dict):
            objects.append({key: _value(value) for key, value in found.items()})
            keys.update(dict.fromkeys(found))
            inner = next((key for key, value in found.items() if isinstance(value, (list, dict))), None)
            if inner is not None:
                message = worded("'{key}' has a list or an object", key=inner)
                problems.append(Problem("sample.row", message, "write one value per key", file, number, symbol=inner))
        else:
            hint = "each line is one JSON object with the columns as keys"
            problems.append(Problem("sample.row", "a line that is not a JSON object", hint, file, number))
    header = list(keys)
    return _table(header, ([cell_text(entry.get(key)) for key in header] for entry in objects)), problems


def _value(value: object) -> object:
    """A value of JSON as a cell; a list or an object as it is written."""
    return json.dumps(value, ensure_ascii=False) if isinstance(value, (list, dict)) else value


def read_parquet(stream: IO[bytes], file: str) -> tuple[TextRows, list[Problem]]:
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


def read_ods(stream: IO[bytes], file: str) -> tuple[TextRows, list[Problem]]:
    """The first sheet with something in it; further ones are named in a remark."""
    start = stream.tell()
    try:
        if too_much := too_large(stream, file) or _too_many_cells(stream, file):
            return iter(()), [too_much]
        stream.seek(start)
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


def _too_many_cells(stream: IO[bytes], file: str) -> Problem | None:
    """Why a sheet is not unfolded: its rows and cells stand for more, by repetition, than a sample can hold."""
    rows = width = at = times = gap = most = others = 0
    full = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal at, full, times, rows, width, gap, most, others
        local = {key.rpartition(":")[2]: value for key, value in attributes.items()}
        if name == "table":
            others, rows, width, gap, most = others + most, 0, 0, 0, 0
        elif name == "table-row":
            at, full, times = 0, False, int(local.get("number-rows-repeated", 1))
        elif name in ("table-cell", "covered-table-cell"):
            at += int(local.get("number-columns-repeated", 1))
            if "value-type" in local:
                full, width = True, max(width, at)
        elif name == "p":
            full, width = True, max(width, at)

    def end(name: str) -> None:
        nonlocal rows, gap, most
        if name == "table-row":
            gap += times
            if full:
                rows, gap = rows + gap, 0
                most = max(most, rows * width)

    with zipfile.ZipFile(stream) as packed, packed.open("content.xml") as part:
        for _ in walk(part, start, end, lambda text: None):
            if others + most > MOST_CELLS:
                break
    if others + most <= MOST_CELLS:
        return None
    message = worded("more than {most} cells in the sheet", most=f"{MOST_CELLS:,}")
    return Problem("sample.bound", message, _IN_A_SHEET, file)


def read_textgrid(stream: IO[bytes], file: str) -> tuple[TextRows, list[Problem]]:
    """Tiers of a Praat TextGrid, long or short form, read by praatio."""
    from praatio import textgrid

    def tiers(path: str) -> dict[str, list[TierInterval]]:
        grid = textgrid.openTextgrid(path, includeEmptyIntervals=False, duplicateNamesMode="rename")
        found: dict[str, list[TierInterval]] = {}
        for tier in grid.tiers:
            # a point tier has a time and a label
            found[tier.name] = [
                TierInterval(entry[0], entry[-2], entry[-1]) for entry in tier.entries if str(entry[-1]).strip()
            ]
        return found

    return _from_tiers(stream, file, ".TextGrid", tiers)


def read_eaf(stream: IO[bytes], file: str) -> tuple[TextRows, list[Problem]]:
    """Tiers of an ELAN annotation file, those that refer to another tier included, read by pympi."""
    from pympi.Elan import Eaf

    def tiers(path: str) -> dict[str, list[TierInterval]]:
        document = Eaf(path)
        return {
            name: [
                TierInterval(entry[0] / 1000, entry[1] / 1000, entry[2])
                for entry in document.get_annotation_data_for_tier(name)
            ]
            for name in document.get_tier_names()
        }

    return _from_tiers(stream, file, ".eaf", tiers)


def rows_of_tiers(tiers: dict[str, list[TierInterval]]) -> list[list[str]]:
    """Rows with their heading: one an interval of the leading tier, labels of the others by the most shared time."""
    if not tiers:
        return []
    lead = next((name for name in tiers if name.strip().lower() in _PRODUCTION), next(iter(tiers)))
    others = {name: sorted(tier) for name, tier in tiers.items() if name != lead}
    starts = {name: [each.start for each in tier] for name, tier in others.items()}
    rows = [["start", "end", lead, *others]]
    for one in sorted(tiers[lead]):
        labels = [_label_at(tier, starts[name], one) for name, tier in others.items()]
        rows.append([f"{one.start:.3f}", f"{one.end:.3f}", one.label.strip(), *labels])
    return rows


def _label_at(tier: Sequence[TierInterval], starts: Sequence[float], one: TierInterval) -> str:
    """The label of a tier, in order of time, that shares most time with an interval; "" where none does."""

    def shared(other: TierInterval) -> float:
        return min(one.end, other.end) - max(one.start, other.start)

    last = first = bisect_right(starts, one.end)
    while first and tier[first - 1].end >= one.start:  # those of one tier do not overlap
        first -= 1
    best = max(tier[first:last], key=shared, default=None)
    # a point has no length: it belongs where it falls
    return (
        best.label.strip()
        if best is not None and (shared(best) > 0 or best.start == best.end and shared(best) >= 0)
        else ""
    )


def _from_tiers(
    stream: IO[bytes], file: str, ending: str, tiers: Callable[[str], dict[str, list[TierInterval]]]
) -> tuple[TextRows, list[Problem]]:
    with NamedTemporaryFile(suffix=ending, delete=False) as copy:
        while chunk := stream.read(_CHUNK):
            copy.write(chunk)
    try:
        return iter(rows_of_tiers(tiers(copy.name))), []
    except Exception as error:  # as above
        return iter(()), [_broken(file, error)]
    finally:
        Path(copy.name).unlink(missing_ok=True)


def _table(header: list[str], rows: Iterator[list[str]]) -> TextRows:
    yield header
    yield from rows


def _guarded(rows: TextRows, file: str, problems: list[Problem]) -> TextRows:
    try:
        yield from rows
    except Exception as error:  # as above
        problems.append(_broken(file, error))


def _broken(file: str, error: Exception) -> Problem:
    return _problem(file, worded("the file cannot be read ({name})", name=type(error).__name__), _AGAIN)


def _problem(file: str, message: str, hint: str) -> Problem:
    return Problem("sample.file", message, hint, file)
