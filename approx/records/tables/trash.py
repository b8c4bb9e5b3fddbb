"""Every delete can be undone: a deleted row is marked with a token, and goes for good when the file is opened a day later.

A child can be deleted for good at once: its rows, the free pages they stood on, the log, and older copies of the file.
"""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from time import monotonic, sleep

from sqlalchemy import ColumnElement, Connection, Table, delete, func, literal_column, select, text, update
from sqlalchemy.exc import DBAPIError, IntegrityError

from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.copies import copies, erase
from approx.records.database.daily_copy import DailyCopy
from approx.records.database.refusals import answered, refusal
from approx.records.database.rows import Erased, Refused, Trashed
from approx.records.database.store import SETTLING_MILLISECONDS, patience
from approx.records.tables.checks import clean_code
from approx.records.tables.versions import gone, in_use
from approx.wording import enumerated, worded

TIME_KEPT = timedelta(days=1)
PATIENCE_SECONDS = 5.0
"""How long deleting for good waits for other windows."""

_KINDS: dict[str, Table] = {
    "trial": schema.trials, "note": schema.notes, "goal": schema.goals, "phase": schema.phases, "picture": schema.pictures,
    "probe": schema.probes, "choice": schema.choices, "sample": schema.samples,
    "session": schema.sessions, "target": schema.targets, "child": schema.children,
}  # fmt: skip
"""In an order in which they can go: what refers to a row before the row itself."""


def put_away(connection: Connection, table: Table, row_id: int, kind: str, label: str) -> Trashed:
    """Mark a row as deleted. Refused if it is gone already."""
    in_use(connection, table, row_id, kind)
    token = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%S}.{secrets.token_hex(8)}"
    connection.execute(update(table).where(table.c.id == row_id).values(trashed=token))
    return Trashed(token, kind, label)


class Trash(DailyCopy):
    """What was deleted, and how it comes back or goes for good. `unswept`: traces of it wait for another window."""

    unswept = False
    _free_pages = False

    @answered
    def restore(self, token: str) -> Trashed:
        """Bring back what was deleted under a token."""
        with self._writing() as connection:
            for kind, table in _KINDS.items():
                row = connection.execute(select(table).where(table.c.trashed == token, _is_away(table))).first()
                if row is not None:
                    _owner_is_there(connection, row)
                    try:
                        connection.execute(update(table).where(table.c.id == row.id).values(trashed=""))
                        _targets_of_trials(connection)
                    except IntegrityError:
                        hint = worded("change or delete the {kind} that is there now, then undo again", kind=kind)
                        raise refusal("taken", worded("another {kind} has taken its place", kind=kind), hint) from None
                    return Trashed("", kind, getattr(row, "code", kind))
        raise refusal("gone", "that can no longer be restored", "what is deleted is kept for one day")

    @answered
    def deleted(self, code: str = "") -> tuple[Trashed, ...]:
        """What was deleted and can still be brought back, latest first; of one child, or of all."""
        wanted = clean_code(code) if code else ""
        found: list[Trashed] = []
        with self._reading() as connection:
            for kind, table in _KINDS.items():
                for row in connection.execute(_away(table)):
                    if wanted and row.code.casefold() != wanted.casefold():
                        continue
                    found.append(Trashed(row.trashed, kind, _label(connection, kind, row), row.code, row.trashed[:19]))
        return tuple(sorted(found, key=lambda each: each.at, reverse=True))

    @answered
    def delete_child_for_good(self, code: str) -> Erased:
        """Delete a child and all that belongs to it, put away or not, so that no byte of it is left in the file.

        Copies of the file are overwritten and removed, for they hold the child too; a new one is made.
        """
        table, wanted = schema.children, clean_code(code)
        with self._writing() as connection:
            ids = [row.id for row in connection.execute(select(table.c.id).where(table.c.code == wanted))]
            if not ids:
                raise refusal(
                    "no_child", worded("there is no child '{wanted}'", wanted=wanted), "look at the caseload", wanted
                )
            before = _rows(connection)
            connection.execute(delete(table).where(table.c.id.in_(ids)))
            rows = before - _rows(connection)
        return self._erased(wanted, rows)

    @answered
    def delete_picture_for_good(self, picture_id: int) -> Erased:
        """Delete a picture, put away or not, as `delete_child_for_good` deletes a child: no byte of it is left."""
        table = schema.pictures
        with self._writing() as connection:
            word = connection.execute(select(table.c.word).where(table.c.id == picture_id)).scalar()
            if word is None:
                raise gone("picture")
            connection.execute(delete(table).where(table.c.id == picture_id))
        return self._erased(str(word), 1)

    def _erased(self, what: str, rows: int) -> Erased:
        """Traces of deleted rows taken out of the file, and the copies that hold them removed."""
        removed = []
        for copy in copies(self.path):
            erase(copy)
            removed.append(copy.name)
        remarks = self._swept(PATIENCE_SECONDS)
        fresh = self.copy_today()  # without the child, for the copies of the others went too
        if isinstance(fresh, Refused):
            remarks += tuple(replace(problem, fatal=False) for problem in fresh.problems)
        return Erased(what, rows, tuple(removed), remarks)

    def purge(self) -> None:
        """Remove what was deleted more than a day ago."""
        with self._reading() as connection:
            if connection.execute(_ANY_OLD, {"before": _kept_since()}).first() is None:
                return
        with self._writing() as connection:
            for table in _KINDS.values():
                old = _old(table)
                if table is schema.targets:  # a trial keeps its target
                    old &= ~select(schema.trials.c.id).where(schema.trials.c.target_id == table.c.id).exists()
                connection.execute(delete(table).where(old))

    def sweep(self) -> bool:
        """Write the file anew without its free pages, and empty the log; False if another window keeps it from it."""
        if self._free_pages:
            try:
                with self._bare() as connection, patience(connection, SETTLING_MILLISECONDS):
                    connection.exec_driver_sql("VACUUM")
            except DBAPIError:
                return False
            self._free_pages = False
        swept = self.settle()
        self.unswept = not swept
        return swept

    def _swept(self, seconds: float) -> tuple[Problem, ...]:
        """Sweep until no other window is in the way; a remark says what remains where one is for longer."""
        self.unswept = self._free_pages = True
        last = monotonic() + seconds
        while not self.sweep():
            if monotonic() > last:
                what = enumerated(" and ", (self.path.name, f"{self.path.name}-wal"))
                message = worded(
                    "another window has the file open; traces of what was deleted remain in {what}", what=what
                )
                hint = "they are removed when that window is closed: at once while this desk is open, otherwise when it is next closed"
                return (Problem("records.traces", message, hint, fatal=False),)
            sleep(0.1)
        return ()


