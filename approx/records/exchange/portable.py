"""The caseload as plain tables: no numbers of rows, but what a person would name them by.

A child goes by its code, a session by its number, a target by its word and adult form, a sample by its place among
the samples of its child. So the tables can be read in a spreadsheet, and taken into any other caseload.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, FromClause, Integer, Table, select

from approx.records.database import schema
from approx.records.database.schema import INNER_COLUMNS

PortableValue = str | int | None
FORMAT = "approx caseload"


@dataclass(frozen=True, slots=True)
class PlainColumn:
    """`number`: whole numbers, else text. `open`: may be empty though it is a number. `needed`: has no default."""

    name: str
    number: bool
    comment: str
    open: bool = False
    needed: bool = True


_REFERENCES: dict[str, tuple[PlainColumn, ...]] = {
    "child": (PlainColumn("child", False, "code of the child"),),
    "sample": (PlainColumn("sample", True, "number of the sample among those of the child"),),
    "session": (PlainColumn("session", True, "number of the session"),),
    "session or none": (PlainColumn("session", True, "number of the session, empty for none", True, False),),
    "target": (
        PlainColumn("word", False, "word of the target"),
        PlainColumn("adult", False, "adult form of the target, IPA"),
    ),
}
_OWNERS: dict[str, tuple[str, ...]] = {
    "children": (),
    "profiles": ("child",),
    "samples": ("child", "sample"),
    "sample_rows": ("child", "sample"),
    "choices": ("child",),
    "targets": ("child",),
    "sessions": ("child",),
    "trials": ("child", "session", "target"),
    "probes": ("child",),
    "phases": ("child",),
    "goals": ("child",),
    "notes": ("child", "session or none"),
    "pictures": ("child",),
}
TABLE_ORDER = tuple(_OWNERS)
"""In an order in which they can be filled."""


def references(table: str) -> tuple[PlainColumn, ...]:
    """The columns that say what a row belongs to."""
    return tuple(column for owner in _OWNERS[table] for column in _REFERENCES[owner])


def own_columns(table: str) -> tuple[PlainColumn, ...]:
    """The columns that a row has for itself."""
    return tuple(
        PlainColumn(
            column.name, isinstance(column.type, Integer), column.comment or "", bool(column.nullable),
            not column.nullable and column.server_default is None,
        )
        for column in schema.METADATA.tables[table].c
        if column.name not in INNER_COLUMNS and not column.foreign_keys
    )  # fmt: skip


def plain_columns(table: str) -> tuple[PlainColumn, ...]:
    """All columns of a plain table, in order."""
    return references(table) + own_columns(table)


def plain_rows(connection: Connection, name: str, child_id: int | None = None) -> Iterator[tuple[PortableValue, ...]]:
    """The rows of one table in use, of one child or of all, by child and in the order in which they were made."""
    table, children = schema.METADATA.tables[name], schema.children
    own = [table.c[column.name] for column in own_columns(name)]
    query: schema.Query = select(children.c.code, *_named(name), *own).select_from(_joined(name, table))
    query = query.where(children.c.trashed == "").order_by(children.c.id, *_order(name, table))
    if "trashed" in table.c:
        query = query.where(table.c.trashed == "")
    if child_id is not None:
        query = query.where(children.c.id == child_id)
    rows = connection.execute(query)
    if name == "children":
        return (tuple(row)[1:] for row in rows)
    if name in ("samples", "sample_rows"):
        return _numbered(rows)
    return (tuple(row) for row in rows)


def _named(name: str) -> Sequence[ColumnElement[Any]]:
    if name == "trials":
        return schema.sessions.c.number.label("session_number"), schema.targets.c.word, schema.targets.c.adult
    if name == "notes":
        return (schema.sessions.c.number.label("session_number"),)
    return {"samples": (schema.samples.c.id,), "sample_rows": (schema.samples.c.id,)}.get(name, ())


def _joined(name: str, table: Table) -> FromClause:
    children, samples, sessions = schema.children, schema.samples, schema.sessions
    if name == "children":
        return table
    if name == "sample_rows":
        live = (samples.c.id == table.c.sample_id) & (samples.c.trashed == "")
        return table.join(samples, live).join(children, children.c.id == samples.c.child_id)
    if name == "trials":
        live = (sessions.c.id == table.c.session_id) & (sessions.c.trashed == "")
        targets = schema.targets
        joined = table.join(sessions, live).join(targets, targets.c.id == table.c.target_id)
        return joined.join(children, children.c.id == sessions.c.child_id)
    joined = table.join(children, children.c.id == table.c.child_id)
    if name == "notes":
        joined = joined.outerjoin(sessions, (sessions.c.id == table.c.session_id) & (sessions.c.trashed == ""))
    return joined


def _order(name: str, table: Table) -> Sequence[ColumnElement[Any]]:
    if name == "trials":
        return schema.sessions.c.number, table.c.number, table.c.id
    return (schema.samples.c.id, table.c.row) if name == "sample_rows" else (table.c.id,)


def _numbered(rows: Iterable[schema.FoundRow]) -> Iterator[tuple[PortableValue, ...]]:
    """Samples are numbered within their child, in order."""
    child, numbers = None, dict[int, int]()
    for code, sample_id, *rest in rows:
        if code != child:
            child, numbers = code, {}
        yield (code, numbers.setdefault(sample_id, len(numbers) + 1), *rest)
