"""Kills and second writers: what was confirmed is there, and nobody overwrites anybody."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from filled_caseload import filled, opened, sure, tap
from places import ROOT
from statements import statements_of

from approx.records.caseload import Caseload, open_caseload
from approx.records.database.rows import Conflict, Refused

KILLS = 20

WRITER = """
import sys
from pathlib import Path
from approx.records.caseload import open_caseload
from approx.records.database.rows import TrialEntry
caseload = open_caseload(Path(sys.argv[1]))
print("ready", flush=True)
while True:
    totals = caseload.record_trials(int(sys.argv[2]), [TrialEntry(int(sys.argv[3]), "none", 2)])
    print(totals.last.id, flush=True)
"""

COUNTER = """
import sys
import time
from dataclasses import replace
from pathlib import Path
from approx.records.caseload import open_caseload
from approx.records.database.rows import Conflict, TrialEntry
caseload = open_caseload(Path(sys.argv[1]))
print("ready", flush=True)
sys.stdin.readline()  # until both are
conflicts = 0
for _ in range(int(sys.argv[4])):
    caseload.record_trials(int(sys.argv[2]), [TrialEntry(int(sys.argv[3]), "none", 2)])
    child = caseload.child("K07")
    time.sleep(0.003)  # as a person does between looking and saving
    while True:
        answer = caseload.save_child(replace(child, note=str(int(child.note) + 1)))
        if not isinstance(answer, Conflict):
            break
        child = answer.current
        conflicts += 1
