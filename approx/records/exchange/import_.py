"""An export taken in again: every row checked as if it were typed, all of it taken in or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, insert, select
from sqlalchemy.exc import IntegrityError

from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.refusals import RefusalError, answered, refusal
from approx.records.database.rows import Imported
from approx.records.database.store import Store
from approx.records.exchange.archive import Tables, named, read_archive
from approx.records.exchange.portable import TABLES, own_columns, plain_columns, references
from approx.records.tables.checks import code as checked_code
from approx.records.tables.checks import faults
from approx.records.tables.child_records import rename
from approx.records.tables.versions import new_id

MOST_PROBLEMS = 50
_KEYS = {"children": ("code",), "samples": ("child", "sample"), "sessions": ("child", "number"),
         "targets": ("child", "word", "adult")}  # fmt: skip
"""What other tables name a row by."""
_OWNERS = {"child": ("children", ("child",)), "sample": ("samples", ("child", "sample")),
           "session": ("sessions", ("child", "session")), "target": ("targets", ("child", "word", "adult"))}  # fmt: skip

Key = tuple[Any, ...]


class Import(Store):
    """The way in."""

    @answered
    def import_zip(self, source: Path | bytes, rename: Mapping[str, str] | None = None) -> Imported:
        """Take in the children of an export. `rename`: code in the zip -> code to take it in under.

        Refused, with a problem for each row at fault, if anything is wrong with it, or if a code is there already.
        """
        data = source if isinstance(source, bytes) else source.read_bytes()
        tables, remarks = read_archive(data)
        reader = _Checked(tables)
        codes = reader.codes(rename or {})
        with self._writing() as connection:
            _all_new(connection, codes.values())
            counts = _Filling(connection, reader).run(codes)
        return Imported(tuple(codes.values()), counts, remarks)


class _Checked:
    """The rows of an export, all of them found good. Raises `RefusalError` otherwise."""

    def __init__(self, tables: Tables) -> None:
        self.problems: list[Problem] = []
        self.rows = {name: list(self._table(name, *tables.get(name, ([], [])))) for name in TABLES}
        if self.problems:
            raise RefusalError(*self.problems)

    def codes(self, renamed: Mapping[str, str]) -> dict[str, str]:
        """Each code of the export and the code to take it in under."""
        codes = [values["code"] for values, _ in self.rows["children"]]
        unknown = [code for code in renamed if code not in codes]
        if unknown:
            raise refusal("no_child", f"there is no child '{unknown[0]}' in the zip", "look at the codes", unknown[0])
        out = {}
        for code in codes:
            try:
                out[code] = checked_code(renamed.get(code, code))
            except ValueError as error:
                message, hint = error.args
                raise refusal("code", message, hint, renamed[code]) from None
        if len({code.casefold() for code in out.values()}) < len(codes):
            raise refusal("twice", "two children would have one code", "give each its own")
        return out

    def _table(self, name: str, header: Sequence[str], rows: Sequence[Sequence[Any]]) -> Iterator[tuple[Any, Key]]:
        """Each row's own values, and the names of what it belongs to."""
        known = {column.name: column for column in plain_columns(name)}
        missing = [column for column in known if column not in header and known[column].needed]
        strange = [column for column in header if column not in known]
        if rows and (missing or strange or len(set(header)) < len(header)):
            what = (
                f"no column '{missing[0]}'" if missing else f"a column '{(strange or list(header))[0][:40]}' too many"
            )
            self._wrong(name, 1, f"there is {what}", "take the zip as it was exported")
            return
        for number, row in enumerate(rows, 2):
            if len(row) != len(header):
                self._wrong(name, number, f"{len(row)} cells in the row, {len(header)} in the heading", "")
                continue
            cells = named(header, row)
            owners = tuple(self._reference(name, number, column, cells) for column in references(name))
            mine = {column.name: cells[column.name] for column in own_columns(name) if column.name in cells}
            values, problems = faults(name, mine)
            for problem in problems:
                self._wrong(name, number, problem.message, problem.hint, problem.symbol)
            yield values, owners

    def _reference(self, name: str, number: int, column: Any, cells: Mapping[str, Any]) -> Any:
        value = cells.get(column.name)
        right = isinstance(value, int) and not isinstance(value, bool) if column.number else isinstance(value, str)
        if not right and not (column.open and value is None):
            self._wrong(name, number, f"{column.name} does not name anything", "", column.name)
        return value

    def _wrong(self, name: str, row: int, message: str, hint: str, symbol: str = "") -> None:
        self.problems.append(Problem("records.row", message, hint, f"{name}.csv", row, symbol=symbol))
        if len(self.problems) >= MOST_PROBLEMS:
            raise RefusalError(*self.problems)


class _Filling:
    """Rows put into the tables, each under what it names."""

    def __init__(self, connection: Connection, checked: _Checked) -> None:
        self.connection, self.checked = connection, checked
        self.ids: dict[str, dict[Key, int]] = {name: {} for name in _KEYS}
        self.codes: Mapping[str, str] = {}

    def run(self, codes: Mapping[str, str]) -> tuple[tuple[str, int], ...]:
        self.codes = codes
        counts = tuple((name, self._fill(name)) for name in TABLES)
        for old, new in codes.items():
            if old != new:
                rename(self.connection, self.ids["children"][old,], old, new)
        return counts

    def _fill(self, name: str) -> int:
        table = schema.METADATA.tables[name]
        ready = []
        headings = [column.name for column in references(name)]
        # rows of a table that others refer to are entered one by one, for the number each is given
        for number, (values, owners) in enumerate(self.checked.rows[name], 2):
            cells = dict(zip(headings, owners))
            row = values | self._owner_ids(name, number, table, cells)
            if name in _KEYS:
                key = tuple((cells | values)[column] for column in _KEYS[name])
                if key in self.ids[name]:
                    self._refuse(name, number, "this row stands twice")
                if name == "children":
                    row["code"] = self.codes[row["code"]]
                try:
                    new = self.connection.execute(insert(table).values(**row))
                except IntegrityError:
                    self._refuse(name, number, "this row does not fit the others")
                self.ids[name][key] = new_id(new)
            else:
                ready.append(row)
        if ready:
            try:
                self.connection.execute(insert(table), ready)
            except IntegrityError:
                raise refusal(
                    "row", f"two rows of {name} stand for the same thing", "take the zip as it was exported"
                ) from None
        return len(self.checked.rows[name])

    def _owner_ids(self, name: str, number: int, table: Any, cells: Mapping[str, Any]) -> dict[str, int | None]:
        out: dict[str, int | None] = {}
        for owner, (home, columns) in _OWNERS.items():
            column = f"{owner}_id"
            if column not in table.c:
                continue
            key = tuple(cells[part] for part in columns)
            if key[-1] is None:
                out[column] = None
            elif key not in self.ids[home]:
                self._refuse(name, number, f"its {owner} is not in the zip")
            else:
                out[column] = self.ids[home][key]
        return out

    def _refuse(self, name: str, number: int, message: str) -> None:
        hint = "take the zip as it was exported"
        raise RefusalError(Problem("records.row", message, hint, f"{name}.csv", number))


def _all_new(connection: Connection, codes: Any) -> None:
    table = schema.children
    taken = [
        code for code in codes
        if connection.execute(select(table.c.id).where(table.c.code == code, table.c.trashed == "")).first()
    ]  # fmt: skip
    hint = "take it in under another code, or delete the one that is there"
    if taken:
        raise RefusalError(
            *(Problem("records.twice", f"there is a child '{code}' already", hint, symbol=code) for code in taken)
        )
