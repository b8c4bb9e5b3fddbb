"""Progress: probes entered by session or pasted as a table, phases, and the report on them with its charts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from io import BytesIO
from itertools import count, groupby
from typing import TYPE_CHECKING

from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.progress.phases import Panel
from approx.records.database.rows import ProbeEntry, Progress, Refused
from approx.web.server.desk import DESK_LANGUAGES, Desk, child_path, go
from approx.web.server.posted import Posted

if TYPE_CHECKING:
    from approx.reports.document import Block, ProgressFacts

ROWS = 3
CHART_FILE_TYPES = {
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
        if row[0].strip() and row[1].strip()
    ]
    if session is None or not rows:
        problem = Problem("desk.probe", "a probe needs a session, a set and the number correct", "type them")
        return _page(desk, request, form, (problem,))
    entries = [
        ProbeEntry(session, name, _count(right), _count(out_of), kind != "untreated", form.text("date"))
        for name, right, out_of, kind in rows
    ]
    added = desk.caseload.add_probes(code, entries)
    if isinstance(added, Refused):
        return _page(desk, request, form, added.problems)
    return go(child_path(code, "progress"), "saved")


def paste_probes(desk: Desk, request: Request, form: Posted) -> Response:
    """A whole table of probes, one session a row, with its phases."""
    from approx.web.forms.progress_facts import pasted_probes

    code, pasted = request.path_params["code"], form.raw("pasted")
    rows, phases, problems = pasted_probes(BytesIO(pasted.encode("utf-8")), form.raw("starts"))
    if not any(problem.fatal for problem in problems):
        added = desk.caseload.add_probes(code, rows, phases)
        if not isinstance(added, Refused):
            return go(child_path(code, "progress"), "saved")
        problems += added.problems
    return _page(desk, request, form, problems)


def add_phase(desk: Desk, request: Request, form: Posted) -> Response:
    """A phase from a session on; what kind it is follows from its name, as in a table of probes."""
    from approx.progress.rules import phase_kind

    code, name, first = request.path_params["code"], form.text("name"), form.number("first")
    sets = [text.strip() for text in form.text("sets").split(",") if text.strip()]
    added = desk.caseload.add_phase(code, name, first or 0, kind=phase_kind(name), word_sets=sets)
    if isinstance(added, Refused):
        return _page(desk, request, form, added.problems)
    return go(child_path(code, "progress"), "saved")


def delete_probe(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a probe away that was entered wrongly; it can be brought back."""
    mine = desk.caseload.probes(request.path_params["code"])
    return desk.put_away(request, mine, request.path_params["probe_id"], desk.caseload.delete_probe, "progress")


