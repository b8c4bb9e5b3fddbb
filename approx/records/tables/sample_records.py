"""Samples: what was typed, row by row, beside what was read of it.

A typed table is made ready first: its heading found, each row read, the child's code put where a name may stand.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import islice

from sqlalchemy import Connection, delete, func, insert, select

from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.refusals import RefusalError, answered, refusal
from approx.records.database.rows import SampleInfo, SampleRow, StoredChild, StoredSample, Trashed
from approx.records.database.store import Store
from approx.records.tables.checks import checked, today
from approx.records.tables.child_records import find_child
from approx.records.tables.trash import put_away
from approx.records.tables.versions import add, change, in_use
from approx.samples.columns.headers import MOST_COLUMNS, lay_out
from approx.samples.files.table import Table, open_table, table_of
from approx.samples.files.write import unguarded
from approx.samples.rows.reader import HELD
from approx.samples.rows.sample import sample_of
from approx.samples.token import Sample
from approx.wording import worded

LookUp = Callable[[str, str], str | None]
MOST_ROWS = 50_000
_SHOWN, _FEW = 40, 5


@dataclass(frozen=True, slots=True)
class Manner:
    """How the forms are read; the arguments of `approx.samples.rows.sample.sample_of`."""

    language: str = "en-US"
    look_up: LookUp | None = None
    notation: str = "ipa"
    day_first: bool | None = None


@dataclass(frozen=True, slots=True)
class ReadTable:
    """Heading and rows as they will be kept, and everything there is to say about them."""

    header: tuple[str, ...]
    rows: tuple[SampleRow, ...]
    date: str
    remarks: tuple[Problem, ...]


def typed_file(data: bytes, file: str, sheet: str | None = None) -> tuple[Table, list[list[str]]]:
    """The table in a file and its rows without the apostrophes that guard them. Refused where it cannot be read."""
    table = open_table(BytesIO(data), sheet, file)
    rows = [list(row) for row in islice(table.rows, MOST_ROWS + 1)]
    if len(rows) > MOST_ROWS:
        raise refusal("long", worded("more than {most_rows} rows", most_rows=f"{MOST_ROWS:,}"), "enter it in parts")
    wide = next((number for number, row in enumerate([table.header, *rows], 1) if len(row) > MOST_COLUMNS), None)
    if wide is not None:
        message = worded("row {row} has more than {most_columns} cells", row=wide, most_columns=f"{MOST_COLUMNS:,}")
        raise refusal("long", message, "is it a sample, with line breaks?")
    fatal = [problem for problem in table.problems if problem.fatal]
    if fatal:
        raise RefusalError(*fatal)
    if table.unclosed:
        places = ", ".join(str(row) for row in sorted(table.unclosed)[:9])
        message = worded("a quotation mark is opened and not closed (row {places})", places=places)
        raise refusal("quotation", message, "close it, or write it twice inside a cell", '"')
    for record, sign in sorted(table.control.items()):
        row = max(1, record - table.skipped)
        message = worded("the control character U+{sign} is in row {row}", sign=f"{ord(sign):04X}", row=row)
        raise refusal("control", message, "the file may be damaged; type the cells again", sign)
    if table.guarded:
        table.header = [unguarded(cell) for cell in table.header]
        rows = [[unguarded(cell) for cell in row] for row in rows]
    return table, rows


def read_typed(
    header: Sequence[object], rows: Sequence[Sequence[object]], code: str, manner: Manner, file: str = ""
) -> ReadTable:
    """Read a typed table. Problems of single rows are remarks: what was typed is kept, right or wrong.

    Refused without a column of productions, with nothing in it, or with rows of several children.
    """
    table = table_of([str(cell) for cell in header], rows, file)
    cells = [list(row) for row in table.rows]
    if len(cells) > MOST_ROWS:
        raise refusal("long", worded("more than {most_rows} rows", most_rows=f"{MOST_ROWS:,}"), "enter it in parts")
    layout = lay_out(table.header, cells[:200], file)
    remarks: list[Problem] = []
    if "child" in layout.at:
        remarks += _own_code(cells, layout.at["child"], code)
    sample = sample_of(
        table.header, cells, manner.language, look_up=manner.look_up, notation=manner.notation,
        day_first=manner.day_first, file=file, bounds=HELD,
    )  # fmt: skip
    beyond = [problem for problem in sample.problems if problem.code == "sample.bound"]
    if beyond:  # a sample is kept whole or not at all
        raise RefusalError(*beyond)
    if "produced_ipa" not in layout.at or not (sample.tokens or sample.refused):
        raise RefusalError(*sample.problems or (Problem("sample.empty", "all rows are empty", "type the words"),))
    dates = [token.session_date for token in sample.tokens if token.session_date]
    return ReadTable(
        tuple(table.header), tuple(_rows(cells, sample)), min(dates, default=""), (*remarks, *sample.problems)
    )


def _own_code(cells: list[list[str]], place: int, code: str) -> list[Problem]:
    """The code of the child in the column that names the child, whatever name stood there; rows of one child only."""
    named = [row for row in cells if len(row) > place and row[place].strip()]
    others: dict[str, str] = {}
    for number, row in enumerate(cells, 2):
        if len(row) > place and (name := row[place].strip()):
            others.setdefault(name.casefold(), f"'{name[:_SHOWN]}' (row {number})")
    if len(others) > 1:
        some = ", ".join(list(others.values())[:_FEW])
        hint = "enter the rows of each child with that child; delete what is a remark or another table"
        message = worded("the rows belong to {others} {others:child|children}: {some}", others=len(others), some=some)
        raise refusal("several_children", message, hint)
    if others.keys() <= {code.casefold()}:
        return []
    for row in named:
        row[place] = code
    message = worded("the child column now says {code} in {named} {named:row|rows}", code=code, named=len(named))
    return [Problem("records.code_put", message, "codes in place of names", fatal=False)]


def _rows(cells: list[list[str]], sample: Sample) -> list[SampleRow]:
    """Each typed row with what was read of it; attempts of one cell stand together."""
    read: dict[int, tuple[list[str], list[str], list[str]]] = {}
    for token in sample.tokens:
        targets, produced, kinds = read.setdefault(token.row, ([], [], []))
        targets.append(token.target.ipa if token.target else "")
        produced.append(token.produced.ipa if token.produced else "")
        kinds.append(token.kind)
    refused = frozenset(sample.refused)
    out = []
    for number, row in enumerate(cells, 2):
        targets, produced, kinds = read.get(number, ([], [], []))
        kind = " / ".join(dict.fromkeys(kinds)) or ("refused" if number in refused else "blank")
        target = " / ".join(dict.fromkeys(filter(None, targets)))
        out.append(SampleRow(number, tuple(row), target, " / ".join(produced), kind))
    return out


_SAMPLES, _ROWS = schema.samples, schema.sample_rows


class SampleRecords(Store):
    """The samples of each child."""

    @answered
    def add_sample(
        self,
        code: str,
        header: Sequence[str],
        rows: Sequence[Sequence[object]],
        *,
        date: str = "",
        title: str = "",
        file: str = "",
        context: str = "",
        transcriber: str = "",
        note: str = "",
        look_up: LookUp | None = None,
        language: str = "",
        notation: str = "ipa",
        day_first: bool | None = None,
    ) -> StoredSample:
        """Keep a typed table. `date` is by default the first one in the rows, else today.

        look_up, language, notation, day_first: as in `approx.samples.rows.sample.sample_of`; the language is by default the child's
        main one. `remarks` of the answer: all that the reading has to say; a row that cannot be read is kept too.
        """
        with self._writing() as connection:
            child = find_child(connection, code)
            read = _read(child, header, rows, file, language, look_up, notation, day_first)
            words = {"date": date, "title": title, "file": file, "context": context, "transcriber": transcriber}
            return _keep(connection, child, read, words | {"note": note})

    @answered
    def add_sample_file(
        self,
        code: str,
        data: bytes,
        file: str,
        *,
        sheet: str | None = None,
        date: str = "",
        title: str = "",
        note: str = "",
        look_up: LookUp | None = None,
        language: str = "",
        notation: str = "ipa",
        day_first: bool | None = None,
    ) -> StoredSample:
        """Keep the table of a CSV, TSV or XLSX file, or of pasted text (UTF-8), read as `approx score` reads it."""
        table, rows = typed_file(data, file, sheet)
        with self._writing() as connection:
            child = find_child(connection, code)
            read = _read(child, table.header, rows, file, language, look_up, notation, day_first)
            words = {"date": date, "title": title, "file": file, "note": note}
            return _keep(connection, child, read, words, tuple(table.problems))

    @answered
    def samples(self, code: str) -> tuple[SampleInfo, ...]:
        """The samples of a child without their rows, latest first."""
        with self._reading() as connection:
            child = find_child(connection, code)
            query = _info_query().where(_SAMPLES.c.child_id == child.id, _SAMPLES.c.trashed == "")
            rows = connection.execute(query.order_by(_SAMPLES.c.date.desc(), _SAMPLES.c.id.desc()))
            return tuple(_info(row) for row in rows)

    @answered
    def sample(self, sample_id: int) -> StoredSample:
        """One sample with its rows."""
        with self._reading() as connection:
            return _sample(connection, sample_id)

    @answered
    def save_sample(
        self,
        sample: StoredSample,
        *,
        look_up: LookUp | None = None,
        language: str = "",
        notation: str = "ipa",
        day_first: bool | None = None,
    ) -> StoredSample:
        """A sample changed: its cells are read again. Refused with the present one if `sample.info.version` is stale."""
        info = sample.info
        with self._writing() as connection:
            present = _sample(connection, info.id)
            child = find_child(connection, present.info.child)
            read = _read(child, sample.header, sample.cells(), info.file, language, look_up, notation, day_first)
            values = {
                "date": info.date or read.date or today(), "title": info.title, "file": info.file,
                "context": info.context, "transcriber": info.transcriber, "note": info.note,
                "header": read.header,
            }  # fmt: skip
            change(connection, _SAMPLES, info.id, info.version, values, lambda: present)
            connection.execute(delete(_ROWS).where(_ROWS.c.sample_id == info.id))
            _add_rows(connection, info.id, read.rows)
            return _sample(connection, info.id, read.remarks)

    @answered
    def delete_sample(self, sample_id: int) -> Trashed:
        """Put a sample away."""
        with self._writing() as connection:
            info = _sample(connection, sample_id).info
            return put_away(connection, _SAMPLES, sample_id, "sample", info.title or info.file or info.date)


def _read(
    child: StoredChild,
    header: Sequence[object],
    rows: Sequence[Sequence[object]],
    file: str,
    language: str,
    look_up: LookUp | None,
    notation: str,
    day_first: bool | None,
) -> ReadTable:

    manner = Manner(language or child.languages[0], look_up, notation, day_first)
    return read_typed(header, rows, child.code, manner, file)


def _keep(
    connection: Connection,
    child: StoredChild,
    read: ReadTable,
    words: dict[str, str],
    remarks: tuple[Problem, ...] = (),
) -> StoredSample:
    values = words | {"date": words["date"] or read.date or today(), "header": read.header}
    sample_id = add(connection, _SAMPLES, values, child_id=child.id)
    _add_rows(connection, sample_id, read.rows)
    return _sample(connection, sample_id, (*remarks, *read.remarks))


def _add_rows(connection: Connection, sample_id: int, rows: Sequence[SampleRow]) -> None:
    columns = ("row", "cells", "read_target", "read_produced", "kind")
    values = [checked("sample_rows", {name: getattr(row, name) for name in columns}) for row in rows]
    connection.execute(insert(_ROWS), [value | {"sample_id": sample_id} for value in values])


def _info_query() -> schema.Query:
    count = select(func.count()).where(_ROWS.c.sample_id == _SAMPLES.c.id).scalar_subquery().label("rows")
    return select(_SAMPLES, schema.children.c.code, count).join(schema.children)


def _info(row: schema.FoundRow) -> SampleInfo:
    return SampleInfo(
        row.id, row.version, row.code, row.date, row.title, row.file, row.context, row.transcriber, row.note, row.rows
    )


def _sample(connection: Connection, sample_id: int, remarks: tuple[Problem, ...] = ()) -> StoredSample:
    found = in_use(connection, _SAMPLES, sample_id, "sample")
    info = _info(connection.execute(_info_query().where(_SAMPLES.c.id == sample_id)).one())
    rows = connection.execute(select(_ROWS).where(_ROWS.c.sample_id == sample_id).order_by(_ROWS.c.row))
    return StoredSample(
        info,
        tuple(json.loads(found.header)),
        tuple(
            SampleRow(row.row, tuple(json.loads(row.cells)), row.read_target, row.read_produced, row.kind)
            for row in rows
        ),
        remarks,
    )
