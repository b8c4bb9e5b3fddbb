"""Goals and notes: the clinician's own sentences."""

from __future__ import annotations

from sqlalchemy import Connection, select

from approx.records.database import schema
from approx.records.database.refusals import answered, refusal
from approx.records.database.rows import StoredGoal, StoredNote, Trashed
from approx.records.database.store import Store
from approx.records.tables.checks import today
from approx.records.tables.child_records import find_child
from approx.records.tables.trash import put_away
from approx.records.tables.versions import add, change, in_use

_GOALS, _NOTES = schema.goals, schema.notes
_GOAL_PARTS = ("text", "baseline", "condition", "criterion", "measure", "due", "made", "state")
_NOTE_PARTS = ("subjective", "objective", "assessment", "plan")


class NoteRecords(Store):
    """What is written about a child."""

    @answered
    def add_goal(
        self,
        code: str,
        text: str,
        *,
        baseline: str = "",
        condition: str = "",
        criterion: str = "",
        measure: str = "",
        due: str = "",
        made: str = "",
    ) -> StoredGoal:
        """A new goal, by default of today."""
        with self._writing() as connection:
            child = find_child(connection, code)
            values = {
                "text": text, "baseline": baseline, "condition": condition, "criterion": criterion,
                "measure": measure, "due": due, "made": made or today(),
            }  # fmt: skip
            return _goal_in_use(connection, add(connection, _GOALS, values, child_id=child.id))

    @answered
    def goals(self, code: str) -> tuple[StoredGoal, ...]:
        """The goals of a child in the order in which they were written."""
        with self._reading() as connection:
            child = find_child(connection, code)
            query = select(_GOALS).where(_GOALS.c.child_id == child.id, _GOALS.c.trashed == "")
            return tuple(_goal(row, child.code) for row in connection.execute(query.order_by(_GOALS.c.id)))

    @answered
    def save_goal(self, goal: StoredGoal) -> StoredGoal:
        """A goal changed. Refused with the present one if the version is stale."""
        with self._writing() as connection:
            present = _goal_in_use(connection, goal.id)
            values = {name: getattr(goal, name) for name in _GOAL_PARTS}
            change(connection, _GOALS, goal.id, goal.version, values, lambda: present)
            return _goal_in_use(connection, goal.id)

    @answered
    def delete_goal(self, goal_id: int) -> Trashed:
        """Put a goal away."""
        with self._writing() as connection:
            return put_away(connection, _GOALS, goal_id, "goal", "goal")

    @answered
    def add_note(
        self,
        code: str,
        date: str = "",
        *,
        session_id: int | None = None,
        subjective: str = "",
        objective: str = "",
        assessment: str = "",
        plan: str = "",
    ) -> StoredNote:
        """A new note, by default of today."""
        with self._writing() as connection:
            child = find_child(connection, code)
            _of_this_child(connection, session_id, child.id)
            values = {
                "date": date or today(), "subjective": subjective, "objective": objective, "assessment": assessment,
                "plan": plan,
            }  # fmt: skip
            note_id = add(connection, _NOTES, values, child_id=child.id, session_id=session_id)
            return _note_in_use(connection, note_id)

    @answered
    def notes(self, code: str) -> tuple[StoredNote, ...]:
        """The notes of a child, latest first."""
        with self._reading() as connection:
            child = find_child(connection, code)
            query = _note_query().where(_NOTES.c.child_id == child.id, _NOTES.c.trashed == "")
            rows = connection.execute(query.order_by(_NOTES.c.date.desc(), _NOTES.c.id.desc()))
            return tuple(_note(row, child.code) for row in rows)

    @answered
    def save_note(self, note: StoredNote) -> StoredNote:
        """A note changed. Refused with the present one if the version is stale."""
        with self._writing() as connection:
            present = _note_in_use(connection, note.id)
            row = in_use(connection, _NOTES, note.id, "note")
            _of_this_child(connection, note.session_id, row.child_id)
            values = {"date": note.date} | {name: getattr(note, name) for name in _NOTE_PARTS}
            change(connection, _NOTES, note.id, note.version, values, lambda: present, session_id=note.session_id)
            return _note_in_use(connection, note.id)

    @answered
    def delete_note(self, note_id: int) -> Trashed:
        """Put a note away."""
        with self._writing() as connection:
            return put_away(connection, _NOTES, note_id, "note", f"note of {_note_in_use(connection, note_id).date}")


def _of_this_child(connection: Connection, session_id: int | None, child_id: int) -> None:
    if session_id is not None and in_use(connection, schema.sessions, session_id, "session").child_id != child_id:
        raise refusal("other_child", "that session is another child's", "choose a session of this child")


def _code(connection: Connection, child_id: int) -> str:
    code = connection.execute(select(schema.children.c.code).where(schema.children.c.id == child_id)).scalar_one()
    return str(code)


def _goal(row: schema.FoundRow, code: str) -> StoredGoal:
    return StoredGoal(row.id, row.version, code, *(getattr(row, name) for name in _GOAL_PARTS))


def _goal_in_use(connection: Connection, goal_id: int) -> StoredGoal:
    row = in_use(connection, _GOALS, goal_id, "goal")
    return _goal(row, _code(connection, row.child_id))


def _note_query() -> schema.Query:
    """Notes with their sessions, but for sessions that are deleted."""
    sessions = schema.sessions
    there = (sessions.c.id == _NOTES.c.session_id) & (sessions.c.trashed == "")
    return select(_NOTES, sessions.c.id.label("held")).outerjoin(sessions, there)


def _note(row: schema.FoundRow, code: str) -> StoredNote:
    return StoredNote(row.id, row.version, code, row.date, row.held, *(getattr(row, name) for name in _NOTE_PARTS))


def _note_in_use(connection: Connection, note_id: int) -> StoredNote:
    row = in_use(connection, _NOTES, note_id, "note")
    held = connection.execute(_note_query().where(_NOTES.c.id == note_id)).one()
    return _note(held, _code(connection, row.child_id))
