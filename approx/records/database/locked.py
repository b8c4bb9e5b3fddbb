"""The passphrase: the whole file encrypted (SQLCipher), the log too, nothing readable left beside it.

The file is written anew under the new passphrase while nobody else may have it open, checked, and put in the place of
the old one in one step; so a kill at any moment leaves either the old file or the new one, whole. Copies made before
the file was brought up to date go, for they are readable without the passphrase or with an old one. The old content
is overwritten before the disk gets it back; what a disk keeps of its own accord, no program can reach.
"""

from __future__ import annotations

import hmac
import os
import sqlite3
from pathlib import Path
from types import ModuleType

from approx.records.database.connection import RawConnection, cipher, quoted
from approx.records.database.copies import copies, erase, zero
from approx.records.database.opening import NEW_ENDING
from approx.records.database.refusals import RefusalError, answered, database_problem, refusal
from approx.records.database.store import Store
from approx.wording import worded

SHORTEST = 8


class Lock(Store):
    """Sets, changes and takes off the passphrase of an open caseload."""

    @answered
    def set_passphrase(self, new: str) -> None:
        """Lock the file with a passphrase, or change the one it has. Refused while another window has it open."""
        if len(new) < SHORTEST or "\x00" in new:
            message = worded("a passphrase has at least {shortest} characters", shortest=SHORTEST)
            raise refusal(
                "passphrase", message, "several words are easy to remember; a lost passphrase cannot be recovered"
            )
        self._rewrite(new)

    @answered
    def remove_passphrase(self) -> None:
        """Write the file without a passphrase again."""
        if self.locked:
            self._rewrite(None)

    def is_passphrase(self, given: str) -> bool:
        """True for the passphrase the file has now, for a page that asks who changes it."""
        return self._passphrase is not None and hmac.compare_digest(given.encode(), self._passphrase.encode())

    def _rewrite(self, new: str | None) -> None:
        old, place = self._passphrase, self.path.with_name(self.path.name + NEW_ENDING)
        engine, file = self._now
        self._same_file(file)
        engine.dispose()
        then = old
        try:
            _replace(self.path, place, old, new)
            then = new
        except (sqlite3.DatabaseError, cipher().DatabaseError) as error:
            problem = database_problem(str(error))
            if problem.code != "records.busy":
                raise RefusalError(problem) from None
            raise refusal("busy", "the file is open in another window", "close it there and try again") from None
        finally:
            for left in self.path.parent.glob(place.name + "*"):
                left.unlink()
            self._open(then)
        for copy in copies(self.path):
            erase(copy)


def _replace(path: Path, place: Path, old: str | None, new: str | None) -> None:
    """Put a file under the new passphrase in the place of the old one."""
    # two builds of SQLite in one program do not see each other's locks: the one that others use keeps them out
    guard = _connection(path, old, sqlite3 if old is None else cipher())
    raw = _connection(path, None, cipher()) if old is None else guard
    try:
        _alone(guard)
        _write_anew(raw, place, new)
        if os.name == "nt":  # no open file can be replaced there, so nobody else can have it open either
            raw.close()
            guard.close()
            os.replace(place, path)
            return
        # held open over the exchange, so that the old content can still be reached
        with path.open("r+b") as before:
            os.replace(place, path)
            _sync_folder(path.parent)
            zero(before)
    finally:
        raw.close()
        guard.close()


def _connection(path: Path, passphrase: str | None, module: ModuleType) -> RawConnection:
    raw: RawConnection = module.connect(str(path), timeout=2, isolation_level=None)
    if module is not sqlite3:
        raw.execute("PRAGMA cipher_log_level = NONE")
    if passphrase is not None:
        raw.execute(f"PRAGMA key = {quoted(passphrase)}")
    raw.execute("PRAGMA temp_store = MEMORY")
    return raw


def _alone(guard: RawConnection) -> None:
    """Keep everybody else out until the connection is closed, with nothing left in a log. Fails if somebody is there."""
    guard.execute("PRAGMA journal_mode = DELETE")
    guard.execute("PRAGMA locking_mode = EXCLUSIVE")
    guard.execute("BEGIN EXCLUSIVE")  # nothing is written in it, so no journal with old content comes to be
    guard.execute("COMMIT")
    if guard.execute("PRAGMA journal_mode").fetchone()[0] != "delete":  # somebody came in between the two
        raise sqlite3.OperationalError("database is locked")


def _write_anew(raw: RawConnection, place: Path, new: str | None) -> None:
    """The content under the new passphrase, in a file of its own, on the disk and found whole."""
    os.close(os.open(place, os.O_CREAT | os.O_TRUNC | os.O_RDWR, 0o600))
    raw.execute(f"ATTACH DATABASE {quoted(str(place))} AS anew KEY {quoted(new or '')}")
    raw.execute("SELECT sqlcipher_export('anew')")
    for mark in ("application_id", "user_version"):
        value = raw.execute(f"PRAGMA main.{mark}").fetchone()[0]
        raw.execute(f"PRAGMA anew.{mark} = {int(value)}")
    counts = _counts(raw, "main") == _counts(raw, "anew")
    raw.execute("DETACH DATABASE anew")
    other = _connection(place, new, cipher())
    try:
        if not counts or other.execute("PRAGMA integrity_check").fetchone()[0] != "ok":
            raise refusal("disk", "the new file is incomplete; the old one was kept", "check the disk")
    finally:
        other.close()
    with place.open("r+b") as stream:
        os.fsync(stream.fileno())


def _counts(raw: RawConnection, database: str) -> list[tuple[str, int]]:
    names = [row[0] for row in raw.execute(f"SELECT name FROM {database}.sqlite_master WHERE type = 'table'")]
    return sorted((name, raw.execute(f'SELECT count(*) FROM {database}."{name}"').fetchone()[0]) for name in names)


def _sync_folder(folder: Path) -> None:
    """The new name of the file on the disk, too."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
