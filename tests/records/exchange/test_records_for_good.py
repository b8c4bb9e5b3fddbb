"""Deleted for good: each guard of it is taken out in turn, and what it guards against is then found."""

from __future__ import annotations

import os
import sqlite3
import threading
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from filled_caseload import code_of, fill, filled, opened, sure, tap
from statements import statements_of
from test_records_export import packed

from approx.records.caseload import Caseload
from approx.records.database import connection, copies, locked
from approx.records.exchange import archive
from approx.records.tables import trash

SECRET = "a sentence that stands nowhere else "


def bytes_of(caseload: Caseload) -> bytes:
    return b"".join(path.read_bytes() for path in caseload.path.parent.iterdir() if path.name.startswith("caseload"))


def purged(folder: Path) -> bool:
    """True if a note that was deleted a day ago has left the file without a trace when it is opened anew."""
    caseload = filled(folder / "caseload.sqlite")
    notes = [sure(caseload.add_note("K07", subjective=SECRET * 20)) for _ in range(5)]
    for note in notes[1:4]:
        sure(caseload.delete_note(note.id))
    with caseload._writing() as raw:
        raw.exec_driver_sql("UPDATE notes SET trashed = '2020-01-01T00:00:00.x' || id WHERE trashed <> ''")
    caseload.close()
    again = opened(caseload.path)
    again.close()
    return caseload.path.read_bytes().count(SECRET.encode()) == 40


def test_what_is_purged_is_overwritten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert purged(tmp_path)
    (tmp_path / "without").mkdir()
    without = tuple(setting for setting in connection._SETTINGS if "secure_delete" not in setting)
    monkeypatch.setattr(connection, "_SETTINGS", (*without, "secure_delete = OFF"))
    assert not purged(tmp_path / "without")  # so the test sees it where it is taken out


def test_every_connection_has_its_settings(tmp_path: Path) -> None:
    """`synchronous` cannot be seen by killing a program, only by cutting the power: so it is asked for."""
    for passphrase in (None, "six mud pies"):
        caseload = opened(tmp_path / f"{passphrase}.sqlite", passphrase)
        for found in (caseload._reading, caseload._writing):
            with found() as one:
                asked = [one.exec_driver_sql(f"PRAGMA {name}").scalar() for name in (
                    "synchronous", "secure_delete", "foreign_keys", "journal_mode", "temp_store", "trusted_schema")]  # fmt: skip
                assert asked == [2, 1, 1, "wal", 2, 0]
        caseload.close()


def test_no_free_page_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def free_pages(folder: Path) -> int:
        caseload = filled(folder / "caseload.sqlite")
        fill(caseload, "M12")
        for _ in range(20):
            sure(caseload.add_note("M12", subjective=SECRET * 500))
        sure(caseload.copy_today())
        answer = sure(caseload.delete_child_for_good("M12"))
        assert answer.remarks == ()
        assert SECRET.encode() not in bytes_of(caseload)  # the new copy of the day among them
        with closing(sqlite3.connect(caseload.path)) as raw:
            pages = int(raw.execute("PRAGMA freelist_count").fetchone()[0])
        caseload.close()
        return pages

    assert free_pages(tmp_path) == 0
    (tmp_path / "without").mkdir()
    monkeypatch.setattr(trash.Trash, "sweep", lambda self: self.settle())
    assert free_pages(tmp_path / "without") > 0


@pytest.mark.slow
def test_copies_and_the_file_before_a_passphrase_are_overwritten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def old_content(folder: Path, change: Callable[[Caseload], object]) -> bytes:
        caseload = filled(folder / "caseload.sqlite")
        copy = sure(caseload.copy_today())
        caseload.settle()
        assert copy is not None
        for number, file in enumerate((copy, caseload.path)):
            os.link(file, folder / f"{number}.link")  # a second name: the old content can be looked at afterwards
        change(caseload)
        caseload.close()
        return b"".join((folder / f"{number}.link").read_bytes() for number in range(2))

    def lock(caseload: Caseload) -> None:
        assert caseload.set_passphrase("six mud pies") is None

    assert not old_content(tmp_path, lock).strip(b"\0")
    (tmp_path / "without").mkdir()
    monkeypatch.setattr(copies, "zero", lambda stream: None)
    monkeypatch.setattr(locked, "zero", lambda stream: None)
    assert b"likes the garden" in old_content(tmp_path / "without", lock)


