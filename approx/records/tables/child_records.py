"""Children, their profiles with history, and the forms chosen for their words.

What is wrong with the text of a profile is said in the words of the reader of child files. A new code is written wherever the
old one stood: in the texts of profiles, and in the column of the child in samples.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import ColumnElement, Connection, ScalarSelect, Table, func, select, update

from approx.child import read_table
from approx.problems import Problem
from approx.records.database import schema
from approx.records.database.refusals import RefusalError, answered, refusal
from approx.records.database.rows import ChildSummary, StoredChild, StoredProfile, Trashed
from approx.records.database.store import Store
from approx.records.tables.checks import clean_code, code_remarks, today
from approx.records.tables.checks import text as checked_text
from approx.records.tables.trash import put_away
from approx.records.tables.versions import add, change, conflict
from approx.wording import worded

_NOT_SET = ("child", "X01")
"""Codes of a profile that was made without one."""


def profile_problems(text: str, code: str) -> tuple[Problem, ...]:
    """Every problem and remark of a child file, with line and column; its code must be the child's."""
    try:
        checked_text(text)
        table = tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        return (
            Problem("child.syntax", worded("not valid TOML: {said}", said=error), "a text value goes in double quotes"),
        )
    except (ValueError, RecursionError):
        return (Problem("child.syntax", "not a child file", "a profile is a few lines of text"),)
    if not table:
        return (Problem("child.empty", "the profile has nothing about a child", "tap the sounds the child has"),)
    profile, problems = read_table(table, text)
    if profile.code not in _NOT_SET and clean_code(profile.code).casefold() != clean_code(code).casefold():
        message = worded("the profile is for '{code}', not for '{code2}'", code=profile.code, code2=code)
        problems = (*problems, Problem("records.other_child", message, "change its line `code`", symbol=profile.code))
    return problems


def rename(connection: Connection, child_id: int, old: str, new: str) -> None:
    """Put the new code in place of the old one in all that the child's row owns."""
    children, profiles = schema.children, schema.profiles
    connection.execute(update(children).where(children.c.id == child_id).values(code=new))
    for row in connection.execute(select(profiles.c.id, profiles.c.text).where(profiles.c.child_id == child_id)).all():
        text = with_code(row.text, old, new)
        if text != row.text:
            connection.execute(update(profiles).where(profiles.c.id == row.id).values(text=text))
    samples = schema.samples
    for row in connection.execute(select(samples.c.id, samples.c.header).where(samples.c.child_id == child_id)).all():
        _in_rows(connection, row.id, json.loads(row.header), old, new)


def with_code(text: str, old: str, new: str) -> str:
    """A child file with its line `code` changed; one of another code stays as it is."""
    line = re.compile(rf"^(code\s*=\s*)([\"']){re.escape(old)}\2", re.MULTILINE | re.IGNORECASE)
    return line.sub(lambda found: f'{found[1]}"{new}"', text, count=1)


def _in_rows(connection: Connection, sample_id: int, header: list[str], old: str, new: str) -> None:
    from approx.samples.columns.headers import lay_out

    table = schema.sample_rows
    query = select(table.c.id, table.c.cells).where(table.c.sample_id == sample_id).order_by(table.c.row)
    rows = [(row.id, json.loads(row.cells)) for row in connection.execute(query)]
    place = lay_out(header, [cells for _, cells in rows[:200]], "").at.get("child")
    if place is None:
        return
    for row_id, cells in rows:
        if len(cells) > place and cells[place].strip().casefold() == old.casefold():
            cells[place] = new
            changed = json.dumps(cells, ensure_ascii=False)
            connection.execute(update(table).where(table.c.id == row_id).values(cells=changed))


_CHILDREN, _PROFILES = schema.children, schema.profiles


def child_row(row: schema.FoundRow) -> StoredChild:
    """A row of the table as the package gives it out."""
    return StoredChild(
        row.id, row.version, row.code, row.age, row.age_on, row.birth_month, tuple(row.languages.split()),
        tuple(filter(None, row.accents.split("; "))), row.note, row.made, code_remarks(row.code),
    )  # fmt: skip


def find_child(connection: Connection, code: str) -> StoredChild:
    """The child with a code, capitals or not. Refused if there is none."""
    wanted = clean_code(code) if isinstance(code, str) else ""
    row = connection.execute(select(_CHILDREN).where(_CHILDREN.c.code == wanted, _CHILDREN.c.trashed == "")).first()
    if row is None:
        raise refusal("no_child", worded("there is no child '{wanted}'", wanted=wanted), "look at the caseload", wanted)
    return child_row(row)


