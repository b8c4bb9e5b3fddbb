"""Connections to the file: how SQLite is set, and the encrypting build of it for a file with a passphrase."""

from __future__ import annotations

import hashlib
import sqlite3
from pathlib import Path
from threading import Lock
from types import ModuleType
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

from approx.records.database.refusals import refusal

RawConnection = sqlite3.Connection
"""A connection to either build of SQLite: the encrypting one has the same methods."""

WAIT_SECONDS = 10
WRITE: dict[str, Any] = {"approx_begin": "BEGIN IMMEDIATE"}
"""A writer asks for the right to write at once: two of them then wait for each other instead of failing halfway."""
BARE: dict[str, Any] = {"approx_begin": ""}
"""No transaction, for the statements that stand outside of any."""

_SETTINGS = (
    "foreign_keys = ON",
    "journal_mode = WAL",
    "synchronous = FULL",
    "secure_delete = ON",
    "temp_store = MEMORY",
    "trusted_schema = OFF",
)
_ROUNDS, _KEY_BYTES = 256_000, 32
"""Of SQLCipher 4: PBKDF2 with HMAC-SHA512, the salt in the first bytes of the file (its documentation, "Design")."""


class Connector:
    """Opens connections to one file. The slow way from a passphrase to a key is gone once or twice, not each time."""

    def __init__(self, path: Path, passphrase: str | None) -> None:
        self.path, self.passphrase = path, passphrase
        self._salt = self._key = ""
        self._deriving = Lock()

    def connect(self, path: Path | None = None) -> RawConnection:
        """A raw connection, set up; to another file with the same passphrase if one is named."""
        module = sqlite3 if self.passphrase is None else cipher()
        place = str(path or self.path)
        raw: RawConnection = module.connect(place, timeout=WAIT_SECONDS, isolation_level=None, check_same_thread=False)
        try:
            if self.passphrase is not None:
                self._unlock(raw, path is None)
            for setting in _SETTINGS:
                raw.execute(f"PRAGMA {setting}")
            if self.passphrase is not None and path is None and not self._salt:
                self._salt = raw.execute("PRAGMA cipher_salt").fetchone()[0]
        except BaseException:
            raw.close()
            raise
        return raw

    def _unlock(self, raw: RawConnection, mine: bool) -> None:
        raw.execute("PRAGMA cipher_log_level = NONE")  # a wrong passphrase is our message, not a line on the terminal
        if mine and self._salt:
            raw.execute(f"PRAGMA key = \"x'{self._raw_key()}{self._salt}'\"")
        else:
            raw.execute(f"PRAGMA key = {quoted(self.passphrase or '')}")

    def _raw_key(self) -> str:
        with self._deriving:
            if not self._key:
                secret, salt = (self.passphrase or "").encode(), bytes.fromhex(self._salt)
                self._key = hashlib.pbkdf2_hmac("sha512", secret, salt, _ROUNDS, _KEY_BYTES).hex()
        return self._key


def new_engine(connector: Connector) -> Engine:
    """A pool of connections; a transaction begins as its execution option `approx_begin` says."""
    engine = create_engine(
        "sqlite://", module=sqlite3 if connector.passphrase is None else cipher(), creator=connector.connect,
        poolclass=QueuePool, pool_size=4, max_overflow=28, pool_use_lifo=True, hide_parameters=True,
    )  # fmt: skip

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        statement = connection.get_execution_options().get("approx_begin", "BEGIN")
        if statement:
            connection.exec_driver_sql(statement)

    return engine


def cipher() -> ModuleType:
    """The encrypting build of SQLite. Refused without the extra that brings it."""
    try:
        from sqlcipher3 import dbapi2
    except ImportError:
        message = "a passphrase needs a part that is not installed"
        raise refusal("no_cipher", message, "install approx with its [locked] extra") from None
    module: ModuleType = dbapi2
    return module


def quoted(text: str) -> str:
    """A text as SQL writes it, for the few statements that take no parameter."""
    return "'" + text.replace("'", "''") + "'"
