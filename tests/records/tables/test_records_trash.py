"""Every delete comes back; delete for good leaves nothing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fast_cases import only
from filled_caseload import code_of, fill, filled, opened, sure

from approx.records.caseload import Caseload
from approx.records.database.rows import Erased, Refused, Trashed
from approx.records.tables import trash

Delete = Callable[[Caseload], "Trashed | Refused"]
Look = Callable[[Caseload], object]


@pytest.fixture
def caseload(tmp_path: Path) -> Caseload:
    return filled(tmp_path / "caseload.sqlite")


def first(rows: object) -> int:
    """The id of the first of some rows."""
    assert isinstance(rows, tuple) and rows
    return int(rows[0].id)


def taken_back(caseload: Caseload, session: int) -> Trashed:
    """The last trial of a session, put away."""
    return sure(caseload.undo_trial(session)).away


DELETES: dict[str, tuple[Delete, Look]] = {
    "child": (lambda c: c.delete_child("K07"), lambda c: (c.children(), c.progress("K07"), c.notes("K07"))),
    "sample": (lambda c: c.delete_sample(first(c.samples("K07"))), lambda c: c.samples("K07")),
    "choice": (lambda c: c.delete_choice(first(c.choices("K07"))), lambda c: (c.choices("K07"), c.targets("K07"))),
    "session": (lambda c: c.delete_session(first(c.sessions("K07"))), lambda c: (c.progress("K07"), c.notes("K07"))),
    "trial": (lambda c: taken_back(c, first(c.sessions("K07"))), lambda c: c.totals(first(c.sessions("K07")))),
    "probe": (lambda c: c.delete_probe(first(c.probes("K07"))), lambda c: c.probes("K07")),
    "phase": (lambda c: c.delete_phase(first(c.phases("K07"))), lambda c: (c.phases("K07"), c.probes("K07"))),
    "goal": (lambda c: c.delete_goal(first(c.goals("K07"))), lambda c: c.goals("K07")),
    "note": (lambda c: c.delete_note(first(c.notes("K07"))), lambda c: c.notes("K07")),
}


@pytest.fixture(scope="module")
def exported_bytes(tmp_path_factory: pytest.TempPathFactory) -> int:
    """How much an export of the filled caseload is before anything is deleted."""
    whole = filled(tmp_path_factory.mktemp("whole") / "caseload.sqlite")
    exported = len(sure(whole.export_all()).data)
    whole.close()
    return exported


@pytest.mark.parametrize("kind", only(DELETES, "child", "session", "trial", "goal"))
def test_a_delete_is_undone(caseload: Caseload, kind: str, exported_bytes: int) -> None:
    delete, look = DELETES[kind]
    before = look(caseload)
    gone = sure(delete(caseload))
    assert gone.kind == kind and gone.label
    assert look(caseload) != before
    (listed,) = sure(caseload.deleted("K07"))
    assert (listed.token, listed.kind, listed.child) == (gone.token, kind, "K07") and listed.label
    assert sure(caseload.deleted("Q99")) == ()
    assert len(sure(caseload.export_all()).data) < exported_bytes
    caseload = opened(caseload.path)  # the same day: still there
    assert sure(caseload.restore(gone.token)).kind == kind
    assert look(caseload) == before
    assert code_of(caseload.restore(gone.token)) == "records.gone"


def test_a_target_with_tries_is_not_deleted_and_one_without_comes_back(caseload: Caseload) -> None:
    (target,) = sure(caseload.targets("K07"))
    assert code_of(caseload.delete_target(target.id)) == "records.tried"
    sure(caseload.delete_session(first(caseload.sessions("K07"))))
    gone = sure(caseload.delete_target(target.id))
    assert caseload.targets("K07") == ()
    sure(caseload.restore(gone.token))
    assert caseload.targets("K07") == (target,)


def test_tries_that_come_back_bring_their_target(caseload: Caseload) -> None:
    (target,), totals = sure(caseload.targets("K07")), caseload.totals(first(caseload.sessions("K07")))
    session = sure(caseload.delete_session(first(caseload.sessions("K07"))))
    sure(caseload.delete_target(target.id))
    sure(caseload.restore(session.token))
    assert caseload.targets("K07") == (target,)
    assert caseload.totals(first(caseload.sessions("K07"))) == totals


def test_a_place_taken_meanwhile_is_not_overwritten(caseload: Caseload) -> None:
    gone = sure(caseload.delete_child("K07"))
    sure(caseload.add_child("K07", note="the other one"))
    assert code_of(caseload.restore(gone.token)) == "records.taken"
    assert sure(caseload.child("K07")).note == "the other one"


def test_what_belongs_to_something_deleted_waits_for_it(caseload: Caseload) -> None:
    trial = taken_back(caseload, first(caseload.sessions("K07")))
    session = sure(caseload.delete_session(first(caseload.sessions("K07"))))
    child = sure(caseload.delete_child("K07"))
    assert code_of(caseload.restore(trial.token)) == code_of(caseload.restore(session.token)) == "records.owner_gone"
    for gone in (child, session, trial):
        sure(caseload.restore(gone.token))
    assert len(sure(caseload.trials(first(caseload.sessions("K07"))))) == 4


def test_deleted_things_go_after_a_day(caseload: Caseload, monkeypatch: pytest.MonkeyPatch) -> None:
    session, probe = first(caseload.sessions("K07")), first(caseload.probes("K07"))
    tokens = [taken_back(caseload, session).token, sure(caseload.delete_probe(probe)).token]
    tokens.append(sure(caseload.delete_session(session)).token)
    (target,) = sure(caseload.targets("K07"))
    tokens.append(sure(caseload.delete_target(target.id)).token)

    class Tomorrow(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            return datetime.now(UTC) + timedelta(days=1, seconds=2)

    caseload.close()
    monkeypatch.setattr(trash, "datetime", Tomorrow)
    caseload = opened(caseload.path)
    assert {code_of(caseload.restore(token)) for token in tokens} == {"records.gone"}
    assert caseload.check() is None
    assert sure(caseload.notes("K07"))[0].session_id is None and len(sure(caseload.goals("K07"))) == 1


@pytest.mark.parametrize("put_away_first", [False, True])
def test_for_good_leaves_no_trace(tmp_path: Path, put_away_first: bool) -> None:
    caseload = opened(tmp_path / "caseload.sqlite")
    fill(caseload, "M12")
    fill(caseload, "Zqx 4711")
    sure(caseload.add_note("Zqx 4711", plan="unmistakable plan"))
    sure(caseload.delete_note(first(caseload.notes("Zqx 4711"))))
    copy = tmp_path / "caseload.sqlite.copy-20260302-100000-000000-v1"
    copy.write_bytes(b"Zqx 4711")
    marks = (b"Zqx 4711", b"unmistakable plan")
    everything = b"".join(path.read_bytes() for path in tmp_path.iterdir())
    assert all(mark in everything for mark in marks)
    if put_away_first:
        sure(caseload.delete_child("Zqx 4711"))
    kept = (caseload.progress("M12"), caseload.samples("M12"))
    erased = sure(caseload.delete_child_for_good("Zqx 4711"))
    assert erased == Erased("Zqx 4711", erased.rows, (copy.name,)) and erased.rows > 90
    for path in tmp_path.iterdir():
        assert not any(mark in path.read_bytes() for mark in marks), path.name
    assert (caseload.progress("M12"), caseload.samples("M12")) == kept
    assert caseload.check() is None
    assert code_of(caseload.delete_child_for_good("Zqx 4711")) == "records.no_child"


def test_a_reader_elsewhere_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trash, "PATIENCE_SECONDS", 0.3)  # nobody waits here for a reader that stays
    caseload = filled(tmp_path / "caseload.sqlite")
    other = opened(tmp_path / "caseload.sqlite")
    with other._reading() as connection:
        connection.exec_driver_sql("SELECT * FROM children").fetchall()
        assert [found.code for found in sure(caseload.delete_child_for_good("K07")).remarks] == ["records.traces"]
    other.close()
    caseload.close()
    assert b"K07" not in (tmp_path / "caseload.sqlite").read_bytes()
