"""Probes and phases: what a progress page draws."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from sqlalchemy import Connection, select

from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.refusals import RefusalError, answered, refusal
from approx.records.database.rows import (
    PhaseEntry,
    PhaseKind,
    ProbeEntry,
    Progress,
    StoredChild,
    StoredPhase,
    StoredProbe,
    StoredTally,
    Trashed,
)
from approx.records.database.store import Store
from approx.records.tables.child_records import find_child
from approx.records.tables.session_records import sessions_of, tallies_of
from approx.records.tables.target_records import choices_of
from approx.records.tables.trash import put_away
from approx.records.tables.versions import add, change, in_use
from approx.wording import worded

_PROBES, _PHASES = schema.probes, schema.phases
E = TypeVar("E", ProbeEntry, PhaseEntry)


class ProgressRecords(Store):
    """How it goes."""

    @answered
    def add_probes(self, code: str, entries: Sequence[ProbeEntry], phases: Sequence[PhaseEntry] = ()) -> int:
        """Many probes at once, as a pasted table brings them, with its phases: how many probes were added.

        All of them or none; what is refused names every entry at fault. A phase whose name the child has stays as it is.
        """
        problems: list[Problem] = []
        with self._writing() as connection:
            child = find_child(connection, code)
            there = {phase.name for phase in _phases(connection, child)}
            for entry in entries:
                problems += _tried(_new_probe, connection, child, entry)
            for phase in phases:
                if phase.name not in there:
                    problems += _tried(_new_phase, connection, child, phase)
            if problems:
                raise RefusalError(*problems)
        return len(entries)

    @answered
    def probes(self, code: str) -> tuple[StoredProbe, ...]:
        """The probes of a child by session, sets in the order in which they came."""
        with self._reading() as connection:
            child = find_child(connection, code)
            return _probes(connection, child, _phases(connection, child))

    @answered
    def delete_probe(self, probe_id: int) -> Trashed:
        """Put a probe away."""
        with self._writing() as connection:
            probe = _probe_in_use(connection, probe_id)
            return put_away(connection, _PROBES, probe_id, "probe", f"{probe.word_set}, session {probe.session}")

    @answered
    def add_phase(
        self,
        code: str,
        name: str,
        first_session: int,
        *,
        kind: PhaseKind = "treatment",
        word_sets: Sequence[str] = (),
        note: str = "",
    ) -> StoredPhase:
        """A phase that begins with a session; the phase before it ends there."""
        entry = PhaseEntry(name, first_session, kind, tuple(word_sets), note)
        with self._writing() as connection:
            return _phase_in_use(connection, _new_phase(connection, find_child(connection, code), entry))

    @answered
    def phases(self, code: str) -> tuple[StoredPhase, ...]:
        """The phases of a child in order."""
        with self._reading() as connection:
            return _phases(connection, find_child(connection, code))

    @answered
    def save_phase(self, phase: StoredPhase) -> StoredPhase:
        """A phase changed. Refused with the present one if the version is stale."""
        with self._writing() as connection:
            present = _phase_in_use(connection, phase.id)
            values = {
                "name": phase.name, "first_session": phase.first_session, "kind": phase.kind,
                "word_sets": list(phase.word_sets), "note": phase.note,
            }  # fmt: skip
            change(connection, _PHASES, phase.id, phase.version, values, lambda: present)
            return _phase_in_use(connection, phase.id)

    @answered
    def delete_phase(self, phase_id: int) -> Trashed:
        """Put a phase away; its sessions fall to the one before."""
        with self._writing() as connection:
            return put_away(connection, _PHASES, phase_id, "phase", _phase_in_use(connection, phase_id).name)

    @answered
    def progress(self, code: str) -> Progress:
        """All that a progress page draws, as it stood at one moment."""
        with self._reading() as connection:
            child = find_child(connection, code)
            phases = _phases(connection, child)
            tallies = tallies_of(connection, child.id)
            sessions = sessions_of(connection, child.id)
            return Progress(
                child,
                _probes(connection, child, phases),
                phases,
                choices_of(connection, child),
                tuple((session, *tallies.get(session.id, (StoredTally(), StoredTally()))) for session in sessions),
            )


def _new_probe(connection: Connection, child: StoredChild, entry: ProbeEntry) -> int:
    values = _probe_values(
        entry.session, entry.word_set, entry.right, entry.out_of, entry.treated, entry.date, entry.words, entry.note
    )
    name = entry.word_set.strip()
    taken = select(_PROBES.c.id).where(
        _PROBES.c.child_id == child.id, _PROBES.c.session == entry.session, _PROBES.c.trashed == "",
        _PROBES.c.word_set == name,
    )  # fmt: skip
    if connection.execute(taken).first():
        raise refusal(
            "twice",
            worded("'{name}' was already probed in session {session}", name=name, session=entry.session),
            "delete that probe, then enter it again",
        )
    return add(connection, _PROBES, values, child_id=child.id)


def _new_phase(connection: Connection, child: StoredChild, entry: PhaseEntry) -> int:
    if any(phase.first_session == entry.first_session for phase in _phases(connection, child)):
        raise refusal(
            "twice",
            worded("a phase already begins with session {first_session}", first_session=entry.first_session),
            "delete that phase, then enter it again",
        )
    values = {
        "name": entry.name, "first_session": entry.first_session, "kind": entry.kind,
        "word_sets": list(entry.word_sets), "note": entry.note,
    }  # fmt: skip
    return add(connection, _PHASES, values, child_id=child.id)


def _tried(
    put_in: Callable[[Connection, StoredChild, E], int], connection: Connection, child: StoredChild, entry: E
) -> Sequence[Problem]:
    """What is refused of one entry of many; nothing where it went in."""
    try:
        put_in(connection, child, entry)
    except RefusalError as refused:
        return refused.answer.problems
    return ()


def _probe_values(
    session: int, word_set: str, right: int, out_of: int, treated: bool, date: str,
    words: Sequence[tuple[str, bool]], note: str,
) -> dict[str, Any]:  # fmt: skip
    if words and (len(words), sum(said for _, said in words)) != (out_of, right):
        message = worded("{right} of {out_of} does not agree with the words marked", right=right, out_of=out_of)
        raise RefusalError(Problem("records.value", message, "count again"))
    return {
        "session": session, "word_set": word_set, "right": right, "out_of": out_of, "treated": int(treated),
        "date": date, "words": [list(word) for word in words], "note": note,
    }  # fmt: skip


def _phases(connection: Connection, child: StoredChild) -> tuple[StoredPhase, ...]:
    query = select(_PHASES).where(_PHASES.c.child_id == child.id, _PHASES.c.trashed == "")
    rows = connection.execute(query.order_by(_PHASES.c.first_session))
    return tuple(_phase(row, child.code) for row in rows)


def _phase(row: schema.FoundRow, code: str) -> StoredPhase:
    return StoredPhase(
        row.id, row.version, code, row.name, row.first_session, row.kind, tuple(json.loads(row.word_sets)), row.note
    )


def _phase_in_use(connection: Connection, phase_id: int) -> StoredPhase:
    row = in_use(connection, _PHASES, phase_id, "phase")
    return _phase(row, _code(connection, row.child_id))


def _probes(connection: Connection, child: StoredChild, phases: Sequence[StoredPhase]) -> tuple[StoredProbe, ...]:
    query = select(_PROBES).where(_PROBES.c.child_id == child.id, _PROBES.c.trashed == "")
    rows = connection.execute(query.order_by(_PROBES.c.session, _PROBES.c.id))
    return tuple(_probe(row, child.code, phases) for row in rows)


def _probe(row: schema.FoundRow, code: str, phases: Sequence[StoredPhase]) -> StoredProbe:
    begun = [phase.name for phase in phases if phase.first_session <= row.session]
    words = tuple((word, said) for word, said in json.loads(row.words))
    return StoredProbe(
        row.id, row.version, code, row.session, row.word_set, row.right, row.out_of, bool(row.treated), row.date,
        begun[-1] if begun else "", words, row.note,
    )  # fmt: skip


def _probe_in_use(connection: Connection, probe_id: int) -> StoredProbe:
    row = in_use(connection, _PROBES, probe_id, "probe")
    child = find_child(connection, _code(connection, row.child_id))
    return _probe(row, child.code, _phases(connection, child))


def _code(connection: Connection, child_id: int) -> str:
    code = connection.execute(select(schema.children.c.code).where(schema.children.c.id == child_id)).scalar_one()
    return str(code)