def delete_phase(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a phase away; its sessions fall to the one before."""
    found = desk.caseload.progress(request.path_params["code"])
    mine = found if isinstance(found, Refused) else found.phases
    return desk.put_away(request, mine, request.path_params["phase_id"], desk.caseload.delete_phase, "progress")


def chart(desk: Desk, request: Request) -> Response:
    """One chart by itself: a second of drawing that the page does not wait for."""
    from approx.reports.charts.progress_chart import WIDEST, chart_svg
    from approx.web.forms.progress_facts import facts_of

    found = desk.caseload.progress(request.path_params["code"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    made, number = facts_of(found).panels, request.path_params["number"]
    if number >= len(made):
        return desk.page(request, "missing", 404)
    theme = "light" if request.query_params.get("alone") else "page"
    width = _count(request.query_params.get("width", ""))
    asked = request.query_params.get("language", "")
    language = asked if asked in DESK_LANGUAGES else desk.texts(request).language
    svg = chart_svg(made[number], theme, language, width if width > 0 else WIDEST)
    return Response(svg, media_type="image/svg+xml")


def document(desk: Desk, request: Request) -> Response:
    """The report as a file to edit or to send."""
    from approx.reports.documents.documents import printed
    from approx.web.forms.progress_facts import document_of, facts_of

    found = desk.caseload.progress(request.path_params["code"])
    kind = request.path_params["kind"]
    if isinstance(found, Refused):
        return desk.refused(request, found)
    if kind not in CHART_FILE_TYPES:
        return desk.page(request, "missing", 404)
    data = printed(document_of(facts_of(found), desk.texts(request).language, "light"), f".{kind}")
    return Response(
        data,
        media_type=CHART_FILE_TYPES[kind],
        headers={"content-disposition": f'attachment; filename="progress.{kind}"'},
    )


def _page(desk: Desk, request: Request, form: Posted | None = None, problems: Sequence[Problem] = ()) -> Response:
    from approx.web.forms.progress_facts import facts_of

    found = desk.caseload.progress(request.path_params["code"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    typed = {
        name: form.raw(name) if form else ""
        for name in ("session", "date", "pasted", "starts", "name", "first", "sets")
    }
    fatal, facts = any(problem.fatal for problem in problems), facts_of(found)
    return desk.page(
        request, "progress", 422 if fatal else 200, child=found.child, found=found, body=_body(desk, request, found, facts),
        begun=any(phase.kind != "baseline" for phase in found.phases), rows=_rows(found, form), next_session=_next_session(found), ready=_ready(desk, request, found, facts), typed=typed,
        problems=problems, rungs=facts.rungs,
    )  # fmt: skip


def _rows(found: Progress, form: Posted | None) -> list[tuple[str, str, str, str]]:
    """(set, right, out of, kind) of each row to fill in: as typed, else the sets so far with nothing right yet, and a new one."""
    if form is not None and form.every("set"):
        return list(zip(form.every("set"), form.every("right"), form.every("out_of"), form.every("kind")))
    latest = {each.word_set: each for each in sorted(found.probes, key=lambda each: each.session)}
    known = [
        (name, "", str(probe.out_of), "treated" if probe.treated else "untreated") for name, probe in latest.items()
    ]
    return known + [("", "", "10", "treated")] * max(1, ROWS - len(known))


def _next_session(found: Progress) -> int:
    """The number of the latest session, or the one after the latest probe."""
    probed = max((each.session for each in found.probes), default=0)
    held = max((session.number for session, _, _ in found.sessions), default=0)
    return held if held > probed else probed + 1


def _ready(desk: Desk, request: Request, found: Progress, facts: ProgressFacts) -> list[str]:
    """Each set against its criterion, a sentence each; before any treatment has a beginning, the last probe of each set."""
    from approx.reports.text.progress import readiness_line

    if not found.probes:
        return []
    say = desk.texts(request)
    against = [readiness_line(each, say.language) for each in facts.readiness]
    latest = {probe.word_set: probe for probe in sorted(found.probes, key=lambda each: each.session)}
    return against or [
        say("progress.latest", name=name, right=probe.right, out_of=probe.out_of, session=probe.session)
        for name, probe in latest.items()
    ]


def _body(desk: Desk, request: Request, found: Progress, facts: ProgressFacts) -> Markup:
    """The report as a piece of the page; empty before the first probe. Texts in it are escaped where they are made."""
    from approx.reports.document import Grid
    from approx.web.forms.progress_facts import document_of

    if not found.probes:
        return Markup("")
    draw = chart_places(desk, request, found.child.code)
    made = document_of(facts, desk.texts(request).language, draw=draw)
    parts: list[str] = []
    for folded, group in groupby(made.blocks, key=lambda block: isinstance(block, Grid)):
        html = "".join(_block(block) for block in group)
        title = escape(desk.texts(request)("progress.figures"))
        parts.append(f'<details class="card"><summary>{title}</summary>{html}</details>' if folded else html)
    return Markup("".join(parts))


def chart_places(desk: Desk, request: Request, code: str) -> Callable[[Panel, str, str], str]:
    """What stands where a chart will come, as wide as its place; a reader without script gets it as a picture."""
    from approx.reports.charts.progress_chart import chart_title

    numbers = count()

    def place(panel: Panel, theme: str, language: str) -> str:
        address = child_path(code, f"progress/chart/{next(numbers)}")
        asked = f"?language={language.partition('-')[0]}"
        waiting = escape(desk.texts(request)("progress.drawing"))
        picture = f'<img src="{address}{asked}&amp;alone=1" alt="{escape(chart_title(panel, language))}">'
        return (
            f'<div class="drawing" data-chart="{address}{asked}"><p>{waiting}</p><noscript>{picture}</noscript></div>'
        )

    return place


def _block(block: Block) -> str:
    """A block of the report; an empty box is sized by the sheet of styles, for the page allows no style of its own."""
    from approx.reports.document import WritingSpace
    from approx.reports.documents.html import blocks_html

    if isinstance(block, WritingSpace):
        return f'<div class="box only-paper">{escape(block.label)}</div>'
    return blocks_html((block,))


def _count(text: str) -> int:
    """A number as it was typed, -1 for what is none: the records say what is wrong with it."""
    return int(text) if text.strip().isascii() and text.strip().isdecimal() and len(text) < 8 else -1
