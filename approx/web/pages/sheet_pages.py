"""Sheets to print for a child: words and phrases picked, a kind of page chosen; shown to print, and as PDF and DOCX."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild, StoredTarget
from approx.web.forms.child_now import languages_for, profile_now, stops, without_lines
from approx.web.forms.printed_file import FILE_TYPES, data_file
from approx.web.forms.sheet_form import SheetForm, sheet_form, sheet_of, with_own_pictures
from approx.web.server.desk import DESK_LANGUAGES, WEB_FOLDER, Desk, child_path

if TYPE_CHECKING:
    from approx.reports.sheets.page_types import Page


def sheets(desk: Desk, request: Request) -> Response:
    """The form; with a kind chosen, what there is to say about that page and the ways to print it."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    form = sheet_form(request.query_params, desk.texts(request).language)
    if not form.asked:
        return _form(desk, request, child, form, None, ())
    page, problems = sheet_of(desk, child, form)
    return _form(desk, request, child, form, page, problems)


def sheet(desk: Desk, request: Request) -> Response:
    """The page itself, on white, to be printed by the browser."""
    from approx.reports.sheets.as_html import Linked, page_html

    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    form = sheet_form(request.query_params, desk.texts(request).language)
    page, problems = sheet_of(desk, child, form)
    if page is None or stops(problems):
        return _form(desk, request, child, form, None, problems)
    back = f"{child_path(child.code, 'sheets')}?{request.query_params}"
    texts = desk.texts(request)
    linked = Linked(
        style=f"/sheet/{form.kind}.{form.paper}.css", script="/static/print.js", icon="/static/desk.svg", back=back,
        back_text=texts("sheets.back"), print_text=texts("sheets.print"),
    )  # fmt: skip
    return HTMLResponse(page_html(with_own_pictures(desk, child, page, inside_file=False), linked))


def style(desk: Desk, request: Request) -> Response:
    """The style of a kind of page on a paper."""
    from approx.reports.sheets.as_html import sheet_style

    try:
        text = sheet_style(request.path_params["kind"], request.path_params["paper"], "/fonts")
    except KeyError:
        return desk.page(request, "missing", 404)
    screen = (WEB_FOLDER / "sheet_screen.css").read_text(encoding="utf-8")
    return Response(f"{text}{screen}", media_type="text/css")


def file(desk: Desk, request: Request) -> Response:
    """The page as PDF or DOCX."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    form = sheet_form(request.query_params, desk.texts(request).language)
    page, problems = sheet_of(desk, child, form)
    kind = request.path_params["as_kind"]
    if page is None or stops(problems):
        return _form(desk, request, child, form, None, problems)
    page = with_own_pictures(desk, child, page, inside_file=True)
    if kind == "pdf":
        from approx.reports.sheets.as_html import page_pdf

        return data_file(page_pdf(page), kind, form.kind)
    if kind == "docx":
        from approx.reports.sheets.as_docx import page_docx

        return data_file(page_docx(page), kind, form.kind)
    return desk.page(request, "missing", 404)


def _form(
    desk: Desk, request: Request, child: StoredChild, form: SheetForm, page: Page | None, problems: tuple[Problem, ...]
) -> Response:  # fmt: skip
    from approx.api.options import trial_orders
    from approx.reports.sheets.page_types import PAPERS
    from approx.reports.sheets.sheet_page import EDITABLE
    from approx.reports.sheets.sheet_page import SHEET_KINDS as SHEETS

    targets = desk.caseload.targets(child.code)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    profile = profile_now(desk, child)
    say = desk.texts(request)
    tongues = languages_for(child, profile) if profile else child.languages
    shown: dict[str, Any] = {
        "boxes": _boxes(targets, form),
        "kinds": SHEETS,
        "papers": [(paper, say(f"sheets.{paper}")) for paper in PAPERS],
        "orders": [(order, say(f"sheets.order_{order}")) for order in trial_orders()],
        "tongues": [(tag, tag) for tag in tongues],
    }
    made = page is not None and not stops(problems)
    files = [kind for kind in FILE_TYPES if kind == "pdf" or form.kind in EDITABLE] if made else []
    return desk.page(
        request, "sheets", 422 if stops(problems) else 200, child=child, form=form, made=made, files=files,
        query=str(request.query_params), profile=profile, page_languages=DESK_LANGUAGES,
        problems=without_lines(problems), **shown,
    )  # fmt: skip


def _boxes(targets: tuple[StoredTarget, ...], form: SheetForm) -> list[tuple[str, str, bool]]:
    """(word, form aimed at, ticked): the words in work, then those that were picked elsewhere."""
    known = [target for target in targets if target.state != "control"]
    fresh = not form.asked and not form.words and not form.phrases
    boxes = [(each.word, each.form, each.state == "active" if fresh else each.word in form.words) for each in known]
    names = {each.word for each in known}
    return boxes + [(word, "", True) for word in form.words if word not in names]
