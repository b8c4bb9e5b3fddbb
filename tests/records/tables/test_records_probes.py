"""Many probes at once: all of them or none, every fault named."""

from __future__ import annotations

from pathlib import Path

import pytest
from filled_caseload import filled, opened, sure

from approx.records.caseload import Caseload
from approx.records.database.rows import PhaseEntry, ProbeEntry, Refused


@pytest.fixture
def caseload(tmp_path: Path) -> Caseload:
    """A child, C01, with nothing yet."""
    made = opened(tmp_path / "caseload.sqlite")
    sure(made.add_child("C01"))
    return made


def test_a_table_goes_in_as_one_change(caseload: Caseload) -> None:
    entries = [ProbeEntry(session, name, session, 10) for session in range(1, 11) for name in ("set 1", "set 2")]
    phases = [PhaseEntry("A", 1, "baseline"), PhaseEntry("B", 4, "treatment", ("set 1",))]
    before = caseload.path.stat().st_mtime_ns
    assert caseload.add_probes("C01", entries, phases) == 20
    probes = sure(caseload.probes("C01"))
    assert [(probe.session, probe.word_set, probe.right) for probe in probes] == [
        (entry.session, entry.word_set, entry.right) for entry in entries
    ]
    assert [probe.phase for probe in probes] == ["A"] * 6 + ["B"] * 14
    assert caseload.path.stat().st_mtime_ns >= before and caseload.check() is None


def test_of_a_table_with_faults_nothing_goes_in_and_each_fault_is_named(caseload: Caseload) -> None:
    entries = [
        ProbeEntry(1, "set 1", 3, 10),
        ProbeEntry(2, "set 1", 11, 10),  # more right than asked
        ProbeEntry(0, "set 1", 3, 10),  # no session
        ProbeEntry(3, "", 3, 10),  # no set
        ProbeEntry(1, " set 1 ", 4, 10),  # the first once more
    ]
    answer = caseload.add_probes("C01", entries, [PhaseEntry("A", 0)])
    assert isinstance(answer, Refused) and len(answer.problems) >= 5
    assert "already probed in session 1" in " ".join(problem.message for problem in answer.problems)
    assert caseload.probes("C01") == () and caseload.phases("C01") == ()


def test_a_phase_of_a_known_name_stays_as_it_is(caseload: Caseload) -> None:
    sure(caseload.add_phase("C01", "A", 1, kind="baseline", note="mine"))
    assert caseload.add_probes("C01", [ProbeEntry(1, "set 1", 1, 10)], [PhaseEntry("A", 3)]) == 1
    assert [(phase.name, phase.first_session, phase.note) for phase in sure(caseload.phases("C01"))] == [
        ("A", 1, "mine")
    ]


def test_a_child_that_is_not_there_is_named(tmp_path: Path) -> None:
    answer = filled(tmp_path / "other.sqlite").add_probes("C99", [ProbeEntry(1, "set 1", 1, 10)])
    assert isinstance(answer, Refused) and answer.problems[0].code == "records.no_child"