def _is_away(table: Table) -> ColumnElement[bool]:
    """True for a deleted row, in the words of the indexes of such rows."""
    return table.c.trashed > literal_column("''")


def _rows(connection: Connection) -> int:
    tables = schema.METADATA.tables.values()
    return sum(int(connection.execute(select(func.count()).select_from(table)).scalar_one()) for table in tables)


def _away(table: Table) -> schema.Query:
    """Deleted rows of a table with the code of their child."""
    children = schema.children
    if table is children:
        return select(table).where(_is_away(table))
    if table is schema.trials:
        sessions = schema.sessions
        joined = table.join(sessions, sessions.c.id == table.c.session_id).join(children)
        return select(table, children.c.code).select_from(joined).where(_is_away(table))
    return select(table, children.c.code).join(children).where(_is_away(table))


def _label(connection: Connection, kind: str, row: schema.FoundRow) -> str:
    """What a person knows the row by."""
    if kind == "trial":
        return str(
            connection.execute(select(schema.targets.c.word).where(schema.targets.c.id == row.target_id)).scalar_one()
        )
    names = {"session": "number", "target": "word", "choice": "word", "goal": "text", "phase": "name", "child": "code",
             "probe": "word_set", "picture": "word", "sample": "title", "note": "date"}  # fmt: skip
    text = str(getattr(row, names[kind])) or str(getattr(row, "date", ""))
    return text if len(text) <= 60 else text[:59] + "…"


def _old(table: Table) -> ColumnElement[bool]:
    return _is_away(table) & (table.c.trashed < _kept_since())


def _kept_since() -> str:
    return f"{datetime.now(UTC) - TIME_KEPT:%Y-%m-%dT%H:%M:%S}"


_ANY_OLD = text(
    " UNION ALL ".join(
        f"SELECT 1 FROM {table.name} WHERE trashed > '' AND trashed < :before" for table in _KINDS.values()
    )
    + " LIMIT 1"
)
"""Whether anything is there to purge, asked of all tables at once: every start of the desk asks it."""


def _owner_is_there(connection: Connection, row: schema.FoundRow) -> None:
    """What belongs to something deleted comes back after that."""
    owners = ((schema.sessions, "session_id", "session"), (schema.children, "child_id", "child"))
    for table, column, what in owners:
        owner = getattr(row, column, None)
        if owner is None or (column == "session_id" and hasattr(row, "child_id")):  # a note stands without its session
            continue
        if connection.execute(select(table.c.trashed).where(table.c.id == owner)).scalar() != "":
            raise refusal(
                "owner_gone",
                worded("the {what} it belongs to is deleted", what=what),
                worded("restore the {what} first", what=what),
            )


def _targets_of_trials(connection: Connection) -> None:
    """Targets of trials that came back come back too."""
    trials, sessions, targets = schema.trials, schema.sessions, schema.targets
    tried = (
        select(trials.c.id)
        .join(sessions, sessions.c.id == trials.c.session_id)
        .where(trials.c.target_id == targets.c.id, trials.c.trashed == "", sessions.c.trashed == "")
        .correlate(targets)
        .exists()
    )
    connection.execute(update(targets).where(targets.c.trashed != "", tried).values(trashed=""))
