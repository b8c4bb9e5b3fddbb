"""Samples: what was typed, row by row, beside what was read of it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, delete, func, insert, select

from approx.problems import Problem
from approx.records import schema
from approx.records.checks import checked, today
from approx.records.child_records import find_child
from approx.records.refusals import answered
from approx.records.rows import Child, SampleInfo, SampleRow, StoredSample, Trashed
from approx.records.store import Store
from approx.records.trash import put_away
from approx.records.versions import add, change, in_use

if TYPE_CHECKING:
    from approx.records.sample_reading import LookUp, ReadTable

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

        look_up, language, notation, day_first: as in `approx.scoring.sample_of`; the language is by default the child's
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
        from approx.records.sample_reading import typed_file

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
    child: Child,
    header: Sequence[object],
    rows: Sequence[Sequence[object]],
    file: str,
    language: str,
    look_up: LookUp | None,
    notation: str,
    day_first: bool | None,
) -> ReadTable:
    from approx.records.sample_reading import Manner, read_typed  # reading is slow to load, and few pages read

    manner = Manner(language or child.languages[0], look_up, notation, day_first)
    return read_typed(header, rows, child.code, manner, file)


def _keep(
    connection: Connection, child: Child, read: ReadTable, words: dict[str, str], remarks: tuple[Problem, ...] = ()
) -> StoredSample:
    values = words | {"date": words["date"] or read.date or today(), "header": read.header}
    sample_id = add(connection, _SAMPLES, values, child_id=child.id)
    _add_rows(connection, sample_id, read.rows)
    return _sample(connection, sample_id, (*remarks, *read.remarks))


def _add_rows(connection: Connection, sample_id: int, rows: Sequence[SampleRow]) -> None:
    columns = ("row", "cells", "read_target", "read_produced", "kind")
    values = [checked("sample_rows", {name: getattr(row, name) for name in columns}) for row in rows]
    connection.execute(insert(_ROWS), [value | {"sample_id": sample_id} for value in values])


def _info_query() -> Any:
    count = select(func.count()).where(_ROWS.c.sample_id == _SAMPLES.c.id).scalar_subquery().label("rows")
    return select(_SAMPLES, schema.children.c.code, count).join(schema.children)


def _info(row: Any) -> SampleInfo:
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
