"""Sessions and trials: each trial is on the disk before the answer comes, and the last one can be taken back; and the counts of a
session's trials, by cue level and by target.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sqlalchemy import Connection, func, select

from approx.records.database import schema
from approx.records.database.refusals import answered, refusal
from approx.records.database.rows import (
    RecentSession,
    StoredSession,
    StoredTally,
    StoredTarget,
    TargetTotals,
    Totals,
    Trashed,
    Trial,
    TrialEntry,
    UndoneTrial,
)
from approx.records.database.store import Store
from approx.records.tables.checks import cue_ids, now, today
from approx.records.tables.child_records import find_child
from approx.records.tables.target_records import target_in_use
from approx.records.tables.trash import put_away
from approx.records.tables.versions import add, change, gone, in_use
from approx.wording import worded


def counted(trials: Sequence[Trial]) -> Totals:
    """All there is to count of some trials, which stand in order. Targets come in the order of their first trial.

    A target whose form changed within the session stands once for each form.
    """
    aims = dict.fromkeys((trial.target_id, trial.form) for trial in trials)
    by_target = []
    for target_id, form in aims:
        mine = [trial for trial in trials if (trial.target_id, trial.form) == (target_id, form)]
        by_target.append(TargetTotals(target_id, mine[0].word, form, tally(mine), by_help(mine)))
    return Totals(tally(trials), by_help(trials), tuple(by_target), trials[-1] if trials else None)


def tally(trials: Iterable[Trial]) -> StoredTally:
    """How the trials came out."""
    results = [trial.result for trial in trials]
    return StoredTally(results.count(2), results.count(1), results.count(0))


def by_help(trials: Sequence[Trial]) -> tuple[tuple[str, StoredTally], ...]:
    """The tally of each cue level, also of those not used, most help first."""
    return tuple((level, tally(trial for trial in trials if trial.help == level)) for level in cue_ids())


_SESSIONS, _TRIALS = schema.sessions, schema.trials
MOST_AT_ONCE = 2000


class SessionRecords(Store):
    """What was done in each session."""

    @answered
    def sessions(self, code: str) -> tuple[StoredSession, ...]:
        """The sessions of a child in order."""
        with self._reading() as connection:
            return sessions_of(connection, find_child(connection, code).id)

    @answered
    def latest_sessions(self, most: int) -> tuple[RecentSession, ...]:
        """The sessions entered last, of all children, latest first, each with the number of its notes."""
        children, notes = schema.children, schema.notes
        written = (
            select(func.count()).where(notes.c.session_id == _SESSIONS.c.id, notes.c.trashed == "").scalar_subquery()
        )
        with self._reading() as connection:
            rows = connection.execute(
                select(_SESSIONS.c.id, written.label("notes"))
                .join(children, children.c.id == _SESSIONS.c.child_id)
                .where(_SESSIONS.c.trashed == "", children.c.trashed == "")
                .order_by(_SESSIONS.c.id.desc())
                .limit(most)
            ).all()
            return tuple(RecentSession(_session_in_use(connection, row.id), row.notes) for row in rows)

    @answered
    def session(self, session_id: int) -> StoredSession:
        """One session."""
        with self._reading() as connection:
            return _session_in_use(connection, session_id)

    @answered
    def start_session(
        self,
        code: str,
        date: str = "",
        *,
        number: int | None = None,
        minutes: int | None = None,
        place: str = "",
        note: str = "",
    ) -> StoredSession:
        """A new session, by default today's and with the next number."""
        with self._writing() as connection:
            child = find_child(connection, code)
            mine = (_SESSIONS.c.child_id == child.id) & (_SESSIONS.c.trashed == "")
            if number is None:
                last = connection.execute(select(func.max(_SESSIONS.c.number)).where(mine)).scalar()
                number = (last or 0) + 1
            elif connection.execute(select(_SESSIONS.c.id).where(mine, _SESSIONS.c.number == number)).first():
                raise refusal(
                    "twice",
                    worded("session {number} already exists", number=number),
                    "open that one, or leave the number empty",
                )
            values = {"date": date or today(), "number": number, "minutes": minutes, "place": place, "note": note}
            return _session_in_use(connection, add(connection, _SESSIONS, values, child_id=child.id))

    @answered
    def save_session(self, session: StoredSession) -> StoredSession:
        """A session changed. Refused with the present one if the version is stale."""
        with self._writing() as connection:
            present = _session_in_use(connection, session.id)
            columns = ("date", "number", "minutes", "place", "note")
            values = {name: getattr(session, name) for name in columns}
            change(connection, _SESSIONS, session.id, session.version, values, lambda: present)
            return _session_in_use(connection, session.id)

    @answered
    def delete_session(self, session_id: int) -> Trashed:
        """Put a session away with its trials."""
        with self._writing() as connection:
            number = _session_in_use(connection, session_id).number
            return put_away(connection, _SESSIONS, session_id, "session", f"session {number}")

    @answered
    def record_trials(self, session_id: int, entries: Sequence[TrialEntry], key: str = "") -> Totals:
        """One trial or many, all or none: on the disk when this returns, with the counts of the session, its `last` trial too.

        `key`: any text that a page makes anew for each tap or grid. A request that comes twice, because its answer was lost,
        is counted once.
        """
        with self._writing() as connection:
            if not _entered(connection, session_id, key):
                if any(entry.times < 0 for entry in entries) or sum(entry.times for entry in entries) > MOST_AT_ONCE:
                    raise refusal(
                        "value",
                        worded("up to {most_at_once} trials can be entered at once", most_at_once=MOST_AT_ONCE),
                        "check the numbers",
                    )
                _add_trials(connection, session_id, entries, key)
            return counted(_trials(connection, session_id))

    @answered
    def undo_trial(self, session_id: int, trial_id: int | None = None) -> UndoneTrial:
        """Take back the last trial of a session, or the one named."""
        with self._writing() as connection:
            made = _trials(connection, session_id)
            trial = next((each for each in reversed(made) if trial_id in (None, each.id)), None)
            if trial is None:
                raise refusal("gone", "there is no trial to undo", "check the totals")
            away = put_away(connection, _TRIALS, trial.id, "trial", trial.word)
            return UndoneTrial(away, counted([each for each in made if each.id != trial.id]))

    @answered
    def trials(self, session_id: int) -> tuple[Trial, ...]:
        """The trials of a session in order."""
        with self._reading() as connection:
            return _trials(connection, session_id)

    @answered
    def totals(self, session_id: int) -> Totals:
        """Counts of a session, by cue level and by target."""
        with self._reading() as connection:
            return counted(_trials(connection, session_id))


