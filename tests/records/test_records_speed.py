"""A full caseload: 500 children with 200 sessions each, and the two pages that look at all of it."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from filled_caseload import opened, sure, tap
from full_caseload import CHILDREN, SESSIONS, TRIES, TRIES_OF_ONE, fill_up
from large_caseload import large

from approx.records.caseload import Caseload

LIMIT = 0.05


@pytest.fixture(scope="module")
def caseload(tmp_path_factory: pytest.TempPathFactory) -> Caseload:
    """All of it open."""
    path = tmp_path_factory.mktemp("full") / "caseload.sqlite"
    fill_up(path)
    return opened(path)


def quickest(call: Callable[[], object], times: int = 7) -> float:
    """Processor seconds of the quickest of several calls: the work itself, whatever else the machine is doing."""
    found = []
    for _ in range(times):
        start = time.process_time()
        call()
        found.append(time.process_time() - start)
    return min(found)


@pytest.mark.slow
def test_the_caseload_is_listed_quickly(caseload: Caseload) -> None:
    lines = sure(caseload.children())
    assert len(lines) == CHILDREN and {line.sessions for line in lines} == {SESSIONS}
    assert {(line.last_session, line.active_targets) for line in lines} == {("2026-12-28", 10)}
    assert quickest(caseload.children) < LIMIT


@pytest.mark.slow
@pytest.mark.parametrize(("code", "tries"), [("K001", TRIES_OF_ONE), ("K250", TRIES)])
def test_the_progress_of_one_child_is_quick(caseload: Caseload, code: str, tries: int) -> None:
    progress = sure(caseload.progress(code))
    assert len(progress.sessions) == SESSIONS and len(progress.probes) == 3 * SESSIONS
    assert {tally.trials for _, tally, _ in progress.sessions} == {tries}
    assert quickest(lambda: caseload.progress(code)) < LIMIT


@pytest.mark.slow
def test_a_tap_is_quick_in_a_full_caseload(caseload: Caseload) -> None:
    # of a child whose trials no other test counts, for they share the file and run in any order
    session = sure(caseload.sessions("K003"))[0]
    target = sure(caseload.targets("K003"))[0]
    assert quickest(lambda: tap(caseload, session.id, target.id, "none", 2)) < LIMIT
    assert quickest(lambda: sure(caseload.totals(session.id))) < LIMIT


@pytest.mark.slow
def test_an_export_of_a_million_trials_is_taken_in_within_a_minute(tmp_path: Path) -> None:
    """Processor seconds, with the file of the export read, every row checked, and all of it on the disk."""
    source = large(tmp_path / "large.sqlite", CHILDREN, SESSIONS, 10)
    sure(source.export_file(tmp_path / "e.zip"))
    source.close()
    caseload = opened(tmp_path / "c.sqlite")
    begun = time.process_time()
    taken = sure(caseload.import_zip(tmp_path / "e.zip"))
    assert time.process_time() - begun < 30  # half of the minute, for the disk is not in it
    assert dict(taken.rows)["trials"] == CHILDREN * SESSIONS * 10 and len(taken.codes) == CHILDREN
    caseload.close()
