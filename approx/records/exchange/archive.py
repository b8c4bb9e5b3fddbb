"""A zip that somebody hands over, read in memory with suspicion: nothing is unpacked to the disk.

Refused: names with folders in them, names given twice, members with a password, content beyond `MOST_BYTES`, content
that was packed smaller than any record packs (a zip bomb).
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Mapping, Sequence
from typing import Any

from approx.problems import Problem
from approx.records.database.refusals import refusal
from approx.records.database.schema import VERSION
from approx.records.exchange.export import BOOK_NAME, JSON_NAME, WORDS_NAME
from approx.records.exchange.portable import FORMAT, TABLES, plain_columns
from approx.samples.files.guard import unguarded

MOST_BYTES, MOST_MEMBERS, SMALL, TIGHTEST = 200_000_000, 64, 1_000_000, 100
"""Bytes and members that are read; a member above SMALL bytes is refused if it shrank to a `TIGHTEST`th of its size."""

Tables = dict[str, tuple[list[str], list[list[Any]]]]
_AGAIN = "take the zip as it was exported"


def read_archive(data: bytes) -> tuple[Tables, tuple[Problem, ...]]:
    """The tables in a zip, values as the columns want them so far as they can be, and remarks. Raises `RefusalError`."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members, remarks = _members(archive)
            if JSON_NAME in members:
                return _from_json(_content(archive, members[JSON_NAME])), remarks
            sheets = {table: members[f"{table}.csv"] for table in TABLES if f"{table}.csv" in members}
            if "children" not in sheets:
                raise refusal("no_export", "there is no caseload in this zip", _AGAIN)
            return {name: _from_csv(name, _content(archive, member)) for name, member in sheets.items()}, remarks
    except (zipfile.BadZipFile, zipfile.LargeZipFile, EOFError, NotImplementedError, ValueError, RuntimeError) as error:
        hint = "it may have been cut off on the way; " + _AGAIN
        raise refusal("no_zip", "the file is no zip, or a damaged one", hint) from error


def _members(archive: zipfile.ZipFile) -> tuple[Mapping[str, zipfile.ZipInfo], tuple[Problem, ...]]:
    found: dict[str, zipfile.ZipInfo] = {}
    remarks = []
    if len(archive.infolist()) > MOST_MEMBERS:
        raise refusal("zip", f"more than {MOST_MEMBERS} files in the zip", _AGAIN)
    for member in archive.infolist():
        name = member.filename
        # the name as it is written, for the library cuts it at a zero and turns the slashes
        written = member.orig_filename
        if any(sign in written for sign in "/\\:\x00") or ".." in written or name in found:
            raise refusal("zip", "a file in the zip has a name with a folder in it, or a name given twice", _AGAIN)
        if member.flag_bits & 0x1:
            raise refusal("zip", "the zip has a password", "unpack it and pack it again without")
        found[name] = member
        if name not in (JSON_NAME, BOOK_NAME, WORDS_NAME) and name.removesuffix(".csv") not in TABLES:
            message = f"'{name[:60]}' in the zip is not read"
            remarks.append(Problem("records.not_read", message, "it is no part of an export", fatal=False))
    return found, tuple(remarks)


def _content(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> str:
    size = member.file_size
    if size > MOST_BYTES or size > SMALL and size > TIGHTEST * member.compress_size:
        raise refusal("bomb", "the zip unfolds to more than a caseload can be", "it is not read")
    with archive.open(member) as stream:
        content = stream.read(size + 1)  # what it says of its size is not trusted
    if len(content) != size:
        raise refusal("bomb", "the zip unfolds to more than it says", "it is not read")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refusal("encoding", f"{member.filename} is not UTF-8 text", "save it as CSV UTF-8") from None


def _from_json(text: str) -> Tables:
    try:
        head = json.loads(text)
    except (ValueError, RecursionError):
        head = None
    if not isinstance(head, dict) or head.get("format") != FORMAT or not isinstance(head.get("tables"), dict):
        raise refusal("no_export", f"{JSON_NAME} is not an export of a caseload", _AGAIN)
    version = head.get("schema")
    if not isinstance(version, int) or version > VERSION:
        raise refusal("newer", "the export is from a newer approx", "install a newer approx")
    tables: Tables = {}
    for name, content in head["tables"].items():
        if name not in TABLES:
            raise refusal("no_export", f"there is no table '{str(name)[:40]}' in a caseload", _AGAIN, str(name)[:40])
        header, rows = (content.get("columns"), content.get("rows")) if isinstance(content, dict) else (None, None)
        if not (isinstance(header, list) and isinstance(rows, list)) or not _plain(header, rows):
            raise refusal("no_export", f"the table '{name}' has no columns and rows", _AGAIN, name)
        tables[name] = (header, rows)
    return tables


def _plain(header: list[Any], rows: list[Any]) -> bool:
    return all(isinstance(heading, str) for heading in header) and all(isinstance(row, list) for row in rows)


def _from_csv(name: str, text: str) -> tuple[list[str], list[list[Any]]]:
    """Rows of a sheet; in columns of numbers, numbers where they are such, and None where there is nothing."""
    try:
        rows = [row for row in csv.reader(io.StringIO(text, newline=""), strict=True) if row]
    except csv.Error:
        raise refusal("no_export", f"{name}.csv is not a table", _AGAIN, name) from None
    header = rows[0] if rows else []
    numbers = {column.name for column in plain_columns(name) if column.number}
    places = [place for place, heading in enumerate(header) if heading in numbers]
    out: list[list[Any]] = []
    for row in rows[1:]:
        cells: list[Any] = [unguarded(cell) for cell in row]
        for place in places:
            if place < len(cells):
                cells[place] = _number(cells[place])
        out.append(cells)
    return header, out


def _number(text: str) -> Any:
    digits = text.removeprefix("-")
    return int(text) if digits.isascii() and digits.isdigit() and len(digits) < 16 else text or None


def named(header: Sequence[str], row: Sequence[Any]) -> dict[str, Any]:
    """A row by its headings."""
    return dict(zip(header, row))
