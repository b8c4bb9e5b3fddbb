"""Kills in the midst of an import and of a migration, a disk of 700 kB, two desks over one file: nothing is lost or halved."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest
from filled_caseload import code_of, filled, opened, sure, tap
from large_caseload import large
from places import ROOT

from approx.records.caseload import Caseload, open_caseload
from approx.records.database.copies import copies
from approx.records.database.rows import Refused, TrialEntry
from approx.records.database.schema import VERSION

pytestmark = pytest.mark.slow
KILLS = 30


def killed_within(seconds: float, work: Callable[[], object]) -> bool:
    """Do some work in a copy of this process and kill it after so long; False if it had ended by then."""
    child = os.fork()
    if child == 0:
        try:
            work()
        finally:
            os._exit(0)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) != 0


def took(work: Callable[[], object]) -> float:
    """Seconds of the work in a copy of this process."""
    begun = time.monotonic()
    child = os.fork()
    if child == 0:
        try:
            work()
        finally:
            os._exit(0)
    os.waitpid(child, 0)
    return time.monotonic() - begun


def count(path: Path, query: str) -> int:
    with closing(sqlite3.connect(path)) as raw:
        return int(raw.execute(query).fetchone()[0])


def test_kills_in_an_import_take_in_all_or_nothing(tmp_path: Path) -> None:
    source = large(tmp_path / "large.sqlite", children=20, sessions=20, tries=10)
    assert sure(source.export_file(tmp_path / "e.zip")) == ()
    source.close()
    start = filled(tmp_path / "start.sqlite")
    start.close()
    before = start.path.read_bytes()

    def import_into(path: Path) -> Callable[[], object]:
        return lambda: sure(opened(path).import_zip(tmp_path / "e.zip"))

    trial = tmp_path / "trial.sqlite"
    trial.write_bytes(before)
    seconds, chance, outcomes = took(import_into(trial)), random.Random(31), set[int]()
    for number in range(KILLS):
        path = tmp_path / f"c{number}.sqlite"
        path.write_bytes(before)
        killed_within(chance.random() * 1.1 * seconds, import_into(path))
        caseload = opened(path)
        assert caseload.check() is None
        children = {line.child.code for line in sure(caseload.children())}
        assert "K07" in children and len(sure(caseload.trials(1))) == 4
        caseload.close()
        trials = count(path, "SELECT count(*) FROM trials")
        assert (len(children), trials) in {(1, 4), (21, 4004)}
        outcomes.add(len(children))
    assert 1 in outcomes  # some were in the midst of it


def old_file(path: Path) -> None:
    """A file of the first version with so many trials that a migration takes a moment."""
    with closing(sqlite3.connect(path)) as raw:
        raw.executescript((ROOT / "tests/data/records_v1.sql").read_text(encoding="utf-8"))
        session, target = raw.execute("SELECT session_id, target_id FROM trials LIMIT 1").fetchone()
        raw.execute(
            "WITH RECURSIVE n(i) AS (SELECT 100 UNION ALL SELECT i + 1 FROM n WHERE i < 20099)"
            " INSERT INTO trials (session_id, target_id, number, help, result, at) SELECT ?, ?, i, 'none', 2, '' FROM n",
            (session, target),
        )
        raw.commit()


def test_kills_in_a_migration_leave_the_old_file_or_the_new_one(tmp_path: Path) -> None:
    old_file(tmp_path / "start.sqlite")
    before = (tmp_path / "start.sqlite").read_bytes()
    tries = count(tmp_path / "start.sqlite", "SELECT count(*) FROM trials")
    path = tmp_path / "a" / "c.sqlite"
    path.parent.mkdir()
    path.write_bytes(before)
    seconds, chance, versions = took(lambda: opened(path)), random.Random(32), set[int]()
    for number in range(KILLS):
        path = tmp_path / f"b{number}" / "c.sqlite"
        path.parent.mkdir()
        path.write_bytes(before)
        killed_within(chance.random() * 1.1 * seconds, lambda path=path: opened(path))  # type: ignore[misc]
        for copy in copies(path):  # one that has its name is whole
            if ".part" not in copy.name:
                assert count(copy, "SELECT count(*) FROM trials") == tries
                assert count(copy, "PRAGMA user_version") == 1
        versions.add(count(path, "PRAGMA user_version"))
        caseload = opened(path)
        assert caseload.check() is None
        caseload.close()
        assert count(path, "SELECT count(*) FROM trials WHERE form <> ''") == tries
        assert count(path, "PRAGMA user_version") == VERSION
    assert 1 in versions and versions <= {1, VERSION}


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 700 kB, in memory; only an administrator may make one."""
    place = tmp_path / "small"
    place.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=700k", "tmpfs", str(place)]
    if os.name != "posix" or subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("no disk of 700 kB can be made here")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def fill_rest(place: Path) -> None:
    """Leave no room on a disk."""
    with open(place / "rest", "wb", buffering=0) as rest:
        try:
            while rest.write(bytes(4096)):
                pass
        except OSError:
            return


