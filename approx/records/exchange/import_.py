"""An export taken in again: every row checked as if it were typed, all of it taken in or nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain
from operator import itemgetter
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, Table, select, text
from sqlalchemy.exc import IntegrityError

from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.refusals import RefusalError, answered, refusal
from approx.records.database.rows import Imported
from approx.records.database.store import Store
from approx.records.exchange.archive import Archive, ArchiveRow, Reads, opened_archive
from approx.records.exchange.portable import TABLE_ORDER, PlainColumn, own_columns, plain_columns, references
from approx.records.tables.checks import RULES, TOGETHER, ValueCheck, odd_together, value_problem
from approx.records.tables.checks import code as checked_code
from approx.records.tables.child_records import rename
from approx.wording import worded

MOST_PROBLEMS, _AT_ONCE = 50, 5000
_AGAIN = "take the zip as it was exported"
_KEYS = {"children": ("code",), "samples": ("child", "sample"), "sessions": ("child", "number"),
         "targets": ("child", "word", "adult")}  # fmt: skip
"""What other tables name a row by."""
_OWNERS = {"child": ("children", ("child",)), "sample": ("samples", ("child", "sample")),
           "session": ("sessions", ("child", "session")), "target": ("targets", ("child", "word", "adult"))}  # fmt: skip

RowKey = tuple[Any, ...]
Ids = dict[RowKey, int]
Picks = Callable[[ArchiveRow], RowKey]


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
        self.ids: dict[str, Ids] = {name: {} for name in _KEYS}

    def run(self, renamed: Mapping[str, str]) -> tuple[tuple[str, ...], tuple[tuple[str, int], ...]]:
        """The codes of the children, and how many rows each table got."""
        children = self._children()
        self._stop_if_wrong()
        codes = _new_codes([values["code"] for values in children], renamed)
        _all_new(self.connection, codes.values())
        counts = [("children", self._put_children(children, codes))]
        counts += [(name, self._put(name)) for name in TABLE_ORDER[1:]]
        self._stop_if_wrong()
        for old, new in codes.items():
            if old != new:
                rename(self.connection, self.ids["children"][old,], old, new)
        return tuple(codes.values()), tuple(counts)

    def _children(self) -> list[dict[str, Any]]:
        with self.archive.table("children") as (header, rows):
            return [dict(zip(header, cells)) for _, cells in self._read("children", header, rows)]

    def _stop_if_wrong(self) -> None:
        if self.problems:
            raise RefusalError(*self.problems)

    def _put_children(self, children: Sequence[dict[str, Any]], codes: Mapping[str, str]) -> int:
        new = _next_id(self.connection, schema.children)
        names = tuple(children[0]) if children else ()
        rows = []
        for number, values in enumerate(children, new):
            self.ids["children"][values["code"],] = number
            rows.append((number, *(values | {"code": codes[values["code"]]}).values()))
        self._insert("children", ("id", *names), rows)
        return len(children)

    def _put(self, name: str) -> int:
        """Put in the rows of a table; after the first problem they are only looked at."""
        with self.archive.table(name) as (header, rows):
            table, ids = schema.METADATA.tables[name], self.ids.get(name)
            own = [column.name for column in own_columns(name) if column.name in header]
            owners = [
                (self.ids[home], _picked(header, keys), f"{owner}_id")
                for owner, (home, keys) in _OWNERS.items() if f"{owner}_id" in table.c
            ]  # fmt: skip
            values_of, key_of = _picked(header, own), _picked(header, _KEYS[name]) if ids is not None else None
            into = (*(column for _, _, column in owners), *own, *(["id"] if ids is not None else []))
            new, count = _next_id(self.connection, table), 0
            ready: list[tuple[Any, ...]] = []
            for number, cells in self._read(name, header, rows):
                count += 1
                row = (*(self._owner(name, number, *owner, cells) for owner in owners), *values_of(cells))
                if ids is not None and key_of is not None:
                    key = key_of(cells)
                    if key in ids:
                        self._wrong(name, number, "this row is there twice", _AGAIN)
                    ids[key] = new
                    row = (*row, new)
                    new += 1
                if not self.problems:
                    ready.append(row)
                    if len(ready) >= _AT_ONCE:
                        self._insert(name, into, ready)
                        ready = []
            if not self.problems:
                self._insert(name, into, ready)
            return count

    def _insert(self, name: str, columns: Sequence[str], rows: list[tuple[Any, ...]]) -> None:
        """Many rows by one statement of the driver, for a row of the toolkit costs more than all else about it."""
        if not rows:
            return
        named = ", ".join(f'"{column}"' for column in columns)
        statement = f"INSERT INTO {name} ({named}) VALUES ({', '.join('?' * len(columns))})"
        try:
            self.connection.exec_driver_sql(statement, rows)
        except IntegrityError:
            raise refusal(
                "row", worded("two rows of {name} are the same entry, or one is not valid", name=name), _AGAIN
            ) from None

    def _columns(self, name: str, header: Sequence[str]) -> list[tuple[str, Reads]] | None:
        """Each column of a table and how its cells are read; None where the heading does not fit, which is named."""
        known = {column.name: column for column in plain_columns(name)}
        missing = [column for column in known if column not in header and known[column].needed]
        strange = [column for column in header if column not in known]
        if missing or strange or len(set(header)) < len(header):
            what = (
                worded("no column '{name}'", name=missing[0])
                if missing
                else worded("a column '{strange}' too many", strange=(strange or list(header))[0][:40])
            )
            self._wrong(name, 1, worded("there is {what}", what=what), _AGAIN)
            return None
        naming = {column.name for column in references(name)}
        rules = {each: _naming(known[each]) if each in naming else RULES[name][each] for each in header}
        return [(each, self.archive.reads(known[each], rules[each])) for each in header]

    def _read(self, name: str, header: Sequence[str], rows: Iterator[ArchiveRow]) -> Iterator[tuple[int, ArchiveRow]]:
        """Each row that can be stored, by its number, with the value of each cell; the others are named."""
        first = next(rows, None)
        columns = self._columns(name, header) if first is not None else None
        if first is None or columns is None:  # a table without rows may have any heading
            return
        reads = [read for _, read in columns]
        names = [column for column, _ in columns]
        for number, row in enumerate(chain([first], rows), 2):
            if len(row) != len(reads):
                self._wrong(
                    name,
                    number,
                    worded(
                        "{cells} {cells:cell|cells} in the row, {width} in the heading",
                        cells=len(row),
                        width=len(reads),
                    ),
                    "",
                )
                continue
            try:
                cells = [read(cell) for read, cell in zip(reads, row)]
            except ValueError:
                for (column, read), cell in zip(columns, row):
                    try:
                        read(cell)
                    except ValueError as error:
                        self._named(name, number, value_problem(column, error))
                continue
            if name in TOGETHER and (problems := odd_together(name, dict(zip(names, cells)))):
                for problem in problems:
                    self._named(name, number, problem)
                continue
            yield number, cells

    def _owner(self, name: str, row: int, ids: Ids, key_of: Picks, column: str, cells: ArchiveRow) -> int | None:
        """The number of the row that a row belongs to."""
        key = key_of(cells)
        found = ids.get(key)
        if found is None and key[-1] is not None and not self.problems:
            # after a problem the row it refers to may have been left out
            self._wrong(
                name,
                row,
                worded("its {removesuffix} is not in the zip", removesuffix=column.removesuffix("_id")),
                _AGAIN,
            )
        return found

    def _named(self, name: str, row: int, problem: Problem) -> None:
        self._wrong(name, row, problem.message, problem.hint, problem.symbol)

    def _wrong(self, name: str, row: int, message: str, hint: str, symbol: str = "") -> None:
        self.problems.append(Problem("records.row", message, hint, f"{name}.csv", row, symbol=symbol))
        if len(self.problems) >= MOST_PROBLEMS:
            raise RefusalError(*self.problems)


def _naming(column: PlainColumn) -> ValueCheck:
    """A rule for a cell that names the row to which another belongs."""

    def rule(value: object) -> object:
        right = isinstance(value, int) and not isinstance(value, bool) if column.number else isinstance(value, str)
        if not right and not (column.open and value is None):
            raise ValueError("does not name anything", "")
        return value

    return rule


def _picked(header: Sequence[str], columns: Sequence[str]) -> Picks:
    """What takes the cells of some columns out of a row; None for a column that is not there."""
    places = [header.index(column) if column in header else None for column in columns]
    if None in places or len(places) < 2:
        return lambda cells: tuple([None if place is None else cells[place] for place in places])
    return itemgetter(*places)


def _new_codes(codes: Sequence[str], renamed: Mapping[str, str]) -> dict[str, str]:
    """Each code of the export and the code to take it in under."""
    unknown = [code for code in renamed if code not in codes]
    if unknown:
        raise refusal(
            "no_child",
            worded("there is no child '{unknown}' in the zip", unknown=unknown[0]),
            "check the codes",
            unknown[0],
        )
    out = {}
    for code in codes:
        try:
            out[code] = checked_code(renamed.get(code, code))
        except ValueError as error:
            message, hint = error.args
            raise refusal("code", message, hint, renamed[code]) from None
    if len({code.casefold() for code in out.values()}) < len(codes):
        raise refusal("twice", "two children would have the same code", "give each its own")
    return out


def _next_id(connection: Connection, table: Table) -> int:
    """The number that the next row gets; nobody else writes meanwhile, and a number is never given twice."""
    given = text("SELECT seq FROM sqlite_sequence WHERE name = :name")
    return int(connection.execute(given, {"name": table.name}).scalar() or 0) + 1


def _all_new(connection: Connection, codes: Iterable[str]) -> None:
    table = schema.children
    taken = [
        code for code in codes
        if connection.execute(select(table.c.id).where(table.c.code == code, table.c.trashed == "")).first()
    ]  # fmt: skip
    hint = "import it under another code, or delete the one that is there"
    if taken:
        raise RefusalError(
            *(
                Problem("records.twice", worded("there is a child '{code}' already", code=code), hint, symbol=code)
                for code in taken
            )
        )
