"""The caseload as files: one child or all as a zip of plain tables, and such a zip taken in again."""

from __future__ import annotations

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.rows import Exported, Refused
from approx.web.desk import Desk, go
from approx.web.posted import Posted


def export_child(desk: Desk, request: Request) -> Response:
    """One child with all that belongs to it."""
    return _given(desk, request, desk.caseload.export_child(request.path_params["code"]))


def export_all(desk: Desk, request: Request) -> Response:
    """The whole caseload."""
    return _given(desk, request, desk.caseload.export_all())


def take_in(desk: Desk, request: Request, form: Posted) -> Response:
    """Children from a zip that was written by an export; one that is there already is refused, not overwritten."""
    file = form.file("file")
    if file is None:
        problem = Problem("desk.file", "no file was chosen", "choose the zip that an export wrote")
        return desk.refused(request, Refused((problem,)), 422)
    taken = desk.caseload.import_zip(file[1])
    return desk.refused(request, taken, 422) if isinstance(taken, Refused) else go("/", "taken_in")


def _given(desk: Desk, request: Request, made: Exported | Refused) -> Response:
    if isinstance(made, Refused):
        return desk.refused(request, made)
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote(made.name, safe='')}"}
    return Response(made.data, media_type="application/zip", headers=headers)
