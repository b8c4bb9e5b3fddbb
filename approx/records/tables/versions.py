"""Changes that overwrite nobody: a row is changed only as the version that the caller has seen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from sqlalchemy import Connection, CursorResult, Table, insert, select, update

from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.refusals import RefusalError, refusal
from approx.records.database.rows import StoredRow
from approx.records.tables.checks import checked
from approx.wording import worded


def add(connection: Connection, table: Table, values: Mapping[str, object], **owners: int | None) -> int:
    """The id of a new row. `values` are checked by the rules of `approx.records.tables.checks`, `owners` are ids."""
    result = connection.execute(insert(table).values(**checked(table.name, values), **owners))
    return new_id(result)


def new_id(result: CursorResult[Any]) -> int:
    """The id a row got when it was put in."""
    key = result.inserted_primary_key
    if key is None:
        raise ValueError("no single row was put in")
    return int(key[0])


def change(
    connection: Connection,
    table: Table,
    row_id: int,
    version: int,
    values: Mapping[str, object],
    current: Callable[[], StoredRow],
    **owners: int | None,
) -> None:
    """Save over version `version` of a row. Refused with the row as it is now if that is a later one."""
    statement = (
        update(table)
        .where(table.c.id == row_id, table.c.version == version, table.c.trashed == "")
        .values(**checked(table.name, values), **owners, version=version + 1)
    )
    if connection.execute(statement).rowcount != 1:
        raise conflict(current())


def conflict(current: StoredRow) -> RefusalError:
    """What is refused when a row was saved meanwhile."""
    hint = "look at what is there now, then save again"
    return RefusalError(Problem("records.conflict", "this has been changed in another window", hint), current=current)


def in_use(connection: Connection, table: Table, row_id: int, what: str) -> schema.FoundRow:
    """The row with an id. Refused if there is none, or if it or its child is deleted."""
    row = connection.execute(select(table).where(table.c.id == row_id, table.c.trashed == "")).first()
    if row is None or not _child_in_use(connection, table, row):
        raise gone(what)
    return row


def gone(what: str) -> RefusalError:
    """What is refused where a row is not there any more."""
    return refusal(
        "gone", worded("this {what} no longer exists", what=what), "it may have been deleted; undo restores it"
    )


def _child_in_use(connection: Connection, table: Table, row: schema.FoundRow) -> bool:
    children = table.metadata.tables["children"]
    if "child_id" not in table.c:
        return True
    found = connection.execute(select(children.c.trashed).where(children.c.id == row.child_id)).scalar()
    return found == ""
