"""An export taken in again: every row checked as if it were typed, all of it taken in or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, Table, insert, select, text
from sqlalchemy.exc import IntegrityError

from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.refusals import RefusalError, answered, refusal
from approx.records.database.rows import Imported
from approx.records.database.store import Store
from approx.records.exchange.archive import Archive, named, opened_archive
from approx.records.exchange.portable import TABLES, own_columns, plain_columns, references
from approx.records.tables.checks import code as checked_code
from approx.records.tables.checks import faults
from approx.records.tables.child_records import rename

MOST_PROBLEMS, _AT_ONCE = 50, 5000
_AGAIN = "take the zip as it was exported"
_KEYS = {"children": ("code",), "samples": ("child", "sample"), "sessions": ("child", "number"),
         "targets": ("child", "word", "adult")}  # fmt: skip
"""What other tables name a row by."""
_OWNERS = {"child": ("children", ("child",)), "sample": ("samples", ("child", "sample")),
           "session": ("sessions", ("child", "session")), "target": ("targets", ("child", "word", "adult"))}  # fmt: skip

Key = tuple[Any, ...]
Owned = Sequence[tuple[str, str, Sequence[str]]]
"""What a table's rows belong to: the column of the number, the table, the columns that name a row there."""


class Import(Store):
    """The way in."""

    @answered
    def import_zip(self, source: Path | bytes | IO[bytes], rename: Mapping[str, str] | None = None) -> Imported:
        """Take in the children of an export, of any size. `rename`: code in the zip -> code to take it in under.

        Refused, with a problem for each row at fault, if anything is wrong with it, or if a code is there already.
        """
        with opened_archive(source) as archive:
            with self._writing() as connection:  # rows are checked and put in as they come, and all or none stay
                taking = _Taking(connection, archive)
                codes, counts = taking.run(rename or {})
            return Imported(codes, counts, archive.remarks)


