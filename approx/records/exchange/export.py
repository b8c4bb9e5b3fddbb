"""One child or all as a zip: plain CSV and JSON, a workbook to look at, and a page that says what each column holds.

The JSON and the CSV files each hold everything, and either can be taken in again (`import_`). Rows go from the caseload
into the zip one by one, so that the size of a caseload is no matter.
"""

from __future__ import annotations

import io
import json
import os
import zipfile
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import IO

from sqlalchemy import Connection

from approx.problems import Problem
from approx.records.database.refusals import answered, refusal
from approx.records.database.rows import Exported
from approx.records.database.schema import VERSION
from approx.records.database.store import Store
from approx.records.exchange.portable import FORMAT, TABLE_ORDER, PortableValue, plain_columns, plain_rows
from approx.records.tables.checks import today
from approx.records.tables.child_records import find_child
from approx.wording import fill_pattern, worded

JSON_NAME, BOOK_NAME, WORDS_NAME = "caseload.json", "caseload.xlsx", "README.txt"
MOST_IN_BOOK = 200_000
"""Rows after which the workbook is left out: a spreadsheet would not open it."""

_AT_ONCE = 1000
"""Rows that are written as JSON together."""

_HEAD = """What is in this zip

{json}  everything, for programs
*.csv          everything, a table each, for spreadsheets (UTF-8)
{book}  the same tables as a workbook, to look at

Either the CSV files or {json} can be taken into a caseload again; the CSV files are read if they are there.
In CSV an apostrophe before a text keeps a spreadsheet from making a formula or a date of it.
Children stand under codes. Keep the zip as you would keep a paper file.
"""


class Export(Store):
    """The way out."""

    @answered
    def export_child(self, code: str) -> Exported:
        """Everything in use of one child; what was deleted is not in it."""
        with self._reading() as connection:
            child = find_child(connection, code)
            out = io.BytesIO()
            remarks = _write(connection, out, child.id)
        return Exported(_name(child.code), out.getvalue(), remarks)

    @answered
    def export_all(self) -> Exported:
        """Everything in use of all children."""
        out = io.BytesIO()
        with self._reading() as connection:
            remarks = _write(connection, out, None)
        return Exported(_name("caseload"), out.getvalue(), remarks)

    @answered
    def export_file(self, target: Path) -> tuple[Problem, ...]:
        """Everything in use of all children, into a file that is whole or not there. Returns remarks.

        Refused if there is such a file already.
        """
        if target.exists():
            raise refusal("there", worded("there is a file '{name}' already", name=target.name), "choose another name")
        if not target.parent.is_dir():
            raise refusal(
                "folder",
                worded("there is no folder '{name}'", name=target.parent.name),
                "make it, or choose another place",
            )
        part = target.with_name(target.name + ".part")
        try:
            with open(os.open(part, os.O_CREAT | os.O_TRUNC | os.O_RDWR, 0o600), "w+b") as out:
                with self._reading() as connection:
                    remarks = _write(connection, out, None)
                out.flush()
                os.fsync(out.fileno())
            os.replace(part, target)
        finally:
            part.unlink(missing_ok=True)
        return remarks


def _name(what: str) -> str:
    return f"approx-{what}-{today()}.zip"


def _write(connection: Connection, out: IO[bytes], child_id: int | None) -> tuple[Problem, ...]:
    from approx.samples.files.write import write_csv

    sizes: dict[str, int] = {}
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(WORDS_NAME, data_dictionary())
        for table in TABLE_ORDER:
            rows = _Counted(plain_rows(connection, table, child_id))
            with archive.open(f"{table}.csv", "w", force_zip64=True) as sheet:
                write_csv(sheet, _header(table), rows)
            sizes[table] = rows.count
        with archive.open(JSON_NAME, "w", force_zip64=True) as whole:
            for piece in _as_json(connection, child_id):
                whole.write(piece.encode())
        if sum(sizes.values()) > MOST_IN_BOOK:
            message = "too many rows for a workbook; it is left out"
            return (Problem("records.book", message, "the CSV files hold everything", fatal=False),)
        return _write_book(archive, connection, child_id)


def _write_book(archive: zipfile.ZipFile, connection: Connection, child_id: int | None) -> tuple[Problem, ...]:
    from approx.samples.files.write import write_xlsx

    book = io.BytesIO()
    found = write_xlsx(
        book, {table: (_header(table), _book_rows(connection, table, child_id)) for table in TABLE_ORDER}
    )
    if book.getvalue():
        archive.writestr(BOOK_NAME, book.getvalue())
    return tuple(_remark(problem) for problem in found)


def _book_rows(connection: Connection, table: str, child_id: int | None) -> Iterator[tuple[PortableValue, ...]]:
    """The rows of a table but for images, which no cell holds: the other files have them."""
    place = _header(table).index("image") if table == "pictures" else None
    for row in plain_rows(connection, table, child_id):
        yield row if place is None else (*row[:place], "", *row[place + 1 :])


class _Counted:
    """Rows as they pass, and how many they were."""

    def __init__(self, rows: Iterator[tuple[PortableValue, ...]]) -> None:
        self._rows, self.count = rows, 0

    def __iter__(self) -> Iterator[tuple[PortableValue, ...]]:
        for row in self._rows:
            self.count += 1
            yield row


def data_dictionary() -> str:
    """What each column of each table holds, as a text."""
    lines = [fill_pattern(_HEAD, json=JSON_NAME, book=BOOK_NAME)]
    for table in TABLE_ORDER:
        columns = plain_columns(table)
        width = max(len(column.name) for column in columns)
        lines += [f"\n{table}.csv", *(f"  {column.name:{width}}  {column.comment}" for column in columns)]
    return "\n".join(lines) + "\n"


def _as_json(connection: Connection, child_id: int | None) -> Iterator[str]:
    head = {"format": FORMAT, "schema": VERSION, "exported": today()}
    yield json.dumps(head, separators=(",", ":"))[:-1] + ',"tables":{'
    for number, table in enumerate(TABLE_ORDER):
        yield ("," if number else "") + f'"{table}":{{"columns":{json.dumps(_header(table))},"rows":['
        rows = plain_rows(connection, table, child_id)
        for first, some in enumerate(iter(lambda rows=rows: list(islice(rows, _AT_ONCE)), [])):  # type: ignore[misc]
            text = json.dumps(some, ensure_ascii=False, separators=(",", ":"))
            yield ("," if first else "") + text[1:-1]
        yield "]}"
    yield "}}"


def _header(table: str) -> tuple[str, ...]:
    return tuple(column.name for column in plain_columns(table))


def _remark(problem: Problem) -> Problem:
    """Nothing is lost where the workbook fails: the CSV files hold it."""
    return Problem(problem.code, problem.message, "the CSV files hold everything", line=problem.line, fatal=False)
