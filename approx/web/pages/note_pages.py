"""Notes: the text of a session in four parts, edited before it is kept; all of them listed, to print, as DOCX and PDF."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.database.rows import Conflict, Refused, StoredChild, StoredNote, StoredSession, Totals
from approx.records.tables.checks import name_remarks
from approx.web.forms.printed_file import FILE_TYPES, document_file, document_part
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted

if TYPE_CHECKING:
    from approx.reports.document import Document


def notes(desk: Desk, request: Request) -> Response:
    """The notes so far, and a new one: empty, or with what a session gives."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    typed = {"date": "", "session": ""} | dict.fromkeys(NOTE_PARTS, "")
    asked = request.query_params.get("session", "")
    there = desk.caseload.sessions(child.code)
    for session in () if isinstance(there, Refused) else there:
        if str(session.id) == asked:
            typed |= {"date": session.date, "session": asked} | parts_of(desk, session, desk.texts(request).language)
    return _list(desk, request, child, typed)


def add(desk: Desk, request: Request, form: Posted) -> Response:
    """Keep a new note."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    typed = {name: form.raw(name) for name in ("date", "session", *NOTE_PARTS)}
    if not any(typed[name].strip() for name in NOTE_PARTS):
        problem = Problem("desk.empty_note", "the note is empty", "choose a session, or write something")
        return _list(desk, request, child, typed, Refused((problem,)))
    kept = desk.caseload.add_note(
        child.code, form.text("date"), session_id=form.number("session"), subjective=typed["subjective"],
        objective=typed["objective"], assessment=typed["assessment"], plan=typed["plan"],
    )  # fmt: skip
    if isinstance(kept, Refused):
        return _list(desk, request, child, typed, kept)
    return go(child_path(child.code, "notes"), "note_kept")


def note(desk: Desk, request: Request) -> Response:
    """One note to be changed, or as a file."""
    found = _one(desk, request)
    if isinstance(found, Refused):
        return desk.refused(request, found)
    kind = request.path_params.get("kind", "")
    if kind in FILE_TYPES:
        return document_file(note_document(desk, found, desk.texts(request).language), kind, "note")
    return desk.page(request, "missing", 404) if kind else desk.page(request, "note", note=found, parts=NOTE_PARTS)


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """A note changed. A change made meanwhile in another window is shown, not lost."""
    found = _one(desk, request)
    if isinstance(found, Refused):
        return desk.refused(request, found)
    changed = replace(
        found, version=form.number("version") or 0, date=form.text("date") or found.date, subjective=form.raw("subjective"),
        objective=form.raw("objective"), assessment=form.raw("assessment"), plan=form.raw("plan"),
    )  # fmt: skip
    saved = desk.caseload.save_note(changed)
    if isinstance(saved, Conflict) and isinstance(saved.current, StoredNote):
        changed = replace(changed, version=saved.current.version)
    if isinstance(saved, Refused):
        return desk.page(request, "note", 422, note=changed, parts=NOTE_PARTS, problems=saved.problems)
    return go(child_path(found.child, "notes"), "saved")


def delete(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a note away; it can be brought back."""
    mine = desk.caseload.notes(request.path_params["code"])
    return desk.put_away(request, mine, request.path_params["note_id"], desk.caseload.delete_note, "notes")


def file(desk: Desk, request: Request) -> Response:
    """All notes as one file."""
    from approx.reports.documents.documents import joined_documents

    child, kind = desk.caseload.child(request.path_params["code"]), request.path_params["kind"]
    if isinstance(child, Refused):
        return desk.refused(request, child)
    kept = note_documents(desk, child, desk.texts(request).language)
    if kind not in FILE_TYPES or not kept:
        return desk.page(request, "missing", 404)
    return document_file(
        replace(joined_documents(kept), title=desk.texts(request)("notes.title", code=child.code)), kind, "notes"
    )


def _one(desk: Desk, request: Request) -> StoredNote | Refused:
    """The note, if it is this child's."""
    there = desk.caseload.notes(request.path_params["code"])
    if isinstance(there, Refused):
        return there
    found = next((each for each in there if each.id == request.path_params["note_id"]), None)
    return found or Refused((Problem("desk.note", "there is no such note", "it may have been deleted"),))


def _list(
    desk: Desk, request: Request, child: StoredChild, typed: Mapping[str, str], refused: Refused | None = None
) -> Response:
    there, sessions = desk.caseload.notes(child.code), desk.caseload.sessions(child.code)
    if isinstance(there, Refused):
        return desk.refused(request, there)
    if isinstance(sessions, Refused):
        return desk.refused(request, sessions)
    tongue = desk.texts(request).language
    shown = [(each, made.title, document_part(made)) for each in there for made in [note_document(desk, each, tongue)]]
    return desk.page(
        request, "notes", 422 if refused else 200, child=child, notes=shown, sessions=sessions, typed=typed, parts=NOTE_PARTS,
        problems=refused.problems if refused else (),
        remarks={
            each.id: [remark for part in NOTE_PARTS for remark in name_remarks(getattr(each, part))] for each in there
        },
    )  # fmt: skip


NOTE_PARTS = ("subjective", "objective", "assessment", "plan")


def parts_of(desk: Desk, session: StoredSession, tongue: str) -> dict[str, str]:
    """The four parts for a session, gaps marked for the clinician."""
    from approx.reports.text.notes import note_facts, note_parts

    totals, probes = desk.caseload.totals(session.id), desk.caseload.probes(session.child)
    if isinstance(totals, Refused):
        return dict.fromkeys(NOTE_PARTS, "")
    facts = note_facts(session, totals, _before(desk, session), () if isinstance(probes, Refused) else probes, tongue)
    return dict(zip(NOTE_PARTS, note_parts(facts, tongue)))


def _before(desk: Desk, session: StoredSession) -> tuple[StoredSession, Totals] | None:
    there = desk.caseload.sessions(session.child)
    earlier = (
        [] if isinstance(there, Refused) else [each for each in there if each.number < session.number and each.trials]
    )
    if not earlier:
        return None
    totals = desk.caseload.totals(earlier[-1].id)
    return None if isinstance(totals, Refused) else (earlier[-1], totals)


def note_document(desk: Desk, note: StoredNote, tongue: str) -> Document:
    """One kept note."""
    from approx.reports.text.notes import kept_note

    session = desk.caseload.session(note.session_id) if note.session_id is not None else None
    number = None if session is None or isinstance(session, Refused) else session.number
    return kept_note(note.child, note.date, number, [getattr(note, name) for name in NOTE_PARTS], tongue)


def note_documents(desk: Desk, child: StoredChild, tongue: str) -> list[Document]:
    """All kept notes of a child, latest first."""
    notes = desk.caseload.notes(child.code)
    return [] if isinstance(notes, Refused) else [note_document(desk, note, tongue) for note in notes]