@pytest.mark.slow
def test_a_reader_that_goes_is_waited_for_and_one_that_stays_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    fill(caseload, "M12")
    other = sqlite3.connect(caseload.path, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN")
    other.execute("SELECT count(*) FROM children").fetchone()
    threading.Timer(1.0, lambda: other.execute("COMMIT")).start()
    begun = time.monotonic()
    assert sure(caseload.delete_child_for_good("M12")).remarks == () and time.monotonic() - begun > 0.8
    monkeypatch.setattr(trash, "PATIENCE_SECONDS", 0.3)
    other.execute("BEGIN")
    other.execute("SELECT count(*) FROM children").fetchone()
    remarks = sure(caseload.delete_child_for_good("K07")).remarks
    assert [remark.code for remark in remarks] == ["records.traces"] and "caseload.sqlite-wal" in remarks[0].message
    assert caseload.unswept and b"likes the garden" in bytes_of(caseload)
    other.close()
    assert caseload.sweep() and not caseload.unswept and b"likes the garden" not in bytes_of(caseload)
    caseload.close()


@pytest.mark.slow
def test_the_ratio_of_a_zip_is_what_refuses_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Good rows that were packed too tightly; with the limit out, they are taken in."""
    rows = "".join(f"Q{number:05},en-US,{'a' * 900}\r\n" for number in range(5000))
    data = packed(children_csv="code,languages,note\r\n" + rows)
    caseload = opened(tmp_path / "a.sqlite")
    assert code_of(caseload.import_zip(data)) == "records.bomb" and sure(caseload.children()) == ()
    monkeypatch.setattr(archive, "TIGHTEST", 10_000)
    assert len(sure(caseload.import_zip(data)).codes) == 5000
    caseload.close()


def test_a_tap_is_one_transaction_of_at_most_eight_statements(tmp_path: Path) -> None:
    """Its BEGIN and COMMIT counted with them; the same tap sent again, and the tap taken back, too."""
    caseload = filled(tmp_path / "caseload.sqlite")
    session, target = sure(caseload.sessions("K07"))[0], sure(caseload.targets("K07"))[0]
    taps: list[Callable[[], object]] = [
        lambda: tap(caseload, session.id, target.id, "none", 2, key="a tap"),
        lambda: tap(caseload, session.id, target.id, "none", 2, key="a tap"),
        lambda: sure(caseload.undo_trial(session.id)),
    ]
    for each in taps:
        with statements_of(caseload) as said:
            each()
        assert [text for text in said if text.startswith(("BEGIN", "COMMIT"))] == ["BEGIN IMMEDIATE", "COMMIT"]
        assert said[0] == "BEGIN IMMEDIATE" and said[-1] == "COMMIT" and 4 <= len(said) <= 8, said
    caseload.close()


def test_the_settings_are_asked_for_whatever_the_library_does_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some builds of SQLite overwrite what is deleted and wait for the disk unasked; ours may be another one."""
    said: list[list[str]] = []

    class Told(sqlite3.Connection):
        def execute(self, statement: str, *values: Any) -> sqlite3.Cursor:
            said[-1].append(statement)
            return super().execute(statement, *values)

    def connect(*given: Any, **more: Any) -> sqlite3.Connection:
        said.append([])
        made: sqlite3.Connection = plain(*given, factory=Told, **more)
        return made

    plain = sqlite3.connect
    monkeypatch.setattr(connection.sqlite3, "connect", connect)
    raw = connection.Connector(tmp_path / "a.sqlite", None).connect()
    raw.close()
    (one,) = said
    assert {
        "PRAGMA secure_delete = ON",
        "PRAGMA synchronous = FULL",
        "PRAGMA journal_mode = WAL",
        "PRAGMA foreign_keys = ON",
    } <= set(one)


def test_what_is_overwritten_reaches_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[bytes] = []
    file = tmp_path / "a"
    file.write_bytes(b"secret" * 300_000)
    monkeypatch.setattr(os, "fsync", lambda number: synced.append(file.read_bytes()))
    with file.open("r+b") as stream:
        copies.zero(stream)
    assert synced == [bytes(1_800_000)]  # all of it was zero by then, and no byte was added


def test_an_export_that_unfolds_to_more_than_a_caseload(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    data = packed(children_csv="code,languages,note\r\n" + "Q1,en-US,a\r\n")
    caseload = opened(tmp_path / "a.sqlite")
    monkeypatch.setattr(archive, "MOST_BYTES", 20)
    assert code_of(caseload.import_zip(data)) == "records.bomb"
    monkeypatch.setattr(archive, "MOST_BYTES", 2_000)
    assert len(sure(caseload.import_zip(data)).codes) == 1
    caseload.close()