class ChildRecords(Store):
    """What is kept of a child itself."""

    @answered
    def children(self) -> tuple[ChildSummary, ...]:
        """All children by code, each with what there is of it."""

        def per_child(value: ColumnElement[Any], table: Table, *more: ColumnElement[bool]) -> ScalarSelect[Any]:
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
            per_child(func.count(), _PROFILES).label("profiles"),
        )
        with self._reading() as connection:
            rows = connection.execute(
                select(_CHILDREN, *counts).where(_CHILDREN.c.trashed == "").order_by(_CHILDREN.c.code)
            )
            return tuple(
                ChildSummary(
                    child_row(row),
                    row.samples,
                    row.sessions,
                    row.active,
                    row.last_session or "",
                    row.last_probe or "",
                    row.profiles > 0,
                )  # fmt: skip
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
    ) -> StoredChild:
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
    def recent_children(self, most: int) -> tuple[str, ...]:
        """Codes of the children seen last, latest first; those never seen follow by code. A look of a few rows only."""
        sessions = schema.sessions
        with self._reading() as connection:
            seen = connection.execute(
                select(_CHILDREN.c.code)
                .join(sessions, sessions.c.child_id == _CHILDREN.c.id)
                .where(_CHILDREN.c.trashed == "", sessions.c.trashed == "")
                .order_by(sessions.c.id.desc())
                .limit(most * 40)
            ).scalars()
            codes = list(dict.fromkeys(seen))
            others = select(_CHILDREN.c.code).where(_CHILDREN.c.trashed == "").order_by(_CHILDREN.c.code)
            codes += connection.execute(others.limit(most + len(codes))).scalars()
            return tuple(dict.fromkeys(codes))[:most]

    @answered
    def child(self, code: str) -> StoredChild:
        """One child."""
        with self._reading() as connection:
            return find_child(connection, code)

    @answered
    def save_child(self, child: StoredChild) -> StoredChild:
        """The child changed; a changed code renames it. Refused with the present row if `child.version` is stale."""
        with self._writing() as connection:
            row = connection.execute(
                select(_CHILDREN).where(_CHILDREN.c.id == child.id, _CHILDREN.c.trashed == "")
            ).first()
            if row is None:
                raise refusal("no_child", "this child is no longer there", "it may have been deleted")
            _code_is_free(connection, child.code, child.id)
            age_on = child.age_on or (today() if child.age else "")
            values = {
                "code": child.code, "age": child.age, "age_on": age_on, "birth_month": child.birth_month,
                "languages": " ".join(child.languages), "accents": _accents(child.accents), "note": child.note,
            }  # fmt: skip
            change(connection, _CHILDREN, child.id, child.version, values, lambda: child_row(row))
            if row.code != find_child(connection, child.code).code:
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

        return replace(found[0], remarks=profile_problems(found[0].text, code)) if found else None

    @answered
    def save_profile(self, code: str, text: str, version: int, source: str = "") -> StoredProfile:
        """A new profile; the older ones stay in the history. `version`: of the profile that was shown, 0 for none.

        Refused with every problem of the text, as `approx child show` names them; remarks do not stop it.
        """
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


def _profiles(connection: Connection, child_id: int, most: int | None = None) -> tuple[StoredProfile, ...]:
    query = select(_PROFILES).where(_PROFILES.c.child_id == child_id, _PROFILES.c.trashed == "")
    rows = connection.execute(query.order_by(_PROFILES.c.number.desc()).limit(most)).all()
    return tuple(StoredProfile(row.id, row.number, row.text, row.date, row.source) for row in rows)


def _accents(names: Sequence[str]) -> str:
    if any(";" in name for name in names):
        raise refusal("value", "an accent has no semicolon in its name", "choose one from the list")
    return "; ".join(name.strip() for name in names if name.strip())


def _code_is_free(connection: Connection, code: str, but: int = 0) -> None:
    wanted = clean_code(code) if isinstance(code, str) else ""
    taken = select(_CHILDREN.c.id).where(_CHILDREN.c.code == wanted, _CHILDREN.c.trashed == "", _CHILDREN.c.id != but)
    if connection.execute(taken).first():
        raise RefusalError(
            Problem(
                "records.twice",
                worded("there is a child '{code}' already", code=wanted),
                "choose another code",
                symbol=wanted,
            )
        )
