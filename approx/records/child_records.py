"""Children, their profiles with history, and the forms chosen for their words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, func, select

from approx.problems import Problem
from approx.records import schema
from approx.records.checks import today
from approx.records.codes import clean_code, code_remarks
from approx.records.refusals import RefusalError, answered, refusal
from approx.records.rows import Child, ChildSummary, StoredProfile, Trashed
from approx.records.store import Store
from approx.records.trash import put_away
from approx.records.versions import add, change, conflict

_CHILDREN, _PROFILES = schema.children, schema.profiles


def child_row(row: Any) -> Child:
    """A row of the table as the room gives it out."""
    return Child(
        row.id, row.version, row.code, row.age, row.age_on, row.birth_month, tuple(row.languages.split()),
        tuple(filter(None, row.accents.split("; "))), row.note, row.made, code_remarks(row.code),
    )  # fmt: skip


def find_child(connection: Connection, code: str) -> Child:
    """The child with a code, capitals or not. Refused if there is none."""
    wanted = clean_code(code) if isinstance(code, str) else ""
    row = connection.execute(select(_CHILDREN).where(_CHILDREN.c.code == wanted, _CHILDREN.c.trashed == "")).first()
    if row is None:
        raise refusal("no_child", f"there is no child '{wanted}'", "look at the caseload", wanted)
    return child_row(row)


class ChildRecords(Store):
    """What is kept of a child itself."""

    @answered
    def children(self) -> tuple[ChildSummary, ...]:
        """All children by code, each with what there is of it."""

        def per_child(value: Any, table: Any, *more: Any) -> Any:
            return (
                select(value).where(table.c.child_id == _CHILDREN.c.id, table.c.trashed == "", *more).scalar_subquery()
            )

        samples, sessions, probes, targets = schema.samples, schema.sessions, schema.probes, schema.targets
        counts = (
            per_child(func.count(), samples).label("samples"),
            per_child(func.count(), sessions).label("sessions"),
            per_child(func.count(), targets, targets.c.state == "active").label("active"),
            per_child(func.max(sessions.c.date), sessions).label("last_session"),
            per_child(func.max(probes.c.date), probes).label("last_probe"),
        )
        with self._reading() as connection:
            rows = connection.execute(
                select(_CHILDREN, *counts).where(_CHILDREN.c.trashed == "").order_by(_CHILDREN.c.code)
            )
            return tuple(
                ChildSummary(
                    child_row(row), row.samples, row.sessions, row.active, row.last_session or "", row.last_probe or ""
                )
                for row in rows
            )

    @answered
    def add_child(
        self,
        code: str,
        *,
        age: str = "",
        age_on: str = "",
        birth_month: str = "",
        languages: Sequence[str] = ("en-US",),
        accents: Sequence[str] = (),
        note: str = "",
    ) -> Child:
        """A new child. An age without a day is that of today."""
        with self._writing() as connection:
            new = {
                "code": code, "age": age, "age_on": age_on or (today() if age else ""), "birth_month": birth_month,
                "languages": " ".join(languages), "accents": _accents(accents), "note": note, "made": today(),
            }  # fmt: skip
            _code_is_free(connection, code)
            add(connection, _CHILDREN, new)
            return find_child(connection, code)

    @answered
    def child(self, code: str) -> Child:
        """One child."""
        with self._reading() as connection:
            return find_child(connection, code)

    @answered
    def save_child(self, child: Child) -> Child:
        """The child changed; a changed code renames it. Refused with the present row if `child.version` is stale."""
        with self._writing() as connection:
            row = connection.execute(
                select(_CHILDREN).where(_CHILDREN.c.id == child.id, _CHILDREN.c.trashed == "")
            ).first()
            if row is None:
                raise refusal("no_child", "there is no such child any more", "it may have been deleted")
            _code_is_free(connection, child.code, child.id)
            age_on = child.age_on or (today() if child.age else "")
            values = {
                "code": child.code, "age": child.age, "age_on": age_on, "birth_month": child.birth_month,
                "languages": " ".join(child.languages), "accents": _accents(child.accents), "note": child.note,
            }  # fmt: skip
            change(connection, _CHILDREN, child.id, child.version, values, lambda: child_row(row))
            if row.code != find_child(connection, child.code).code:
                from approx.records.renaming import rename

                rename(connection, child.id, row.code, clean_code(child.code))
            return find_child(connection, child.code)

    @answered
    def delete_child(self, code: str) -> Trashed:
        """Put a child away with all that belongs to it."""
        with self._writing() as connection:
            child = find_child(connection, code)
            return put_away(connection, _CHILDREN, child.id, "child", child.code)

    @answered
    def profile(self, code: str) -> StoredProfile | None:
        """The present profile; None if the child has none yet."""
        with self._reading() as connection:
            found = _profiles(connection, find_child(connection, code).id, 1)
        from approx.records.profile_text import profile_problems

        return replace(found[0], remarks=profile_problems(found[0].text, code)) if found else None

    @answered
    def save_profile(self, code: str, text: str, version: int, source: str = "") -> StoredProfile:
        """A new profile; the older ones stay in the history. `version`: of the profile that was shown, 0 for none.

        Refused with every problem of the text, as `approx child check` names them; remarks do not stop it.
        """
        from approx.records.profile_text import profile_problems

        problems = profile_problems(text, code)
        fatal = [problem for problem in problems if problem.fatal]
        if fatal:
            raise RefusalError(*fatal)
        with self._writing() as connection:
            child = find_child(connection, code)
            now = _profiles(connection, child.id, 1)
            if (now[0].version if now else 0) != version:
                raise conflict(now[0]) if now else refusal("conflict", "that profile was deleted", "open it again")
            # a number is never given twice, so that a deleted profile can come back
            last = connection.execute(select(func.max(_PROFILES.c.number)).where(_PROFILES.c.child_id == child.id))
            new = {"number": (last.scalar() or 0) + 1, "text": text, "date": today(), "source": source}
            add(connection, _PROFILES, new, child_id=child.id)
            return replace(_profiles(connection, child.id, 1)[0], remarks=problems)

    @answered
    def profile_history(self, code: str) -> tuple[StoredProfile, ...]:
        """All profiles of a child, latest first."""
        with self._reading() as connection:
            return _profiles(connection, find_child(connection, code).id)

    @answered
    def delete_profile(self, profile_id: int) -> Trashed:
        """Put one profile of the history away."""
        with self._writing() as connection:
            return put_away(connection, _PROFILES, profile_id, "profile", "profile")


def _profiles(connection: Connection, child_id: int, most: int | None = None) -> tuple[StoredProfile, ...]:
    query = select(_PROFILES).where(_PROFILES.c.child_id == child_id, _PROFILES.c.trashed == "")
    rows = connection.execute(query.order_by(_PROFILES.c.number.desc()).limit(most)).all()
    return tuple(StoredProfile(row.id, row.number, row.text, row.date, row.source) for row in rows)


def _accents(names: Sequence[str]) -> str:
    if any(";" in name for name in names):
        raise refusal("value", "an accent has no semicolon in its name", "take one from the list")
    return "; ".join(name.strip() for name in names if name.strip())


def _code_is_free(connection: Connection, code: str, but: int = 0) -> None:
    wanted = clean_code(code) if isinstance(code, str) else ""
    taken = select(_CHILDREN.c.id).where(_CHILDREN.c.code == wanted, _CHILDREN.c.trashed == "", _CHILDREN.c.id != but)
    if connection.execute(taken).first():
        raise RefusalError(
            Problem("records.twice", f"there is a child '{wanted}' already", "choose another code", symbol=wanted)
        )
