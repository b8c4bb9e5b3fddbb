"""Notes of a child as documents, and the four parts that a session gives a new note."""

from __future__ import annotations

from typing import TYPE_CHECKING

from approx.records.database.rows import Child, Note, Refused, Session, Totals
from approx.web.server.desk import Desk

if TYPE_CHECKING:
    from approx.reports.document import Document

PARTS = ("subjective", "objective", "assessment", "plan")


def parts_of(desk: Desk, session: Session, tongue: str) -> dict[str, str]:
    """The four parts for a session, gaps marked for the clinician."""
    from approx.reports.text.notes import note_facts, note_parts

    totals, probes = desk.caseload.totals(session.id), desk.caseload.probes(session.child)
    if isinstance(totals, Refused):
        return dict.fromkeys(PARTS, "")
    facts = note_facts(session, totals, _before(desk, session), () if isinstance(probes, Refused) else probes, tongue)
    return dict(zip(PARTS, note_parts(facts, tongue)))


def _before(desk: Desk, session: Session) -> tuple[Session, Totals] | None:
    there = desk.caseload.sessions(session.child)
    earlier = (
        [] if isinstance(there, Refused) else [each for each in there if each.number < session.number and each.trials]
    )
    if not earlier:
        return None
    totals = desk.caseload.totals(earlier[-1].id)
    return None if isinstance(totals, Refused) else (earlier[-1], totals)


def note_document(desk: Desk, note: Note, tongue: str) -> Document:
    """One kept note."""
    from approx.reports.text.notes import kept_note

    session = desk.caseload.session(note.session_id) if note.session_id is not None else None
    number = None if session is None or isinstance(session, Refused) else session.number
    return kept_note(note.child, note.date, number, [getattr(note, name) for name in PARTS], tongue)


def note_documents(desk: Desk, child: Child, tongue: str) -> list[Document]:
    """All kept notes of a child, latest first."""
    notes = desk.caseload.notes(child.code)
    return [] if isinstance(notes, Refused) else [note_document(desk, note, tongue) for note in notes]
