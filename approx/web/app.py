"""The routes of the desk: which address is which page. Pages stand one file a topic beside this one."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from approx.datafiles import PACKAGE
from approx.web.server.desk import WEB_FOLDER, Desk
from approx.web.server.guard import Guard
from approx.web.server.posted import Posted, read_posted


class Later:
    """A file of pages that is loaded when one of its pages is first asked for, so that the first page waits for none."""

    def __init__(self, name: str) -> None:
        self.name = name

    def __getattr__(self, page: str) -> Callable[..., Response]:
        def load_and_call(*asked: object) -> Response:
            answer: Response = getattr(import_module(f"approx.web.pages.{self.name}"), page)(*asked)
            return answer

        load_and_call.__name__, load_and_call.__module__ = page, f"approx.web.pages.{self.name}"
        return load_and_call


if TYPE_CHECKING:
    from approx.web.pages import (
        caseload_pages,
        child_pages,
        desk_pages,
        goal_pages,
        note_pages,
        phrase_pages,
        picture_pages,
        progress_pages,
        report_pages,
        sample_pages,
        session_pages,
        sheet_pages,
        word_pages,
    )
else:
    caseload_pages = Later("caseload_pages")
    child_pages = Later("child_pages")
    desk_pages = Later("desk_pages")
    goal_pages = Later("goal_pages")
    note_pages = Later("note_pages")
    phrase_pages = Later("phrase_pages")
    picture_pages = Later("picture_pages")
    progress_pages = Later("progress_pages")
    report_pages = Later("report_pages")
    sample_pages = Later("sample_pages")
    session_pages = Later("session_pages")
    sheet_pages = Later("sheet_pages")
    word_pages = Later("word_pages")

_OPEN_TO_ALL = ("/unlock", "/language", "/glossary", "/manifest.webmanifest")
"""Pages that show nothing of any child, and so need no open caseload."""

Shown = Callable[[Desk, Request], Response]
Saved = Callable[[Desk, Request, Posted], Response]


def desk_app(desk: Desk, port: int) -> ASGIApp:
    """The application behind its guard."""
    app = Starlette(
        routes=routes(desk),
        exception_handlers={HTTPException: _not_found(desk), Exception: _failed(desk)},
    )
    return Guard(app, desk.door, port)


def routes(desk: Desk) -> list[BaseRoute]:
    """Every address of the desk."""

    def get(path: str, page: Shown) -> Route:
        return Route(path, _shown(desk, page), methods=["GET"])

    def post(path: str, page: Saved) -> Route:
        return Route(path, _saved(desk, page), methods=["POST"])

    child, session, sample = "/child/{code}", "/session/{session_id:int}", "/sample/{sample_id:int}"
    return [
        Mount("/static", StaticFiles(directory=WEB_FOLDER / "static")),
        Mount("/fonts", StaticFiles(directory=PACKAGE / "reports" / "fonts")),
        get("/unlock", caseload_pages.locked),
        post("/unlock", caseload_pages.unlock),
        post("/put-back", caseload_pages.put_back),
        get("/lock", caseload_pages.lock),
        post("/lock", caseload_pages.save),
        post("/lock/remove", caseload_pages.take_off),
        get("/language/{tag}", caseload_pages.language),
        get("/", at_one_look(caseload_pages.caseload)),
        post("/children", caseload_pages.add_child),
        post("/undo", caseload_pages.undo),
        post("/example", caseload_pages.open_example),
        post("/example/remove", caseload_pages.remove_example),
        get("/glossary", desk_pages.terms),
        get("/deleted", at_one_look(desk_pages.deleted)),
        get("/files", desk_pages.files),
        get("/browsers", desk_pages.browsers),
        post("/browsers", desk_pages.revoke),
        get("/parts", desk_pages.parts),
        get("/manifest.webmanifest", desk_pages.manifest),
        post("/lock-now", desk_pages.lock_now),
        post("/close", desk_pages.close),
        get(f"{child}/history", at_one_look(child_pages.history)),
        post(f"{child}/history/restore", child_pages.restore_profile),
        post(f"{child}/history/{{choice_id:int}}/delete", child_pages.delete_choice),
        get(child, at_one_look(child_pages.child)),
        post(f"{child}/facts", child_pages.save_facts),
        get(f"{child}/delete", child_pages.ask_delete),
        post(f"{child}/delete", child_pages.delete),
        get(f"{child}/sounds", at_one_look(child_pages.sounds)),
        post(f"{child}/sounds", child_pages.save),
        get(f"{child}/phrase", phrase_pages.phrase),
        get(f"{child}/phrase/answer", phrase_pages.answer_part),
        post(f"{child}/phrase/choose", phrase_pages.choose),
        get(f"{child}/samples", at_one_look(sample_pages.samples)),
        post(f"{child}/samples", sample_pages.add),
        post(f"{child}/samples/look", sample_pages.look),
        get(f"{child}/samples/template.csv", sample_pages.template),
        get("/read", sample_pages.read_part),
        get(sample, sample_pages.analysis),
        get(f"{sample}/{{what}}.{{kind}}", sample_pages.document),
        get(f"{sample}/rows", sample_pages.rows),
        post(f"{sample}/rows", sample_pages.save_rows),
        get(f"{sample}/sounds", sample_pages.sounds),
        post(f"{sample}/sounds", sample_pages.accept_sounds),
        post(f"{sample}/delete", sample_pages.delete),
        get(f"{child}/sessions", at_one_look(session_pages.sessions)),
        post(f"{child}/sessions", session_pages.start),
        post(f"{child}/targets", session_pages.add_target),
        post(f"{child}/targets/all", session_pages.save_targets),
        post(f"{child}/targets/{{target_id:int}}/delete", session_pages.delete_target),
        get("/group", at_one_look(session_pages.group)),
        post("/group", session_pages.start_group),
        get(session, at_one_look(session_pages.session)),
        post(f"{session}/trial", session_pages.record),
        post(f"{session}/undo", session_pages.take_back),
        post(f"{session}/day", session_pages.save_day),
        post(f"{session}/delete", session_pages.delete),
        get(f"{session}/grid", at_one_look(session_pages.grid)),
        post(f"{session}/grid", session_pages.save),
        get(f"{child}/progress", progress_pages.progress),
        get(f"{child}/progress/chart/{{number:int}}", progress_pages.chart),
        get(f"{child}/progress.{{kind}}", progress_pages.document),
        post(f"{child}/probes", progress_pages.add_probes),
        post(f"{child}/probe-table", progress_pages.paste_probes),
        post(f"{child}/phases", progress_pages.add_phase),
        post(f"{child}/probes/{{probe_id:int}}/delete", progress_pages.delete_probe),
        post(f"{child}/phases/{{phase_id:int}}/delete", progress_pages.delete_phase),
        *_practice_routes(get, post),
        get(f"{child}/export", caseload_pages.export_child),
        get("/export", caseload_pages.export_all),
        post("/import", caseload_pages.take_in),
    ]


def _practice_routes(get: Callable[[str, Shown], Route], post: Callable[[str, Saved], Route]) -> list[BaseRoute]:
    """Words and phrases to practise, what is printed of them, and what is written about the child."""
    child = "/child/{code}"
    return [
        get(f"{child}/words", word_pages.words),
        post(f"{child}/words", word_pages.take),
        get(f"{child}/phrases", phrase_pages.phrases),
        get(f"{child}/sheets", sheet_pages.sheets),
        get(f"{child}/sheet", sheet_pages.sheet),
        get(f"{child}/sheet.{{as_kind}}", sheet_pages.file),
        get("/sheet/{kind}.{paper}.css", sheet_pages.style),
        get(f"{child}/pictures", at_one_look(picture_pages.pictures)),
        post(f"{child}/pictures", picture_pages.put),
        get(f"{child}/picture/{{picture_id:int}}.jpg", picture_pages.image),
        post(f"{child}/pictures/{{picture_id:int}}/delete", picture_pages.delete),
        get(f"{child}/compare", report_pages.compare),
        get(f"{child}/compare.{{kind}}", report_pages.compare),
        get(f"{child}/report", report_pages.report),
        get(f"{child}/report.{{kind}}", report_pages.report),
        get(f"{child}/notes", at_one_look(note_pages.notes)),
        post(f"{child}/notes", note_pages.add),
        get(f"{child}/notes.{{kind}}", note_pages.file),
        get(f"{child}/notes/{{note_id:int}}", note_pages.note),
        post(f"{child}/notes/{{note_id:int}}", note_pages.save),
        post(f"{child}/notes/{{note_id:int}}/delete", note_pages.delete),
        get(f"{child}/notes/{{note_id:int}}.{{kind}}", note_pages.note),
        get(f"{child}/goals", at_one_look(goal_pages.goals)),
        post(f"{child}/goals", goal_pages.add),
        get(f"{child}/goals.{{kind}}", goal_pages.file),
        post(f"{child}/goals/{{goal_id:int}}", goal_pages.save),
        post(f"{child}/goals/{{goal_id:int}}/delete", goal_pages.delete),
    ]


def at_one_look(page: Shown) -> Shown:
    """A page that shows what is kept and computes next to nothing: all it reads is one transaction, and fits together."""

    def shown(desk: Desk, request: Request) -> Response:
        with desk.caseload.one_look():
            return page(desk, request)

    return shown


def _shown(desk: Desk, page: Shown) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        path = request.url.path
        if desk.problem is not None and not path.startswith(_OPEN_TO_ALL):
            return RedirectResponse("/unlock", 303)
        return await to_thread(page, desk, request)

    return endpoint


def _saved(desk: Desk, page: Saved) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        form = await read_posted(request, desk.csrf)
        if form is None:
            return desk.page(request, "stale", 403)
        if desk.problem is not None and request.url.path not in ("/unlock", "/put-back", "/close"):
            return RedirectResponse("/unlock", 303)
        return await to_thread(page, desk, request, form)

    return endpoint


def _not_found(desk: Desk) -> Callable[[Request, Exception], Response]:
    def page(request: Request, error: Exception) -> Response:
        status = error.status_code if isinstance(error, HTTPException) else 404
        return desk.page(request, "missing", status)

    return page


def _failed(desk: Desk) -> Callable[[Request, Exception], Response]:
    def page(request: Request, error: Exception) -> Response:
        return desk.page(request, "failed", 500)

    return page