def test_a_full_disk_is_named_and_loses_nothing(small_disk: Path) -> None:
    caseload = filled(small_disk / "caseload.sqlite")
    session, target = sure(caseload.sessions("K07"))[0], sure(caseload.targets("K07"))[0]
    confirmed = {trial.id for trial in sure(caseload.trials(session.id))}
    for _ in range(5000):
        totals = caseload.record_trials(session.id, [TrialEntry(target.id, "none", 2)])
        if isinstance(totals, Refused):
            break
        assert totals.last
        confirmed.add(totals.last.id)
    else:
        pytest.fail("the disk was never full")
    assert code_of(totals) == "records.full" and "free some space" in totals.problems[0].hint
    caseload.settle()
    fill_rest(small_disk)
    refused: list[Callable[[], object]] = [
        caseload.copy_today,
        lambda: caseload.export_file(small_disk / "e.zip"),
        lambda: caseload.set_passphrase("correct horse battery"),
        lambda: caseload.add_note("K07", "2026-03-02", subjective="a" * 90_000),
    ]
    assert [code_of(call()) for call in refused] == ["records.full"] * len(refused)
    assert not [left for left in small_disk.iterdir() if ".part" in left.name or ".new" in left.name]
    assert {trial.id for trial in sure(caseload.trials(session.id))} == confirmed  # still read
    caseload.close()
    (small_disk / "rest").unlink()
    again = opened(caseload.path)
    tap(again, session.id, target.id, "none", 2, key="at last")
    confirmed.add(sure(again.trials(session.id))[-1].id)
    assert {trial.id for trial in sure(again.trials(session.id))} == confirmed and again.check() is None
    again.close()


def test_a_disk_that_is_full_from_the_start(small_disk: Path) -> None:
    fill_rest(small_disk)
    assert code_of(open_caseload(small_disk / "caseload.sqlite")) == "records.full"
    (small_disk / "rest").unlink()
    caseload = filled(small_disk / "caseload.sqlite")
    caseload.close()
    fill_rest(small_disk)
    answer = open_caseload(caseload.path)  # to look at it takes room, too
    assert code_of(answer) == "records.full"
    (small_disk / "rest").unlink()
    assert isinstance(open_caseload(caseload.path), Caseload)


def test_an_export_that_fits_a_full_disk_no_more_takes_in_nothing(small_disk: Path, tmp_path: Path) -> None:
    source = large(tmp_path / "large.sqlite", children=60, sessions=20, tries=10)
    assert sure(source.export_file(tmp_path / "e.zip")) == ()
    source.close()
    caseload = filled(small_disk / "caseload.sqlite")
    assert code_of(caseload.import_zip(tmp_path / "e.zip")) == "records.full"
    assert [line.child.code for line in sure(caseload.children())] == ["K07"] and caseload.check() is None
    caseload.close()


def test_two_desks_over_one_file_lose_no_tap_and_end_well(tmp_path: Path) -> None:
    from running_desk import RunningDesk

    file = tmp_path / "caseload.sqlite"
    filled(file).close()

    def tap(desk: RunningDesk, name: str) -> list[str]:
        keys = [f"{name}-{number}" for number in range(40)]
        for key in keys:
            answer, _ = desk.post("/session/1/trial", target=1, help="none", result=2, key=key, part=1)
            assert answer.status < 400
        return keys

    with RunningDesk(file) as one, RunningDesk(file) as other:
        with ThreadPoolExecutor(2) as pool:
            sent = sorted(key for keys in pool.map(tap, (one, other), ("a", "b")) for key in keys)
        assert one.ask("GET", "/child/K07")[0].status == other.ask("GET", "/child/K07")[0].status == 200
        last = time.monotonic() + 30
        while len(copies(file)) != 1 and time.monotonic() < last:  # each makes the copy of the day
            time.sleep(0.2)
        assert [copy.name.count(".part") for copy in copies(file)] == [0]
    with closing(sqlite3.connect(file)) as raw:
        assert sorted(key for (key,) in raw.execute("SELECT key FROM trials WHERE key <> ''")) == sent
        numbers = [number for (number,) in raw.execute("SELECT number FROM trials ORDER BY number")]
    assert numbers == list(range(1, 84 + 1))
    caseload = opened(file)
    assert caseload.check() is None
    caseload.close()
