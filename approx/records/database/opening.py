"""What happens between a path and an open caseload: found (the file asked for, else APPROX_DESK, else the platform's place for a
program's data), made, recognised, unlocked, brought up to date.
"""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DatabaseError, OperationalError

from approx.problems import Problem
from approx.records.database.connection import WAIT_SECONDS, WRITE, Connector, cipher, new_engine
from approx.records.database.copies import copy_to_take
from approx.records.database.migrations import bring_up
from approx.records.database.refusals import RefusalError, refusal
from approx.records.database.schema import APPLICATION_ID, METADATA, VERSION
from approx.wording import worded

FILE_NAME = "caseload.sqlite"
SETTING = "APPROX_DESK"


def caseload_path(file: Path | None = None) -> Path:
    """The path of the caseload, whether there is one or not. A folder means the usual name in that folder."""
    if file is None:
        setting = os.environ.get(SETTING, "").strip()
        if setting:
            file = Path(setting).expanduser()
        else:
            from platformdirs import user_data_path

            file = user_data_path("approx", appauthor=False)
            return file / FILE_NAME
    return file / FILE_NAME if file.is_dir() else file


NEW_ENDING = ".new"
"""Ending of the file that a change of the passphrase writes."""

_HEAD, _PAGE = b"SQLite format 3\0", 4096
_FEWEST_RANDOM = 200
"""Different bytes in a page of an encrypted file, at the least: 4,096 draws among 256 leave out hardly one."""
_NOT_READ = ("not a database", "malformed", "encrypted")


def opened_caseload(path: Path, passphrase: str | None) -> tuple[Engine, tuple[Problem, ...]]:
    """An engine on a caseload that is as it should be, and what is to be said of it. Raises `RefusalError`, OSError."""
    if passphrase is not None and (not passphrase or "\x00" in passphrase):
        raise refusal("passphrase", "an empty passphrase locks nothing", "type one, or open without one")
    if path.is_dir():
        raise refusal("file", worded("'{name}' is a folder", name=path.name), "name a file")
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    for left in path.parent.glob(f"{path.name}{NEW_ENDING}*"):  # by a change of the passphrase that was cut off
        left.unlink()
    if not path.exists():  # for the eyes of its owner only, from the first byte on
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    _right_kind(path, passphrase)
    connector = Connector(path, passphrase)
    engine = new_engine(connector)
    try:
        return engine, _up_to_date(engine, connector)
    except DatabaseError as error:
        engine.dispose()
        if not any(words in str(error.orig) for words in _NOT_READ):
            raise
        if passphrase is not None:
            hint = worded(
                "check capital letters and spaces; if it is the right one, the file is damaged: {path}",
                path=copy_to_take(path),
            )
            raise refusal("wrong_passphrase", "the passphrase is wrong", hint) from None
        raise _damaged(path) from None
    except BaseException:
        engine.dispose()
        raise


def _right_kind(path: Path, passphrase: str | None) -> None:
    """A plain file opens without a passphrase, a locked one with it, an empty one either way.

    The file is looked at through SQLite alone: reading it beside an open connection would take away that one's locks.
    """
    if passphrase is not None:
        cipher()
    if not path.stat().st_size:
        return
    if _plain(path):
        if passphrase is not None:
            raise refusal("not_locked", "the file has no passphrase", "open it without one")
        return
    page = _first_page(path)
    encrypted = len(set(page)) >= _FEWEST_RANDOM
    if page.startswith(_HEAD) or (not encrypted and b"\0" in page):
        raise _damaged(path)
    if path.stat().st_size % _PAGE or not encrypted:  # an encrypted file is whole pages
        raise refusal("not_caseload", worded("'{name}' is not a caseload", name=path.name), "choose another file")
    if passphrase is None:
        raise refusal("locked", "the file is locked with a passphrase", "type the passphrase")


def _plain(path: Path) -> bool:
    raw = sqlite3.connect(str(path), timeout=WAIT_SECONDS)
    try:
        raw.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.DatabaseError as error:
        if any(words in str(error) for words in _NOT_READ):
            return False
        raise OperationalError("", {}, error) from None
    finally:
        raw.close()
    return True


_LOOKED_AT: dict[tuple[int, int], int] = {}


def _first_page(path: Path) -> bytes:
    """The beginning of a file that SQLite cannot read: its usual first bytes, if it is damaged further down; noise, if it is
    encrypted; anything else where its beginning is what was damaged, or where it is no caseload.

    Closing a file takes away all locks that this program has on it, so the one looked at stays open, once for each file.
    """
    found = os.stat(path)
    descriptor = _LOOKED_AT.get((found.st_dev, found.st_ino))
    if descriptor is None:
        descriptor = os.open(path, os.O_RDONLY)
    os.lseek(descriptor, 0, os.SEEK_SET)
    page = os.read(descriptor, _PAGE)
    if os.name == "nt":  # locks do not go there, and an open file could not be replaced
        os.close(descriptor)
    else:
        _LOOKED_AT[found.st_dev, found.st_ino] = descriptor
    return page


def _damaged(path: Path) -> RefusalError:
    return refusal("damaged", worded("'{name}' is damaged", name=path.name), copy_to_take(path))


def _up_to_date(engine: Engine, connector: Connector) -> tuple[Problem, ...]:
    with engine.connect() as connection:
        application, version = _marks(connection)
        tables = connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar()
    if application != APPLICATION_ID and tables:
        raise refusal(
            "not_caseload",
            worded("'{name}' is another program's file", name=connector.path.name),
            "choose another file",
        )
    if version > VERSION:
        message = worded(
            "the file is version {version}; this program reads up to version {version2}",
            version=version,
            version2=VERSION,
        )
        raise refusal("newer", message, "install a newer approx")
    if not tables:
        with engine.connect().execution_options(**WRITE) as connection, connection.begin():
            if _marks(connection)[0] != APPLICATION_ID:  # nobody else was quicker
                METADATA.create_all(connection, checkfirst=False)
                connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
                connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")
        return ()
    return bring_up(engine, connector.path, connector.connect) if version < VERSION else ()


def _marks(connection: Connection) -> tuple[int, int]:
    application = connection.exec_driver_sql("PRAGMA application_id").scalar()
    return int(application or 0), int(connection.exec_driver_sql("PRAGMA user_version").scalar() or 0)
