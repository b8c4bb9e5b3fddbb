"""The passphrase of the caseload: set, changed, taken off. It is never kept, shown or logged."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.locked import SHORTEST
from approx.records.rows import Refused
from approx.web.desk import Desk, go
from approx.web.posted import Posted


def lock(desk: Desk, request: Request) -> Response:
    """Whether the file is locked, and the forms."""
    return _page(desk, request)


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """Lock the file, or change its passphrase; whoever changes it has to know the present one."""
    say, new = desk.texts(request), form.raw("new")
    if desk.caseload.locked and not desk.caseload.is_passphrase(form.raw("now")):
        return _page(desk, request, say("lock.wrong_now"))
    if new != form.raw("again"):
        return _page(desk, request, say("lock.differ"))
    if not form.ticked("kept"):
        return _page(desk, request, say("lock.not_kept"))
    refused = desk.caseload.set_passphrase(new)
    if isinstance(refused, Refused):
        return _page(desk, request, refused=refused)
    return go("/lock", "locked")


def take_off(desk: Desk, request: Request, form: Posted) -> Response:
    """Write the file without a passphrase again."""
    if not desk.caseload.is_passphrase(form.raw("now")):
        return _page(desk, request, desk.texts(request)("lock.wrong_now"))
    refused = desk.caseload.remove_passphrase()
    return _page(desk, request, refused=refused) if isinstance(refused, Refused) else go("/lock", "unlocked")


def _page(desk: Desk, request: Request, wrong: str = "", refused: Refused | None = None) -> Response:
    problems = refused.problems if refused else (Problem("desk.passphrase", wrong),) if wrong else ()
    return desk.page(
        request, "lock", 422 if problems else 200, locked=desk.caseload.locked, shortest=SHORTEST, problems=problems
    )
