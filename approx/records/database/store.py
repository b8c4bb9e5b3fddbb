"""The open file, read and written in transactions.

SQLite with a write-ahead log and `synchronous=FULL`: what was confirmed is on the disk, whatever happens to the
program. Deleted content is overwritten (`secure_delete`), and no temporary file is written (`temp_store=MEMORY`).
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from threading import local

from sqlalchemy import Connection
from sqlalchemy.exc import SQLAlchemyError

from approx.problems import Problem
from approx.records.database.connection import BARE, WAIT_SECONDS, WRITE
from approx.records.database.opening import opened_caseload
from approx.records.database.refusals import RefusalError, answered, refusal

SETTLING_MILLISECONDS = 200
"""How long moving the log into the file waits for others; a tap that comes meanwhile waits as long."""


class Store:
    """One open file. May be used from several threads; each call is a transaction of its own, but for those in `one_look`.

    `remarks`: what is to be said on opening it, such as that it was brought up to date.
    """

    remarks: tuple[Problem, ...]

    def __init__(self, path: Path, passphrase: str | None = None) -> None:
        """Open or make the file. Raises `RefusalError`; `open_caseload` turns it into a value."""
        self.path = path
        self._look = local()
        self._open(passphrase)

    @property
    def locked(self) -> bool:
        """True if the file is encrypted with a passphrase."""
        return self._passphrase is not None

    def close(self) -> None:
        """Let go of the file; what stood in the log is moved into it, if nobody else is at work on it."""
        self.settle()
        self._now[0].dispose()

    def settle(self) -> bool:
        """Move what stands in the log into the file, so that a copy of this one file is the whole caseload.

        False if another window is at work just now: nothing is lost then, and the next call does it.
        """
        try:
            with self._bare() as connection, patience(connection, SETTLING_MILLISECONDS):
                busy = connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        except (SQLAlchemyError, OSError):  # the file is gone, or cannot be written: what is in the log stays there
            return False
        return busy is not None and not busy[0]

    @answered
    def check(self) -> None:
        """Refused if SQLite finds fault with the file, or a row refers to one that is not there."""
        with self._reading() as connection:
            found = connection.exec_driver_sql("PRAGMA integrity_check").scalar()
            astray = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if found != "ok" or astray:
            raise refusal("damaged", "the file is damaged", "keep it, and open a copy made earlier")

    def _open(self, passphrase: str | None) -> None:
        engine, self.remarks = opened_caseload(self.path, passphrase)
        self._passphrase = passphrase
        self._now = engine, _identity(self.path)

    @contextmanager
    def one_look(self) -> Iterator[None]:
        """All that this thread reads in the block is one look at the file. It should be short: while it lasts the log cannot be
        moved into the file. What is saved in the block is saved, but not seen by its reads."""
        with ExitStack() as open_look:
            with suppress(RefusalError, SQLAlchemyError, OSError):  # each call of the block says so then
                self._look.connection = open_look.enter_context(self._reading())
            try:
                yield
            finally:
                self._look.connection = None

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        """One look at the file: everything read in it fits together."""
        held = getattr(self._look, "connection", None)
        if held is not None:
            yield held
            return
        engine, file = self._now
        with engine.connect() as connection:
            self._same_file(file)
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        """One transaction: on the disk when it ends well, nothing of it when it does not."""
        engine, file = self._now
        with engine.connect().execution_options(**WRITE) as connection, connection.begin():
            self._same_file(file)
            yield connection

    @contextmanager
    def _bare(self) -> Iterator[Connection]:
        """A connection without a transaction, for the statements that stand outside of any."""
        with self._now[0].connect().execution_options(**BARE) as connection:
            yield connection

    def _same_file(self, file: tuple[int, int] | None) -> None:
        """A file that was replaced, by a new passphrase in another window or by a copy, is written to no longer."""
        if _identity(self.path) != file:
            hint = "nothing was saved; close this and open it again"
            raise refusal("replaced", "the file has been replaced in the meantime", hint)


@contextmanager
def patience(connection: Connection, milliseconds: int) -> Iterator[None]:
    """How long a statement waits for other windows, for a time."""
    connection.exec_driver_sql(f"PRAGMA busy_timeout = {milliseconds}")
    try:
        yield
    finally:
        connection.exec_driver_sql(f"PRAGMA busy_timeout = {WAIT_SECONDS * 1000}")


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = os.stat(path)
    except FileNotFoundError:
        return None
    return found.st_dev, found.st_ino