class _Taking:
    """The rows of an export, each checked and put into its table under what it names. Raises `RefusalError`."""

    def __init__(self, connection: Connection, archive: Archive) -> None:
        self.connection, self.archive = connection, archive
        self.problems: list[Problem] = []
        self.ids: dict[str, dict[Key, int]] = {name: {} for name in _KEYS}

    def run(self, renamed: Mapping[str, str]) -> tuple[tuple[str, ...], tuple[tuple[str, int], ...]]:
        """The codes of the children, and how many rows each table got."""
        children = [values for values, _ in self._rows("children")]
        self._stop_if_wrong()
        codes = _new_codes([values["code"] for values in children], renamed)
        _all_new(self.connection, codes.values())
        counts = [("children", self._put_children(children, codes))]
        counts += [(name, self._put(name)) for name in TABLES[1:]]
        self._stop_if_wrong()
        for old, new in codes.items():
            if old != new:
                rename(self.connection, self.ids["children"][old,], old, new)
        return tuple(codes.values()), tuple(counts)

    def _stop_if_wrong(self) -> None:
        if self.problems:
            raise RefusalError(*self.problems)

    def _put_children(self, children: Sequence[dict[str, Any]], codes: Mapping[str, str]) -> int:
        new = _next_id(self.connection, schema.children)
        for number, values in enumerate(children, new):
            self.ids["children"][values["code"],] = number
            values |= {"id": number, "code": codes[values["code"]]}
        self._insert("children", list(children))
        return len(children)

    def _put(self, name: str) -> int:
        """Put in the rows of a table; after the first problem they are only looked at."""
        table, ids = schema.METADATA.tables[name], self.ids.get(name)
        headings = [column.name for column in references(name)]
        owned = [
            (f"{owner}_id", home, columns) for owner, (home, columns) in _OWNERS.items() if f"{owner}_id" in table.c
        ]
        new, count = _next_id(self.connection, table), 0
        ready: list[dict[str, Any]] = []
        for number, (values, owners) in enumerate(self._rows(name), 2):
            count += 1
            cells = dict(zip(headings, owners))
            row = values | self._owner_ids(name, number, owned, cells)
            if ids is not None:
                key = tuple([cells[part] if part in cells else values.get(part) for part in _KEYS[name]])
                if key in ids:
                    self._wrong(name, number, "this row stands twice", _AGAIN)
                ids[key] = row["id"] = new
                new += 1
            if not self.problems:
                ready.append(row)
                if len(ready) >= _AT_ONCE:
                    self._insert(name, ready)
                    ready = []
        if ready and not self.problems:
            self._insert(name, ready)
        return count

    def _insert(self, name: str, rows: list[dict[str, Any]]) -> None:
        if not rows:
            return
        try:
            self.connection.execute(insert(schema.METADATA.tables[name]), rows)
        except IntegrityError:
            raise refusal("row", f"two rows of {name} stand for the same thing, or one does not fit", _AGAIN) from None

    def _rows(self, name: str) -> Iterator[tuple[dict[str, Any], Key]]:
        """Each row's own values, and the names of what it belongs to."""
        known = {column.name: column for column in plain_columns(name)}
        own, named_by = [column.name for column in own_columns(name)], references(name)
        with self.archive.table(name) as (header, rows):
            missing = [column for column in known if column not in header and known[column].needed]
            strange = [column for column in header if column not in known]
            wrong = missing or strange or len(set(header)) < len(header)
            for number, row in enumerate(rows, 2):
                if wrong:
                    odd = (strange or list(header) or ["?"])[0][:40]
                    what = f"no column '{missing[0]}'" if missing else f"a column '{odd}' too many"
                    self._wrong(name, 1, f"there is {what}", _AGAIN)
                    return
                if len(row) != len(header):
                    self._wrong(name, number, f"{len(row)} cells in the row, {len(header)} in the heading", "")
                    continue
                cells = named(header, row)
                owners = tuple([self._reference(name, number, column, cells) for column in named_by])
                values, problems = faults(name, {column: cells[column] for column in own if column in cells})
                for problem in problems:
                    self._wrong(name, number, problem.message, problem.hint, problem.symbol)
                if not problems:
                    yield values, owners

    def _reference(self, name: str, number: int, column: Any, cells: Mapping[str, Any]) -> Any:
        value = cells.get(column.name)
        right = isinstance(value, int) and not isinstance(value, bool) if column.number else isinstance(value, str)
        if not right and not (column.open and value is None):
            self._wrong(name, number, f"{column.name} does not name anything", "", column.name)
            return None
        return value

    def _owner_ids(self, name: str, number: int, owned: Owned, cells: Mapping[str, Any]) -> dict[str, int | None]:
        out: dict[str, int | None] = {}
        for column, home, columns in owned:
            key = tuple([cells[part] for part in columns])
            if key[-1] is None:
                out[column] = None
            elif key in self.ids[home]:
                out[column] = self.ids[home][key]
            elif not self.problems:  # after a problem the row it refers to may have been left out
                self._wrong(name, number, f"its {column.removesuffix('_id')} is not in the zip", _AGAIN)
        return out

    def _wrong(self, name: str, row: int, message: str, hint: str, symbol: str = "") -> None:
        self.problems.append(Problem("records.row", message, hint, f"{name}.csv", row, symbol=symbol))
        if len(self.problems) >= MOST_PROBLEMS:
            raise RefusalError(*self.problems)


def _new_codes(codes: Sequence[str], renamed: Mapping[str, str]) -> dict[str, str]:
    """Each code of the export and the code to take it in under."""
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


def _next_id(connection: Connection, table: Table) -> int:
    """The number that the next row gets; nobody else writes meanwhile, and a number is never given twice."""
    given = text("SELECT seq FROM sqlite_sequence WHERE name = :name")
    return int(connection.execute(given, {"name": table.name}).scalar() or 0) + 1


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
