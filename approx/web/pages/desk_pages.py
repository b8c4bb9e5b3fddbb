"""Pages of the desk itself: terms explained, what was deleted lately, all parts of the look, the window of its own; locking now and
closing.
"""

from __future__ import annotations

from starlette.background import BackgroundTask
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from approx.problems import Problem
from approx.records.database.rows import Refused
from approx.records.tables.checks import cue_levels, trial_results
from approx.web.server.desk import Desk, go
from approx.web.server.page_parts import glossary
from approx.web.server.posted import Posted


def terms(desk: Desk, request: Request) -> Response:
    """Every term with its meaning and where it comes from."""
    return desk.page(request, "glossary", terms=glossary(desk.texts(request).language).values())


def deleted(desk: Desk, request: Request) -> Response:
    """What was deleted in the last day, each to be brought back."""
    found = desk.caseload.deleted()
    return desk.refused(request, found) if isinstance(found, Refused) else desk.page(request, "deleted", gone=found)


def files(desk: Desk, request: Request) -> Response:
    """The caseload as files: saved, taken in."""
    return desk.page(request, "files")


def browsers(desk: Desk, request: Request) -> Response:
    """The browsers that come in by a mark of their own, each to be revoked."""
    return desk.page(request, "browsers", known=desk.door.browsers.listed())


def revoke(desk: Desk, request: Request, form: Posted) -> Response:
    """Let one browser, or all of them, in no longer."""
    if form.ticked("all"):
        desk.door.browsers.revoke_all()
    else:
        desk.door.browsers.revoke(form.number("browser") or 0)
    return go("/browsers", "saved")


def parts(desk: Desk, request: Request) -> Response:
    """All parts of the look on one page, for those who build pages."""
    wrong = Problem("records.age", "'four' is not an age", "years;months, such as 3;2")
    remark = Problem("records.name", "'Anna' looks like a name", "use a code", fatal=False)
    return desk.page(request, "parts", problems=(wrong, remark), levels=cue_levels(), results=trial_results())


def manifest(desk: Desk, request: Request) -> Response:
    """What a browser needs to keep the desk as a window of its own."""
    say = desk.texts(request)
    return JSONResponse(
        {
            "name": say("site.name"), "short_name": "approx", "start_url": "/", "scope": "/", "display": "standalone",
            "background_color": "#f4f1ea", "theme_color": "#1f4d7a", "lang": say.language,
            "icons": [{"src": "/static/desk.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any"}],
        },
        media_type="application/manifest+json",
    )  # fmt: skip


def lock_now(desk: Desk, request: Request, form: Posted) -> Response:
    """Ask for the passphrase again from now on."""
    desk.lock_now()
    return go("/")


def close(desk: Desk, request: Request, form: Posted) -> Response:
    """Say that it is closed, then close."""
    answer = desk.page(request, "closed")
    answer.background = BackgroundTask(desk.stop)
    return answer
