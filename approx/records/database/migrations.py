"""A file of an earlier version brought up to the present one, a copy of it made first.

A numbered list of steps and SQLite's own `user_version`, not Alembic: there is one file with one writer at its start,
the number stands in the file's header and changes in the same transaction as the tables, and Alembic would add a
folder of scripts, a configuration and a third of a second to a program that answers within one second.

Step n turns version n into n + 1 with statements of that time: it never uses `approx.records.database.schema`, which moves on.

1  the first layout
2  trials name the form aimed at (before: whatever was chosen at the time) and the mark of the tap
3  notes in four parts (before: one text); phases name the sets in treatment
4  pictures of a child's own words; deleted rows of the large tables have an index
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, Engine

from approx.problems import Problem
from approx.records.database.connection import RawConnection
from approx.records.database.copies import write_copy
from approx.records.database.refusals import refusal
from approx.wording import worded


def _form_in_trials(connection: Connection) -> None:
    """The form aimed at is the one chosen last on or before the day of the session, else the adult form."""
    run = connection.exec_driver_sql
    run("ALTER TABLE trials ADD COLUMN form TEXT DEFAULT '' NOT NULL")
    run("ALTER TABLE trials ADD COLUMN \"key\" TEXT DEFAULT '' NOT NULL")
    run("CREATE UNIQUE INDEX one_key ON trials (session_id, \"key\", number) WHERE key <> ''")
    run(
        "UPDATE trials SET form = coalesce("
        " (SELECT c.ipa FROM choices c JOIN targets t ON t.child_id = c.child_id AND t.word = c.word"
        "  JOIN sessions s ON s.id = trials.session_id"
        "  WHERE t.id = trials.target_id AND c.trashed = '' AND c.date <= s.date ORDER BY c.date DESC, c.id DESC LIMIT 1),"
        " (SELECT adult FROM targets t WHERE t.id = trials.target_id), '')"
    )


def _notes_in_four_parts(connection: Connection) -> None:
    """The one text of an older note becomes its first part: no program can say which of the four it was."""
    run = connection.exec_driver_sql
    for part in ("objective", "assessment", "plan"):
        run(f"ALTER TABLE notes ADD COLUMN {part} TEXT DEFAULT '' NOT NULL")
    run("ALTER TABLE notes RENAME COLUMN text TO subjective")
    run("ALTER TABLE phases ADD COLUMN word_sets TEXT DEFAULT '[]' NOT NULL")


def _pictures_of_words(connection: Connection) -> None:
    """A new table, empty, and indexes."""
    run = connection.exec_driver_sql
    run(
        "CREATE TABLE pictures ("
        " id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, version INTEGER DEFAULT 1 NOT NULL,"
        " trashed TEXT DEFAULT '' NOT NULL, child_id INTEGER NOT NULL, word TEXT COLLATE \"NOCASE\" NOT NULL,"
        " image TEXT NOT NULL, made TEXT DEFAULT '' NOT NULL,"
        " FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE)"
    )
    run("CREATE UNIQUE INDEX one_picture ON pictures (child_id, word) WHERE trashed = ''")
    for table in ("trials", "probes", "sessions"):
        run(f"CREATE INDEX deleted_{table} ON {table} (trashed) WHERE trashed > ''")


STEPS: Sequence[Callable[[Connection], None]] = (_form_in_trials, _notes_in_four_parts, _pictures_of_words)


def bring_up(engine: Engine, path: Path, connect: Callable[[Path], RawConnection]) -> tuple[Problem, ...]:
    """Run the steps that are missing, all or none; a remark names the copy. Refused if a step fails.

    `connect` opens a raw connection to a file, with the passphrase of this one.
    """
    with engine.connect().execution_options(approx_begin="BEGIN IMMEDIATE") as connection, connection.begin():
        version = int(connection.exec_driver_sql("PRAGMA user_version").scalar() or 0)
        if version > len(STEPS):
            return ()  # another window was quicker
        copy = _copy(path, version, connect)
        for number, step in enumerate(STEPS[version - 1 :], version):
            step(connection)
            connection.exec_driver_sql(f"PRAGMA user_version = {number + 1}")
        if connection.exec_driver_sql("PRAGMA foreign_key_check").fetchone():
            message = "the file could not be updated; it is unchanged"
            raise refusal("migration", message, worded("a copy is {name}", name=copy.name))
    message = worded("the file was updated; a copy of the old one is {name}", name=copy.name)
    return (Problem("records.migrated", message, "delete the copy when all is well", fatal=False),)


def _copy(path: Path, version: int, connect: Callable[[Path], RawConnection]) -> Path:
    """A whole copy beside the file, made while nobody else may write, over a connection that only reads."""
    copy = path.with_name(f"{path.name}.copy-{datetime.now(UTC):%Y%m%d-%H%M%S-%f}-v{version}")
    if not write_copy(path, copy, connect):
        raise refusal("migration", "the copy is incomplete; nothing was changed", "check the disk")
    return copy
