"""A full caseload: 500 children with 200 sessions each, and the two pages that look at all of it."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable

import pytest
from filled_caseload import PROFILE, opened, sure

from approx.records.caseload import Caseload

CHILDREN, SESSIONS, TRIES, TRIES_OF_ONE = 500, 200, 4, 60
LIMIT = 0.05


@pytest.fixture(scope="module")
def caseload(tmp_path_factory: pytest.TempPathFactory) -> Caseload:
    """100,000 sessions, 300,000 probes, 411,200 tries. The first child has 60 tries in each session."""
    path = tmp_path_factory.mktemp("full") / "caseload.sqlite"
    opened(path).close()
    raw = sqlite3.connect(path)
    run = raw.executemany
    children, sessions = range(1, CHILDREN + 1), range(1, SESSIONS + 1)
    run("INSERT INTO children (id, code, age, age_on, made) VALUES (?, ?, '3;2', '2026-01-01', '2026-01-01')",
        ((child, f"K{child:03}") for child in children))  # fmt: skip
    run("INSERT INTO profiles (child_id, number, text, date) VALUES (?, ?, ?, '2026-01-01')",
        ((child, number, PROFILE.replace("K07", f"K{child:03}")) for child in children for number in range(1, 6)))  # fmt: skip
    run("INSERT INTO targets (id, child_id, word, adult) VALUES (?, ?, ?, 'mʌd')",
        ((10 * child + word, child, f"word {word}") for child in children for word in range(10)))  # fmt: skip
    run("INSERT INTO choices (child_id, word, ipa, date) VALUES (?, ?, 'mʌ', ?)",
        ((child, f"word {word}", f"2026-{month:02}-01") for child in children for word in range(10) for month in (1, 2, 3)))  # fmt: skip
    run("INSERT INTO phases (child_id, name, first_session) VALUES (?, ?, ?)",
        ((child, name, first) for child in children for name, first in (("A", 1), ("B1", 5), ("B2", 100), ("M", 190))))  # fmt: skip
    run("INSERT INTO sessions (id, child_id, date, number) VALUES (?, ?, ?, ?)",
        ((child * 1000 + number, child, f"2026-{1 + number % 12:02}-{1 + number % 28:02}", number)
         for child in children for number in sessions))  # fmt: skip
    run("INSERT INTO probes (child_id, session, word_set, treated, \"right\", out_of, date) VALUES (?, ?, ?, ?, 5, 10, '2026-01-01')",
        ((child, number, word_set, word_set != "untreated")
         for child in children for number in sessions for word_set in ("set 1", "set 2", "untreated")))  # fmt: skip
    run("INSERT INTO trials (session_id, target_id, number, form, help, result) VALUES (?, ?, ?, 'mʌ', ?, ?)",
        ((child * 1000 + number, 10 * child + tried % 10, tried + 1, ("none", "together", "touch")[tried % 3], tried % 3)
         for child in children for number in sessions for tried in range(TRIES_OF_ONE if child == 1 else TRIES)))  # fmt: skip
    raw.commit()
    raw.close()
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
    session = sure(caseload.sessions("K001"))[0]
    target = sure(caseload.targets("K001"))[0]
    assert quickest(lambda: sure(caseload.record_trial(session.id, target.id, "none", 2))) < LIMIT
    assert quickest(lambda: sure(caseload.totals(session.id))) < LIMIT