def sessions_of(connection: Connection, child_id: int) -> tuple[StoredSession, ...]:
    """The sessions of a child in order, each with its number of trials."""
    rows = connection.execute(
        _session_query().where(_SESSIONS.c.child_id == child_id, _SESSIONS.c.trashed == "").order_by(_SESSIONS.c.number)
    )
    return tuple(_session(row) for row in rows)


def tallies_of(connection: Connection, child_id: int) -> dict[int, tuple[StoredTally, StoredTally]]:
    """For each session of a child: its tally, and that of the trials without help."""
    rows = connection.execute(
        select(_TRIALS.c.session_id, _TRIALS.c.help, _TRIALS.c.result, func.count())
        .join(_SESSIONS)
        .where(_SESSIONS.c.child_id == child_id, _SESSIONS.c.trashed == "", _TRIALS.c.trashed == "")
        .group_by(_TRIALS.c.session_id, _TRIALS.c.help, _TRIALS.c.result)
    )
    out: dict[int, tuple[StoredTally, StoredTally]] = {}
    for session_id, help, result, times in rows:
        tally = tally_of(result, times)
        every, alone = out.get(session_id, (StoredTally(), StoredTally()))
        out[session_id] = (every + tally, alone + tally if help == "none" else alone)
    return out


def tally_of(result: int, times: int = 1) -> StoredTally:
    """So many trials of one result."""
    return StoredTally(times * (result == 2), times * (result == 1), times * (result == 0))


