"""A zip that somebody hands over, read with suspicion and a row at a time: nothing is unpacked to the disk.

Refused: names with folders in them, names given twice, members with a password, content beyond the bounds below,
content that was packed smaller than any record packs (a zip bomb).
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, cast

from approx.problems import Problem
from approx.records.database.refusals import RefusalError, refusal
from approx.records.database.schema import VERSION
from approx.records.exchange.export import BOOK_NAME, JSON_NAME, WORDS_NAME
from approx.records.exchange.portable import FORMAT, TABLE_ORDER, PlainColumn
from approx.samples.files.write import unguarded
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from _typeshed import WriteableBuffer

MOST_BYTES, MOST_JSON, MOST_MEMBERS, SMALL, TIGHTEST = 2_000_000_000, 60_000_000, 64, 1_000_000, 100
"""Bytes of all tables together; bytes of a JSON file, which is held in memory; members; a member above SMALL bytes is
refused if it shrank to a `TIGHTEST`th of its size."""

_AGAIN = "take the zip as it was exported"
_DAMAGED = (
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    EOFError,
    NotImplementedError,
    ValueError,
    RuntimeError,
    zlib.error,
)

ArchiveRow = list[Any]
Reads = Callable[[Any], Any]

MOST_REMEMBERED, LONGEST_REMEMBERED = 20_000, 100
"""Texts of one column that are remembered, and how long they may be."""


class Archive:
    """The tables of an export. `remarks`: what is in the zip and not read."""

    def __init__(self, zipped: zipfile.ZipFile) -> None:
        self._zip = zipped
        self._members, self.remarks = _members(zipped)
        self._json: dict[str, tuple[list[str], list[ArchiveRow]]] | None = None
        if "children.csv" not in self._members:
            if JSON_NAME not in self._members:
                raise refusal("no_export", "there is no caseload in this zip", _AGAIN)
            self._json = self._from_json()

    @contextmanager
    def table(self, name: str) -> Iterator[tuple[list[str], Iterator[ArchiveRow]]]:
        """Heading and rows of a table as they are written; `reads` makes values of them. Raises `RefusalError`."""
        if self._json is not None:
            header, rows = self._json.get(name, ([], []))
            yield header, iter(rows)
            return
        member = self._members.get(f"{name}.csv")
        if member is None:
            yield [], iter(())
            return
        with (
            self._zip.open(member) as packed,
            io.BufferedReader(cast(io.FileIO, _Bounded(packed, member)), 1 << 16) as unfolding,
            io.TextIOWrapper(unfolding, "utf-8-sig", newline="") as text,
        ):
            lines = _csv_rows(name, text)
            yield next(lines, []), lines

    def reads(self, column: PlainColumn, rule: Reads) -> Reads:
        """How a cell of a column becomes the value to store: `rule` over what the cell holds, ValueError if it is wrong."""
        if self._json is not None:
            return rule
        plain = _number if column.number else _text
        return _Remembered(lambda cell: rule(plain(cell))).__getitem__

    def _from_json(self) -> dict[str, tuple[list[str], list[ArchiveRow]]]:
        member = self._members[JSON_NAME]
        if member.file_size > MOST_JSON:
            raise refusal(
                "bomb",
                worded("{json_name} alone is too large to be read", json_name=JSON_NAME),
                "put the CSV files beside it",
            )
        with self._zip.open(member) as packed:
            content = _Bounded(packed, member).read()
        try:
            return _tables(json.loads(content.decode("utf-8-sig")))
        except UnicodeDecodeError:
            raise refusal("encoding", worded("{json_name} is not UTF-8 text", json_name=JSON_NAME), _AGAIN) from None
        except (ValueError, RecursionError):
            raise refusal(
                "no_export", worded("{json_name} is not an export of a caseload", json_name=JSON_NAME), _AGAIN
            ) from None


@contextmanager
def opened_archive(source: Path | bytes | IO[bytes]) -> Iterator[Archive]:
    """The archive in a file or in bytes, for as long as it is read. Raises `RefusalError`, OSError."""
    if isinstance(source, Path) and not source.is_file():
        raise refusal("file", worded("there is no file '{name}'", name=source.name), "check its name and its folder")
    place = io.BytesIO(source) if isinstance(source, bytes) else source
    try:
        with zipfile.ZipFile(place) as zipped:
            yield Archive(zipped)
    except UnicodeDecodeError:
        raise refusal("encoding", "a file in the zip is not UTF-8 text", "save it as CSV UTF-8") from None
    except RefusalError:
        raise
    except _DAMAGED as error:
        hint = enumerated("; ", ("it may have been cut short on the way", _AGAIN))
        raise refusal("no_zip", "the file is not a zip, or it is damaged", hint) from error


class _Bounded(io.RawIOBase):
    """A member as it unfolds, cut off where there is more than it says of itself."""

    def __init__(self, packed: IO[bytes], member: zipfile.ZipInfo) -> None:
        self._packed, self._left = packed, member.file_size

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: WriteableBuffer) -> int:
        place = memoryview(buffer)
        data = self._packed.read(len(place))
        self._left -= len(data)
        if self._left < 0:
            raise refusal("bomb", "the zip is larger when unpacked than it states", "it is not read")
        place[: len(data)] = data
        return len(data)


def _members(archive: zipfile.ZipFile) -> tuple[Mapping[str, zipfile.ZipInfo], tuple[Problem, ...]]:
    found: dict[str, zipfile.ZipInfo] = {}
    remarks = []
    if len(archive.infolist()) > MOST_MEMBERS:
        raise refusal("zip", worded("more than {most_members} files in the zip", most_members=MOST_MEMBERS), _AGAIN)
    for member in archive.infolist():
        name = member.filename
        # the name as it is written, for the library cuts it at a zero and turns the slashes
        written = member.orig_filename
        if any(sign in written for sign in "/\\:\x00") or ".." in written or name in found:
            raise refusal("zip", "a file in the zip has a name with a folder in it, or a name given twice", _AGAIN)
        if member.flag_bits & 0x1:
            raise refusal("zip", "the zip has a password", "unpack it and zip it again without one")
        found[name] = member
        if name not in (JSON_NAME, BOOK_NAME, WORDS_NAME) and name.removesuffix(".csv") not in TABLE_ORDER:
            message = worded("'{name}' in the zip is not read", name=name[:60])
            remarks.append(Problem("records.not_read", message, "not part of an export", fatal=False))
    read = [member for name, member in found.items() if name == JSON_NAME or name.removesuffix(".csv") in TABLE_ORDER]
    too_tight = any(each.file_size > SMALL and each.file_size > TIGHTEST * each.compress_size for each in read)
    if too_tight or sum(each.file_size for each in read) > MOST_BYTES:
        raise refusal("bomb", "the zip is too large when unpacked", "it is not read")
    return found, tuple(remarks)


def _tables(head: object) -> dict[str, tuple[list[str], list[ArchiveRow]]]:
    if not isinstance(head, dict) or head.get("format") != FORMAT or not isinstance(head.get("tables"), dict):
        raise refusal("no_export", worded("{json_name} is not an export of a caseload", json_name=JSON_NAME), _AGAIN)
    version = head.get("schema")
    if not isinstance(version, int) or version > VERSION:
        raise refusal("newer", "the export is from a newer approx", "install a newer approx")
    tables: dict[str, tuple[list[str], list[ArchiveRow]]] = {}
    for name, content in head["tables"].items():
        if name not in TABLE_ORDER:
            raise refusal(
                "no_export",
                worded("there is no table '{name}' in a caseload", name=str(name)[:40]),
                _AGAIN,
                str(name)[:40],
            )
        header, rows = (content.get("columns"), content.get("rows")) if isinstance(content, dict) else (None, None)
        if not (isinstance(header, list) and isinstance(rows, list)) or not _plain(header, rows):
            raise refusal("no_export", worded("the table '{name}' has no columns and rows", name=name), _AGAIN, name)
        tables[name] = (header, rows)
    return tables


def _plain(header: list[Any], rows: list[Any]) -> bool:
    return all(isinstance(heading, str) for heading in header) and all(isinstance(row, list) for row in rows)


def _csv_rows(name: str, text: IO[str]) -> Iterator[list[str]]:
    try:
        for row in csv.reader(text, strict=True):
            if row:
                yield row
    except csv.Error:
        raise refusal("no_export", worded("{name}.csv is not a table", name=name), _AGAIN, name) from None


class _Remembered(dict[str, object]):
    """What a rule makes of a text. Most texts of a caseload come again and again, and are looked at once."""

    def __init__(self, rule: Reads) -> None:
        self._rule = rule

    def __missing__(self, cell: str) -> object:
        value = self._rule(cell)
        if len(cell) < LONGEST_REMEMBERED and len(self) < MOST_REMEMBERED:
            self[cell] = value
        return value


def _text(cell: str) -> str:
    """A text without its guard."""
    return unguarded(cell) if cell[:1] == "'" else cell


def _number(cell: str) -> int | str | None:
    """A number where it is one, None where there is nothing, else the text."""
    text = _text(cell)
    digits = text.removeprefix("-")
    return int(text) if digits.isascii() and digits.isdigit() and len(digits) < 16 else text or None