print(answer.version, conflicts)
"""

LOCKER = """
import sys
from pathlib import Path
from approx.records.caseload import open_caseload
caseload = open_caseload(Path(sys.argv[1]))
print("ready", flush=True)
print(caseload.set_passphrase("correct horse"), flush=True)
"""


def start(script: str, *arguments: object) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", script, *map(str, arguments)]
    return subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


@pytest.mark.slow
def test_kills_during_writes_lose_nothing_that_was_confirmed(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    session, target = sure(caseload.sessions("K07"))[0], sure(caseload.targets("K07"))[0]
    confirmed = {trial.id for trial in sure(caseload.trials(session.id))}
    before = len(confirmed)
    caseload.close()
    chance = random.Random(20)
    for _ in range(KILLS):
        with start(WRITER, caseload.path, session.id, target.id) as writer:
            assert writer.stdout is not None and writer.stdout.readline() == "ready\n"
            said = [writer.stdout.readline() for _ in range(chance.randrange(1, 25))]
            time.sleep(chance.random() / 50)  # somewhere inside a later one
            writer.kill()
            said += writer.stdout.readlines()
        confirmed |= {int(line) for line in said if line.endswith("\n")}
    caseload = opened(caseload.path)
    assert caseload.check() is None
    trials = sure(caseload.trials(session.id))
    assert confirmed <= {trial.id for trial in trials} and len(confirmed) > before + KILLS
    # at most one a kill was on the disk and not yet confirmed
    assert len(trials) <= len(confirmed) + KILLS
    numbers = [trial.number for trial in trials]
    assert numbers == list(range(1, len(numbers) + 1))


@pytest.mark.slow
def test_two_writers_lose_no_update(tmp_path: Path) -> None:
    caseload, times = filled(tmp_path / "caseload.sqlite"), 60
    session, target = sure(caseload.sessions("K07"))[0], sure(caseload.targets("K07"))[0]
    child = sure(caseload.save_child(replace(sure(caseload.child("K07")), note="0")))
    writers = [start(COUNTER, caseload.path, session.id, target.id, times) for _ in range(2)]
    for writer in writers:
        assert writer.stdout is not None and writer.stdout.readline() == "ready\n"
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write("go\n")
        writer.stdin.flush()
    answers = [writer.communicate(timeout=120)[0].split() for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0]
    after = sure(caseload.child("K07"))
    assert (after.note, after.version) == (str(2 * times), child.version + 2 * times)
    assert sum(int(conflicts) for _, conflicts in answers) > 0  # they did meet
    assert len(sure(caseload.trials(session.id))) == 4 + 2 * times
    assert caseload.check() is None


def test_threads_share_one_caseload(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "caseload.sqlite")
    session, target = sure(caseload.sessions("K07"))[0], sure(caseload.targets("K07"))[0]

    def taps(_: int) -> None:
        for _ in range(10):
            tap(caseload, session.id, target.id, "none", 1)
            sure(caseload.totals(session.id))

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(taps, range(4)))
    numbers = [trial.number for trial in sure(caseload.trials(session.id))]
    assert numbers == list(range(1, 45))


def test_one_look_is_one_transaction_in_which_all_fits_together(tmp_path: Path) -> None:
    """What another window saves meanwhile is seen after it, and so is what is saved in it; other threads look for themselves."""
    one, two = filled(tmp_path / "caseload.sqlite"), opened(tmp_path / "caseload.sqlite")
    session, target = sure(one.sessions("K07"))[0], sure(one.targets("K07"))[0]

    def seen() -> int:
        return len(sure(one.trials(session.id)))

    with statements_of(one) as said, one.one_look():
        assert (seen(), sure(one.totals(session.id)).all.trials) == (4, 4)
        tap(two, session.id, target.id, "none", 2)
        assert seen() == sure(one.session(session.id)).trials == 4
        with ThreadPoolExecutor(1) as pool:
            assert pool.submit(seen).result() == 5
        tap(one, session.id, target.id, "none", 2)
        assert seen() == 4
    assert [text for text in said if text.startswith("BEGIN")] == ["BEGIN", "BEGIN", "BEGIN IMMEDIATE"]
    assert seen() == 6 and one.settle()
    moved = one.path.rename(tmp_path / "moved.sqlite")
    with one.one_look():
        assert isinstance(one.sessions("K07"), Refused)
    moved.rename(one.path)
    with one.one_look():
        assert seen() == 6
    assert seen() == 6


def test_two_tabs_of_a_profile_do_not_overwrite_each_other(tmp_path: Path) -> None:
    one, two = filled(tmp_path / "caseload.sqlite"), opened(tmp_path / "caseload.sqlite")
    shown, also_shown = one.profile("K07"), two.profile("K07")
    assert shown == also_shown and shown is not None and not isinstance(shown, Refused)
    saved = sure(one.save_profile("K07", shown.text + "\n# one\n", shown.version))
    answer = two.save_profile("K07", shown.text + "\n# two\n", shown.version)
    assert isinstance(answer, Conflict) and answer.current == replace(saved, remarks=())
    assert len(sure(two.profile_history("K07"))) == 2


def either(path: Path) -> Caseload:
    """The caseload, open or locked, as it happens to be."""
    answer = open_caseload(path)
    if isinstance(answer, Refused) and answer.problems[0].code == "records.locked":
        return opened(path, "correct horse")
    return sure(answer)


@pytest.mark.slow
def test_kills_while_a_passphrase_is_set_leave_the_old_file_or_the_new_one(tmp_path: Path) -> None:
    chance, found = random.Random(5), set()
    for number in range(10):
        folder = tmp_path / str(number)
        folder.mkdir()
        caseload = filled(folder / "caseload.sqlite")
        before = caseload.progress("K07")
        caseload.close()
        with start(LOCKER, caseload.path) as locker:
            assert locker.stdout is not None and locker.stdout.readline() == "ready\n"
            if number:
                time.sleep(chance.random() * 1.2)
            else:
                assert locker.stdout.readline() == "None\n"  # one that comes to its end
            locker.kill()
        again = either(caseload.path)
        found.add(again.locked)
        assert again.check() is None and again.progress("K07") == before
        again.close()
        assert [path.name for path in folder.iterdir()] == ["caseload.sqlite"]
    assert True in found