def _session_query() -> schema.Query:
    tried = (
        select(func.count())
        .where(_TRIALS.c.session_id == _SESSIONS.c.id, _TRIALS.c.trashed == "")
        .scalar_subquery()
        .label("tried")
    )
    return select(_SESSIONS, schema.children.c.code, tried).join(schema.children)


def _session(row: schema.FoundRow) -> StoredSession:
    return StoredSession(
        row.id, row.version, row.code, row.date, row.number, row.minutes, row.place, row.note, row.tried
    )


def _session_in_use(connection: Connection, session_id: int) -> StoredSession:
    """One session. Refused if it is gone, or its child is."""
    here = (_SESSIONS.c.id == session_id, _SESSIONS.c.trashed == "", schema.children.c.trashed == "")
    row = connection.execute(_session_query().where(*here)).first()
    if row is None:
        raise gone("session")
    return _session(row)


def _trial_query() -> schema.Query:
    query = select(_TRIALS, schema.targets.c.word).join(schema.targets, schema.targets.c.id == _TRIALS.c.target_id)
    return query.order_by(_TRIALS.c.number, _TRIALS.c.id)


def _trials(connection: Connection, session_id: int) -> tuple[Trial, ...]:
    """The trials of a session that is in use, in one statement where there are any. Refused if it is gone."""
    children = schema.children
    query = _trial_query().join(_SESSIONS, _SESSIONS.c.id == _TRIALS.c.session_id)
    query = query.join(children, children.c.id == _SESSIONS.c.child_id).where(
        _TRIALS.c.session_id == session_id, _TRIALS.c.trashed == "", _SESSIONS.c.trashed == "", children.c.trashed == ""
    )
    found = tuple(_trial(row) for row in connection.execute(query))
    if not found:
        in_use(connection, _SESSIONS, session_id, "session")
    return found


def _entered(connection: Connection, session_id: int, key: str) -> bool:
    """True where trials came in under a key, taken back or not."""
    mine = (_TRIALS.c.session_id == session_id, _TRIALS.c.key == key)
    return key != "" and connection.execute(select(_TRIALS.c.id).where(*mine).limit(1)).first() is not None


def _trial(row: schema.FoundRow) -> Trial:
    return Trial(row.id, row.session_id, row.target_id, row.number, row.word, row.form, row.help, row.result, row.at)


def _add_trials(connection: Connection, session_id: int, entries: Sequence[TrialEntry], key: str) -> None:
    code, number = _child_and_last(connection, session_id)
    at, targets = now(), dict[int, StoredTarget]()
    for entry in entries:
        target = targets.get(entry.target_id) or target_in_use(connection, entry.target_id)
        targets[entry.target_id] = target
        if target.child != code:
            raise refusal("other_child", "that word is another child's", "choose a word of this child")
        for _ in range(entry.times):
            number += 1
            values = {
                "number": number, "form": target.form, "help": entry.help, "result": entry.result, "at": at, "key": key,
            }  # fmt: skip
            add(connection, _TRIALS, values, session_id=session_id, target_id=entry.target_id)


def _child_and_last(connection: Connection, session_id: int) -> tuple[str, int]:
    """Code of the child of a session, and the highest number a trial of it got, taken back or not. Refused if it is gone."""
    children = schema.children
    last = select(func.max(_TRIALS.c.number)).where(_TRIALS.c.session_id == _SESSIONS.c.id).scalar_subquery()
    here = (_SESSIONS.c.id == session_id, _SESSIONS.c.trashed == "", children.c.trashed == "")
    row = connection.execute(
        select(children.c.code, last.label("last")).select_from(_SESSIONS).join(children).where(*here)
    ).first()
    if row is None:
        raise gone("session")
    return row.code, row.last or 0
