"""The first page: all children by code, and a new one; undo of a delete; the lock; the language of the pages."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from approx.records.rows import Refused
from approx.web.desk import LANGUAGE_COOKIE, Desk, child_path, go
from approx.web.posted import Posted
from approx.web.texts import LANGUAGES

CHILD_LANGUAGES = {"en-US": "English (US)", "es-MX": "Español (América)"}
"""Languages a child can be entered with, each by its own name; the first of a child is the one worked in."""

MANY = 20
"""From so many children on, one can be looked for by its code."""

_FIELDS = ("code", "age", "birth_month", "note")


def caseload(desk: Desk, request: Request) -> Response:
    """All children."""
    return _page(desk, request, {"languages": ["en-US"]})


def add_child(desk: Desk, request: Request, form: Posted) -> Response:
    """A new child by code; what was typed is kept where something is wrong."""
    chosen = languages_of(form, ())
    typed: dict[str, object] = {name: form.text(name) for name in _FIELDS}
    new = desk.caseload.add_child(
        form.text("code"), age=form.text("age").replace(":", ";"), birth_month=form.text("birth_month"),
        languages=chosen, note=form.raw("note"),
    )  # fmt: skip
    if isinstance(new, Refused):
        return _page(desk, request, typed | {"languages": chosen}, new)
    return go(child_path(new.code), "child_added")


def undo(desk: Desk, request: Request, form: Posted) -> Response:
    """Bring back what was deleted last."""
    restored = desk.caseload.restore(form.text("token"))
    if isinstance(restored, Refused):
        return desk.refused(request, restored, 409)
    return go(_local(form.text("back")), "restored")


def locked(desk: Desk, request: Request) -> Response:
    """The page that asks for the passphrase, or says why the file cannot be opened."""
    return RedirectResponse("/", 303) if desk.problem is None else _locked(desk, request)


def unlock(desk: Desk, request: Request, form: Posted) -> Response:
    """Try a passphrase; it is not kept."""
    if desk.problem is not None:
        desk.unlock(form.raw("passphrase"))
    return go("/") if desk.problem is None else _locked(desk, request, 403)


def language(desk: Desk, request: Request) -> Response:
    """The pages in another language from now on."""
    answer = RedirectResponse(_local(request.query_params.get("back", "/")), 303)
    tag = request.path_params["tag"]
    if tag in LANGUAGES:
        answer.set_cookie(LANGUAGE_COOKIE, tag, path="/", httponly=True, samesite="strict")
    return answer


def languages_of(form: Posted, before: Sequence[str]) -> tuple[str, ...]:
    """The languages of a child as the form has them, the main one first; those it does not show stay as they were."""
    known = (*CHILD_LANGUAGES, *before)
    first = form.text("main_language") if form.text("main_language") in known else (*before, *CHILD_LANGUAGES)[0]
    also = [tag for tag in known if tag in form.every("languages") or tag not in CHILD_LANGUAGES]
    return tuple(dict.fromkeys((first, *also)))


def _page(desk: Desk, request: Request, typed: dict[str, object], refused: Refused | None = None) -> Response:
    children = desk.caseload.children()
    if isinstance(children, Refused):
        return desk.refused(request, children, 500)
    problems = refused.problems if refused else ()
    find = request.query_params.get("find", "").strip() if len(children) >= MANY else ""
    shown = [line for line in children if find.casefold() in line.child.code.casefold()]
    return desk.page(
        request, "caseload", 422 if refused else 200, children=shown, find=find,
        many=len(children) if len(children) >= MANY else 0, typed=dict.fromkeys(_FIELDS, "") | typed,
        child_languages=CHILD_LANGUAGES, problems=problems,
    )  # fmt: skip


def _locked(desk: Desk, request: Request, status: int = 200) -> Response:
    problem = desk.problem
    assert problem is not None  # both callers have looked
    asks = problem.problems[0].code in ("records.locked", "records.wrong_passphrase")
    shown = () if problem.problems[0].code == "records.locked" else problem.problems
    return desk.page(request, "unlock", status, asks=asks, problems=shown)


def _local(path: str) -> str:
    """A path of this desk; the first page for anything that could lead elsewhere."""
    fine = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable() and "\\" not in path
    return path.partition("?")[0] if fine else "/"
