"""Progress: probes entered by session or pasted as a table, phases, and the report on them with its charts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from io import BytesIO

from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.rows import Progress, Refused
from approx.web.desk import Desk, child_path, go
from approx.web.posted import Posted

ROWS = 3
_CHART_ATTRIBUTES = re.compile(
    r' style="max-width:100%;height:auto"| role="graphics-[a-z]+"| aria-roledescription="[^"]*"'
)
"""What a chart brings along and the page does without: a style, which the sheet of styles gives, and roles of its lines
and points, each of which would need a name of its own where the chart as a whole has one."""

KINDS = {
    "docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
    "pdf": "application/pdf",
}


def progress(desk: Desk, request: Request) -> Response:
    """Charts, figures and cautions, and below them the forms."""
    return _page(desk, request)


def add_probes(desk: Desk, request: Request, form: Posted) -> Response:
    """The probes of one session: a set a row."""
    code, session = request.path_params["code"], form.number("session")
    rows = [
        row
        for row in zip(form.every("set"), form.every("right"), form.every("out_of"), form.every("kind"))
        if row[0].strip()
    ]
    if session is None or not rows:
        problem = Problem("desk.probe", "a probe needs a session number and a set", "type both")
        return _page(desk, request, form, (problem,))
    problems: list[Problem] = []
    for name, right, out_of, kind in rows:
        counts = [
            int(text) if text.strip().isascii() and text.strip().isdecimal() and len(text) < 8 else -1
            for text in (right, out_of)
        ]
        added = desk.caseload.add_probe(
            code, session, name, counts[0], counts[1], treated=kind != "untreated", date=form.text("date")
        )
        problems += added.problems if isinstance(added, Refused) else ()
    return _page(desk, request, form, problems) if problems else go(child_path(code, "progress"), "saved")


def paste_probes(desk: Desk, request: Request, form: Posted) -> Response:
    """A whole table of probes, one session a row, with its phases."""
    from approx.web.progress_facts import pasted_probes

    code, pasted = request.path_params["code"], form.raw("pasted")
    rows, phases, problems = pasted_probes(BytesIO(pasted.encode("utf-8")), form.raw("starts"))
    if not any(problem.fatal for problem in problems):
        for row in rows:
            added = desk.caseload.add_probe(
                code, row.session, row.word_set, row.right, row.out_of, treated=row.treated, date=row.date
            )
            problems += added.problems if isinstance(added, Refused) else ()
        known = desk.caseload.phases(code)
        there = set() if isinstance(known, Refused) else {phase.name for phase in known}
        for phase in phases:
            if phase.name not in there:
                made = desk.caseload.add_phase(
                    code, phase.name, phase.first_session, kind=phase.kind, word_sets=phase.word_sets
                )
                problems += made.problems if isinstance(made, Refused) else ()
    if any(problem.fatal for problem in problems):
        return _page(desk, request, form, problems)
    return go(child_path(code, "progress"), "saved")


def add_phase(desk: Desk, request: Request, form: Posted) -> Response:
    """A phase from a session on; what kind it is follows from its name, as in a table of probes."""
    from approx.scoring.progress_rules import phase_kind

    code, name, first = request.path_params["code"], form.text("name"), form.number("first")
    sets = [text.strip() for text in form.text("sets").split(",") if text.strip()]
    added = desk.caseload.add_phase(code, name, first or 0, kind=phase_kind(name), word_sets=sets)
    if isinstance(added, Refused):
        return _page(desk, request, form, added.problems)
    return go(child_path(code, "progress"), "saved")


def document(desk: Desk, request: Request) -> Response:
    """The report as a file to edit or to send."""
    from approx.reports.documents import printed
    from approx.web.progress_facts import document_of, facts_of

    found = desk.caseload.progress(request.path_params["code"])
    kind = request.path_params["kind"]
    if isinstance(found, Refused):
        return desk.refused(request, found)
    if kind not in KINDS:
        return desk.page(request, "missing", 404)
    data = printed(document_of(facts_of(found), desk.texts(request).language, "light"), f".{kind}")
    return Response(
        data, media_type=KINDS[kind], headers={"content-disposition": f'attachment; filename="progress.{kind}"'}
    )


def _page(desk: Desk, request: Request, form: Posted | None = None, problems: Sequence[Problem] = ()) -> Response:
    found = desk.caseload.progress(request.path_params["code"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    typed = {
        name: form.raw(name) if form else ""
        for name in ("session", "date", "pasted", "starts", "name", "first", "sets")
    }
    fatal = any(problem.fatal for problem in problems)
    return desk.page(
        request, "progress", 422 if fatal else 200, child=found.child, found=found, body=_body(desk, request, found), rows=ROWS,
        typed=typed, problems=problems, sets=list(dict.fromkeys(probe.word_set for probe in found.probes)),
    )  # fmt: skip


def _body(desk: Desk, request: Request, found: Progress) -> Markup:
    """The report as a piece of the page; empty before the first probe. Texts in it are escaped where they are made."""
    from approx.reports.document_html import blocks_html
    from approx.reports.report_types import WritingSpace
    from approx.web.progress_facts import document_of, facts_of

    if not found.probes:
        return Markup("")
    made = document_of(facts_of(found), desk.texts(request).language)
    parts = [
        # an empty box, sized by the sheet of styles: the page allows no style of its own
        f'<div class="box" role="note" aria-label="{escape(block.label)}"></div>'
        if isinstance(block, WritingSpace)
        else blocks_html((block,))
        for block in made.blocks
    ]
    return Markup(_CHART_ATTRIBUTES.sub("", "".join(parts)))
