"""One file is the whole caseload; a dated copy a day; kills in the midst of a copy; two windows on one file."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

import pytest
from filled_caseload import code_of, filled, opened, sure, tap
from places import ROOT

from approx.records.caseload import open_caseload
from approx.records.database import daily_copy
from approx.records.database.copies import daily_copies
from approx.records.database.daily_copy import COPIES_KEPT, restore_copy
from approx.records.database.rows import Refused

COPIER = """
import sys
from pathlib import Path
from approx.records.caseload import open_caseload
caseload = open_caseload(Path(sys.argv[1]))
print("ready", flush=True)
while True:
    made = caseload.copy_today()
    assert made is not None, made
    print("made", flush=True)
    made.rename(made.with_name("kept"))
"""


def tries_in(path: Path) -> int:
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        return int(raw.execute("SELECT count(*) FROM trials").fetchone()[0])


def test_settled_the_file_alone_is_the_caseload(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    session, target = sure(caseload.sessions("K07"))[0], sure(caseload.targets("K07"))[0]
    for _ in range(100):
        tap(caseload, session.id, target.id, "none", 2)
    log = Path(f"{caseload.path}-wal")
    assert log.stat().st_size > 0
    assert caseload.settle() and log.stat().st_size == 0
    alone = tmp_path / "alone" / "caseload.sqlite"
    alone.parent.mkdir()
    shutil.copyfile(caseload.path, alone)
    assert tries_in(alone) == 104
    caseload.close()


def test_while_another_window_reads_it_is_not_settled_and_nothing_is_lost(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    with closing(sqlite3.connect(caseload.path, isolation_level=None)) as other:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM children").fetchone()
        sure(caseload.add_goal("K07", "one more"))
        begun = time.monotonic()
        assert not caseload.settle()
        assert time.monotonic() - begun < 2  # a tap does not wait for the other window
        other.execute("COMMIT")
    assert caseload.settle()
    assert [goal.text for goal in sure(caseload.goals("K07"))][-1] == "one more"
    caseload.close()


@pytest.mark.parametrize("passphrase", [None, pytest.param("six mud pies", marks=pytest.mark.slow)])
def test_the_copy_of_the_day(tmp_path: Path, passphrase: str | None) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    if passphrase is not None:
        assert caseload.set_passphrase(passphrase) is None
    sure(caseload.add_goal("K07", "still in the log"))
    made = sure(caseload.copy_today())
    assert made is not None and made.name == f"caseload.sqlite.copy-{date.today().isoformat()}"
    assert sure(caseload.copy_today()) is None  # once a day
    assert made.stat().st_mode & 0o077 == 0
    assert (b"likes the garden" in made.read_bytes()) == (passphrase is None)
    assert caseload.safekeeping().copies == (date.today().isoformat(),) and caseload.safekeeping().saved
    assert {path.name for path in tmp_path.iterdir()} - {made.name} <= {
        "caseload.sqlite", "caseload.sqlite-wal", "caseload.sqlite-shm",
    }  # fmt: skip
    caseload.close()
    made.rename(tmp_path / "restored.sqlite")
    again = opened(tmp_path / "restored.sqlite", passphrase)
    assert [goal.text for goal in sure(again.goals("K07"))][-1] == "still in the log" and again.check() is None
    again.close()


def test_fourteen_are_kept(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    days = [(date.today() - timedelta(days=back)).isoformat() for back in range(1, 20)]
    for day in days:
        (tmp_path / f"caseload.sqlite.copy-{day}").write_bytes(b"x")
    earlier = tmp_path / "caseload.sqlite.copy-20260101-120000-000000-v2"
    earlier.write_bytes(b"made before a migration")
    sure(caseload.copy_today())
    assert list(daily_copies(caseload.path)) == [date.today().isoformat(), *days[: COPIES_KEPT - 1]]
    assert earlier.exists()
    caseload.close()


def test_no_copy_of_a_damaged_file_pushes_out_a_good_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    caseload.close()
    good = tmp_path / "caseload.sqlite.copy-2026-01-01"
    shutil.copyfile(caseload.path, good)
    monkeypatch.setattr(daily_copy, "COPIES_KEPT", 1)
    with caseload.path.open("r+b") as stream:  # a page in the midst of the file
        stream.seek(caseload.path.stat().st_size // 2 // 4096 * 4096)
        stream.write(b"\xa5" * 4096)
    again = open_caseload(caseload.path)
    if not isinstance(again, Refused):  # its first pages are whole
        assert code_of(again.copy_today()) == "records.damaged"
        again.close()
    assert list(daily_copies(caseload.path)) == ["2026-01-01"]
    assert not list(tmp_path.glob("*.part*"))


def test_a_damaged_file_offers_its_last_copy_and_takes_it(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    made = sure(caseload.copy_today())
    assert made is not None
    caseload.close()
    caseload.path.write_bytes(b"SQLite format 3\0" + bytes(range(256)) * 64)
    answer = open_caseload(caseload.path)
    assert code_of(answer) == "records.damaged" and isinstance(answer, Refused)
    assert made.name in answer.problems[0].hint
    kept = sure(restore_copy(caseload.path))
    assert kept.read_bytes()[16:32] == bytes(range(16)) and made.exists()
    again = opened(caseload.path)
    assert [line.child.code for line in sure(again.children())] == ["K07"] and again.check() is None
    again.close()


@pytest.mark.slow
def test_kills_in_the_automatic_copy_leave_whole_copies_alone(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    caseload.close()
    chance, whole = random.Random(3), 0
    for _ in range(30):
        command = [sys.executable, "-c", COPIER, str(caseload.path)]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as copier:
            assert copier.stdout is not None and copier.stdout.readline() == "ready\n"
            time.sleep(chance.random() / 2)
            copier.kill()
        for copy in (*daily_copies(caseload.path).values(), tmp_path / "kept"):
            if copy.exists():
                whole += 1
                assert tries_in(copy) == 4
                copy.unlink()
    assert whole > 5
    again = opened(caseload.path)
    sure(again.copy_today())
    again.close()
    assert not list(tmp_path.glob("*.part*"))  # what the killed ones left is gone
    assert again.path.exists() and len(daily_copies(caseload.path)) == 1


@pytest.mark.slow
@pytest.mark.parametrize("ending", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_desk_that_is_told_to_end_leaves_one_file(tmp_path: Path, ending: signal.Signals) -> None:
    from running_desk import RunningDesk

    caseload = filled(tmp_path / "caseload.sqlite")
    caseload.close()
    with RunningDesk(caseload.path) as desk:
        for number in range(100):
            assert desk.post("/session/1/trial", target=1, help="none", result=2, key=f"t{number}")[0].status < 400
        desk.process.send_signal(ending)
        assert desk.process.wait(20) == 0
    alone = tmp_path / "alone.sqlite"
    shutil.copyfile(caseload.path, alone)
    assert tries_in(alone) == 104
    assert not os.path.exists(f"{caseload.path}-wal")


@pytest.mark.slow
def test_a_desk_at_rest_leaves_one_file(tmp_path: Path) -> None:
    """A hundred taps, a breath, and the file copied alone while the desk runs on."""
    from running_desk import RunningDesk

    caseload = filled(tmp_path / "caseload.sqlite")
    caseload.close()
    with RunningDesk(caseload.path) as desk:
        for number in range(100):
            assert desk.post("/session/1/trial", target=1, help="none", result=2, key=f"t{number}")[0].status < 400
        time.sleep(2)
        alone = tmp_path / "alone.sqlite"
        shutil.copyfile(caseload.path, alone)
        assert tries_in(alone) == 104
        time.sleep(4)
        assert list(daily_copies(caseload.path)) == [date.today().isoformat()]
