"""One child or all as a zip: plain CSV and JSON, a workbook to look at, and a page that says what each column holds.

The JSON and the CSV files each hold everything, and either can be taken in again (`import_`).
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Mapping

from sqlalchemy import Connection

from approx.problems import Problem
from approx.records.database.refusals import answered
from approx.records.database.rows import Exported
from approx.records.database.schema import VERSION
from approx.records.database.store import Store
from approx.records.exchange.portable import FORMAT, TABLES, Cell, plain_columns, plain_rows
from approx.records.tables.checks import today
from approx.records.tables.child_records import find_child

JSON_NAME, BOOK_NAME, WORDS_NAME = "caseload.json", "caseload.xlsx", "README.txt"
MOST_IN_BOOK = 200_000
"""Rows after which the workbook is left out: a spreadsheet would not open it."""

_HEAD = """What is in this zip

{json}  everything, for programs
*.csv          everything, a table each, for spreadsheets (UTF-8)
{book}  the same tables as a workbook, to look at

Either {json} or the CSV files can be taken into a caseload again; {json} is read if it is there.
In CSV an apostrophe before a text keeps a spreadsheet from making a formula or a date of it.
Children stand under codes. Keep the zip as you would keep a paper file.
"""

Rows = list[tuple[Cell, ...]]


class Export(Store):
    """The way out."""

    @answered
    def export_child(self, code: str) -> Exported:
        """Everything in use of one child; what was deleted is not in it."""
        with self._reading() as connection:
            child = find_child(connection, code)
            return _exported(connection, child.code, child.id)

    @answered
    def export_all(self) -> Exported:
        """Everything in use of all children."""
        with self._reading() as connection:
            return _exported(connection, "caseload", None)


def _exported(connection: Connection, name: str, child_id: int | None) -> Exported:
    from approx.samples.files.write import write_csv, write_xlsx

    tables: dict[str, Rows] = {table: list(plain_rows(connection, table, child_id)) for table in TABLES}
    out = io.BytesIO()
    remarks: tuple[Problem, ...] = ()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(WORDS_NAME, data_dictionary())
        archive.writestr(JSON_NAME, _as_json(tables))
        for table, rows in tables.items():
            sheet = io.BytesIO()
            write_csv(sheet, _header(table), rows)
            archive.writestr(f"{table}.csv", sheet.getvalue())
        if sum(map(len, tables.values())) > MOST_IN_BOOK:
            message = "too many rows for a workbook; it is left out"
            remarks = (Problem("records.book", message, "the CSV files hold everything", fatal=False),)
        else:
            book = io.BytesIO()
            found = write_xlsx(book, {table: (_header(table), rows) for table, rows in tables.items()})
            remarks = tuple(_remark(problem) for problem in found)
            if book.getvalue():
                archive.writestr(BOOK_NAME, book.getvalue())
    return Exported(f"approx-{name}-{today()}.zip", out.getvalue(), remarks)


def data_dictionary() -> str:
    """What each column of each table holds, as a text."""
    lines = [_HEAD.format(json=JSON_NAME, book=BOOK_NAME)]
    for table in TABLES:
        columns = plain_columns(table)
        width = max(len(column.name) for column in columns)
        lines += [f"\n{table}.csv", *(f"  {column.name:{width}}  {column.comment}" for column in columns)]
    return "\n".join(lines) + "\n"


def _as_json(tables: Mapping[str, Rows]) -> str:
    content = {table: {"columns": list(_header(table)), "rows": rows} for table, rows in tables.items()}
    head = {"format": FORMAT, "schema": VERSION, "exported": today(), "tables": content}
    return json.dumps(head, ensure_ascii=False, separators=(",", ":"))


def _header(table: str) -> tuple[str, ...]:
    return tuple(column.name for column in plain_columns(table))


def _remark(problem: Problem) -> Problem:
    """Nothing is lost where the workbook fails: the CSV files hold it."""
    return Problem(problem.code, problem.message, "the CSV files hold everything", line=problem.line, fatal=False)
