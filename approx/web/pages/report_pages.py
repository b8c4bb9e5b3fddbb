"""Now against then, and the report on a child put together of ticked parts: on the page, as DOCX and as PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild
from approx.web.forms.printed_file import FILE_TYPES, document_file, document_part
from approx.web.server.desk import DESK_LANGUAGES, Desk

if TYPE_CHECKING:
    from approx.api.samples.comparing import SampleComparison
    from approx.reports.document import Document
    from approx.web.forms.sample_analysis import Moment

REPORT_PARTS = ("words", "evaluation", "compare", "progress", "goals", "notes")


def compare(desk: Desk, request: Request) -> Response:
    """Two samples of the child side by side."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    there, pair, answer = _compared(desk, request, child)
    made = _comparison(desk, request, child, answer)
    kind = request.path_params.get("kind", "")
    if kind:
        if made is None or kind not in FILE_TYPES:
            return desk.page(request, "missing", 404)
        return document_file(made, kind, "now-and-then")
    own = answer.found.problems if answer.found else answer.problems
    refused = any(problem.fatal for problem in own)
    return desk.page(
        request, "compare", 422 if refused else 200, child=child, moments=there, pair=pair, body=document_part(made),
        heading=made.title if made else "", query=str(request.query_params), problems=answer.problems,
        tongue=_tongue(desk, request), page_languages=DESK_LANGUAGES,
    )  # fmt: skip


def report(desk: Desk, request: Request) -> Response:
    """The parts that were ticked, one after the other."""
    from approx.reports.regions import with_region
    from approx.web.forms.sample_analysis import evaluations, moments

    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    asked = [part for part in REPORT_PARTS if part in request.query_params.getlist("part")]
    there, pair, problems = (), None, ()  # type: tuple[Moment, ...], tuple[Moment, Moment] | None, tuple[Problem, ...]
    parts: list[Document] = []
    for part in asked:
        if part == "compare":
            there, pair, answer = _compared(desk, request, child)
            made, problems = _comparison(desk, request, child, answer), answer.problems
            parts += [] if made is None else [made]
        elif part == "evaluation":
            tag, key = with_region(_tongue(desk, request), child.languages[0]), request.query_params.get("now", "")
            parts += evaluations(moments(desk, child), key, child, tag)
        else:
            tongue = with_region(_tongue(desk, request), child.languages[0])
            parts += _part(desk, request, child, part, tongue)
    made = _whole(desk, request, child, parts) if parts else None
    kind = request.path_params.get("kind", "")
    if kind:
        if made is None or kind not in FILE_TYPES:
            return desk.page(request, "missing", 404)
        return document_file(made, kind, "report")
    days = there or moments(desk, child)
    # before anything was asked, the whole report is ticked, but for what there are too few samples for
    needs = {"evaluation": 1, "compare": 2}
    every = [part for part in REPORT_PARTS if len(days) >= needs.get(part, 0)]
    ticked = asked if "then" in request.query_params else every
    return desk.page(
        request, "report", child=child, parts=REPORT_PARTS, asked=asked, ticked=ticked, moments=days, pair=pair,
        body=document_part(made), heading=made.title if made else "", query=str(request.query_params), problems=problems,
        tongue=_tongue(desk, request), page_languages=DESK_LANGUAGES,
    )  # fmt: skip


def _tongue(desk: Desk, request: Request) -> str:
    asked = request.query_params.get("language", "")
    return asked if asked in DESK_LANGUAGES else desk.texts(request).language


def _compared(
    desk: Desk, request: Request, child: StoredChild
) -> tuple[tuple[Moment, ...], tuple[Moment, Moment] | None, SampleComparison]:
    from approx.api.samples.comparing import SampleComparison
    from approx.web.forms.sample_analysis import compared, moments, picked

    there = moments(desk, child)
    pair = picked(there, request.query_params.get("then", ""), request.query_params.get("now", ""))
    if pair is None:
        hint = "enter another sample, or one with rows of two dates"
        none = Problem("desk.one_sample", "there are no two samples yet", hint, fatal=False)
        return there, None, SampleComparison((none,))
    return there, pair, compared(pair, child)


def _comparison(desk: Desk, request: Request, child: StoredChild, answer: SampleComparison) -> Document | None:
    from approx.records.database.rows import age_text
    from approx.reports.regions import with_region

    if answer.found is None:
        return None
    tag = with_region(_tongue(desk, request), child.languages[0])
    return answer.document(tag, age_text(child, answer.found.now.date))


def _part(desk: Desk, request: Request, child: StoredChild, part: str, tongue: str) -> list[Document]:
    """One part from the caseload; what there is nothing of says so, or is left out. Its charts come by themselves on a page."""
    from approx.reports.documents.child_report import words_document
    from approx.reports.text.goals import kept_goals
    from approx.web.forms.progress_facts import document_of, facts_of
    from approx.web.pages.note_pages import note_documents
    from approx.web.pages.progress_pages import chart_places

    if part == "words":
        targets = desk.caseload.targets(child.code)
        return [] if isinstance(targets, Refused) else [words_document(targets, tongue)]
    if part == "goals":
        goals = desk.caseload.goals(child.code)
        return (
            [] if isinstance(goals, Refused) else [kept_goals(child.code, [(g.text, g.state) for g in goals], tongue)]
        )
    if part == "notes":
        return note_documents(desk, child, tongue)
    found = desk.caseload.progress(child.code)
    if isinstance(found, Refused) or not found.probes:
        return []
    if request.path_params.get("kind"):
        return [document_of(facts_of(found), tongue, "light")]
    return [document_of(facts_of(found), tongue, draw=chart_places(desk, request, child.code))]


def _whole(desk: Desk, request: Request, child: StoredChild, parts: list[Document]) -> Document:
    from approx.records.database.rows import age_text
    from approx.records.tables.checks import today
    from approx.reports.documents.child_report import child_report
    from approx.reports.regions import with_region

    tag = with_region(_tongue(desk, request), child.languages[0])
    return child_report(child.code, today(), parts, tag, age_text(child, today()))
