"""The caseload: the first page with all children by code, and a new one; undo of a delete; the language of the pages; the caseload as
files, one child or all as a zip of plain tables, and such a zip taken in again.

Its lock is a passphrase: set, changed, taken off. It is never kept, shown or logged.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from approx.problems import Problem
from approx.records.database.locked import SHORTEST
from approx.records.database.rows import ChildSummary, Exported, RecentSession, Refused
from approx.records.tables.checks import today
from approx.web.server.desk import DESK_LANGUAGES, EXAMPLE, LANGUAGE_COOKIE, Desk, child_path, go
from approx.web.server.posted import Posted

CHILD_LANGUAGES = {"en-US": "English (US)", "es-MX": "Español (América)"}
"""Languages a child can be entered with, each by its own name; the first of a child is the one worked in."""

LATEST, UNFINISHED, OF_LATE = 30, 6, 14
"""So many sessions are looked at for what is unfinished, so many of those are shown, and so many days back."""

WRONG_NOW = "that is not the current passphrase"
DIFFER = "the two are not the same"
NOT_KEPT = "say that you have kept it in a safe place"
_FIELDS = ("code", "age", "birth_month", "note")


def caseload(desk: Desk, request: Request) -> Response:
    """All children."""
    return caseload_page(desk, request, {})


def add_child(desk: Desk, request: Request, form: Posted) -> Response:
    """A new child by code; what was typed is kept where something is wrong."""
    chosen = languages_of(form, ())
    typed: dict[str, object] = {name: form.text(name) for name in _FIELDS}
    unknown = unknown_varieties(form)
    new = Refused(unknown) if unknown else desk.caseload.add_child(
        form.text("code"), age=form.text("age").replace(":", ";"), birth_month=form.text("birth_month"),
        languages=chosen, note=form.raw("note"),
    )  # fmt: skip
    if isinstance(new, Refused):
        return caseload_page(desk, request, typed | {"languages": chosen}, new)
    return go(child_path(new.code), "child_added")


def undo(desk: Desk, request: Request, form: Posted) -> Response:
    """Bring back what was deleted last."""
    restored = desk.caseload.restore(form.text("token"))
    if isinstance(restored, Refused):
        gone = desk.caseload.deleted()
        left = () if isinstance(gone, Refused) else gone
        return desk.page(request, "deleted", 409, gone=left, problems=restored.problems)
    return go(_local(form.text("back")), "restored")


def locked(desk: Desk, request: Request) -> Response:
    """The page that asks for the passphrase, or says why the file cannot be opened."""
    return RedirectResponse("/", 303) if desk.problem is None else _locked(desk, request, desk.problem)


def unlock(desk: Desk, request: Request, form: Posted) -> Response:
    """Try a passphrase; it is not kept."""
    if desk.problem is not None:
        desk.unlock(form.raw("passphrase"))
    return go("/") if desk.problem is None else _locked(desk, request, desk.problem, 403)


def put_back(desk: Desk, request: Request, form: Posted) -> Response:
    """The last copy in the place of a damaged file, which is kept under another name."""
    refused = desk.put_back()
    if desk.problem is None:
        return go("/", "put_back")
    return _locked(desk, request, desk.problem, 409) if refused else go("/unlock", "put_back")


def language(desk: Desk, request: Request) -> Response:
    """The pages in another language from now on."""
    answer = RedirectResponse(_local(request.query_params.get("back", "/")), 303)
    tag = request.path_params["tag"]
    if tag in DESK_LANGUAGES:
        answer.set_cookie(LANGUAGE_COOKIE, tag, path="/", httponly=True, samesite="strict")
    return answer


def languages_of(form: Posted, before: Sequence[str]) -> tuple[str, ...]:
    """The languages of a child as the form has them, the main one first; those it does not show stay as they were."""
    known = (*CHILD_LANGUAGES, *before)
    first = form.text("main_language") if form.text("main_language") in known else (*before, *CHILD_LANGUAGES)[0]
    also = [tag for tag in known if tag in form.every("languages") or tag not in CHILD_LANGUAGES]
    return tuple(dict.fromkeys((first, *also)))


def unknown_varieties(form: Posted) -> tuple[Problem, ...]:
    """What `approx score` says of a language or a variety that there is not."""
    from approx.api.options import accent_problems, language_problem

    tags = [form.text("main_language"), *form.every("languages")]
    return (*(each for tag in tags for each in language_problem(tag)), *accent_problems(form.every("accents")))


def caseload_page(
    desk: Desk, request: Request, typed: dict[str, object], refused: Refused | None = None, ticked: Sequence[str] = ()
) -> Response:
    """The first page. `typed`: of a new child; `ticked`: codes for a group."""
    children = desk.caseload.children()
    if isinstance(children, Refused):
        return desk.refused(request, children, 500)
    problems = refused.problems if refused else ()
    find = request.query_params.get("find", "").strip()
    shown = [line for line in children if find.casefold() in line.child.code.casefold()]
    if find and len(shown) == 1 and not refused:
        return go(child_path(shown[0].child.code))
    return desk.page(
        request, "caseload", 422 if refused else 200, children=shown, find=find, anybody=len(children),
        has_example=any(line.child.code == EXAMPLE for line in children), unfinished=_unfinished(desk), next_of=next_of,
        typed=dict.fromkeys(_FIELDS, "") | {"languages": ["en-US"]} | typed, child_languages=CHILD_LANGUAGES, problems=problems, ticked=ticked,
    )  # fmt: skip


def next_of(line: ChildSummary) -> str:
    """What is missing first of a child: sounds, words, a session, a probe; else a session is next."""
    have = (
        ("sounds", line.has_profile),
        ("words", line.active_targets),
        ("session", line.sessions),
        ("probe", line.last_probe),
    )
    return next((name for name, there in have if not there), "on")


def _unfinished(desk: Desk) -> list[RecentSession]:
    """Sessions of the last days without trials or without a note; those of the invented child want none."""
    found = desk.caseload.latest_sessions(LATEST)
    if isinstance(found, Refused):
        return []
    since = (date.fromisoformat(today()) - timedelta(days=OF_LATE)).isoformat()
    mine = [each for each in found if each.session.date >= since and each.session.child != EXAMPLE]
    return [each for each in mine if not each.notes][:UNFINISHED]


def open_example(desk: Desk, request: Request, form: Posted) -> Response:
    """The invented child, made where it is not there yet."""
    from approx.web.forms.example_child import make_example

    refused = make_example(desk.caseload, desk.texts(request).language)
    return desk.refused(request, refused, 409) if refused else go(child_path(EXAMPLE))


def remove_example(desk: Desk, request: Request, form: Posted) -> Response:
    """The invented child leaves the file for good; no other child can be removed this way."""
    erased = desk.caseload.delete_child_for_good(EXAMPLE)
    return desk.refused(request, erased, 409) if isinstance(erased, Refused) else go("/", "erased")


def _locked(desk: Desk, request: Request, problem: Refused, status: int = 200) -> Response:
    asks = problem.problems[0].code in ("records.locked", "records.wrong_passphrase")
    shown = () if problem.problems[0].code == "records.locked" else problem.problems
    return desk.page(request, "unlock", status, asks=asks, problems=shown, copy=desk.copy_to_put_back)


def _local(path: str) -> str:
    """A path of this desk; the first page for anything that could lead elsewhere."""
    fine = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable() and "\\" not in path
    return path.partition("?")[0] if fine else "/"


def export_child(desk: Desk, request: Request) -> Response:
    """One child with all that belongs to it."""
    return _given(desk, request, desk.caseload.export_child(request.path_params["code"]))


def export_all(desk: Desk, request: Request) -> Response:
    """The whole caseload."""
    return _given(desk, request, desk.caseload.export_all())


def take_in(desk: Desk, request: Request, form: Posted) -> Response:
    """Children from a zip that was written by an export; one that is there already is refused, not overwritten."""
    file = form.stream("file")
    if file is None:
        problem = Problem("desk.file", "no file was chosen", "choose the zip that an export wrote")
        return desk.page(request, "files", 422, problems=(problem,))
    with file:
        taken = desk.caseload.import_zip(file)
    if isinstance(taken, Refused):
        return desk.page(request, "files", 422, problems=taken.problems)
    return go("/", "taken_in")


def _given(desk: Desk, request: Request, made: Exported | Refused) -> Response:
    if isinstance(made, Refused):
        return desk.refused(request, made)
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote(made.name, safe='')}"}
    return Response(made.data, media_type="application/zip", headers=headers)


def lock(desk: Desk, request: Request) -> Response:
    """Whether the file is locked, and the forms."""
    return _lock_page(desk, request)


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """Lock the file, or change its passphrase; whoever changes it has to know the present one."""
    new = form.raw("new")
    if desk.caseload.locked and not desk.caseload.is_passphrase(form.raw("now")):
        return _lock_page(desk, request, "now", WRONG_NOW)
    if new != form.raw("again"):
        return _lock_page(desk, request, "again", DIFFER)
    if not form.ticked("kept"):
        return _lock_page(desk, request, "kept", NOT_KEPT)
    refused = desk.caseload.set_passphrase(new)
    if isinstance(refused, Refused):
        return _lock_page(desk, request, refused=refused)
    return go("/lock", "locked")


def take_off(desk: Desk, request: Request, form: Posted) -> Response:
    """Write the file without a passphrase again."""
    if not desk.caseload.is_passphrase(form.raw("now")):
        return _lock_page(desk, request, "off", WRONG_NOW)
    refused = desk.caseload.remove_passphrase()
    return _lock_page(desk, request, refused=refused) if isinstance(refused, Refused) else go("/lock", "unlocked")


def _lock_page(
    desk: Desk, request: Request, field: str = "", wrong: str = "", refused: Refused | None = None
) -> Response:
    """`wrong`: what is wrong with a field."""
    problems = (
        refused.problems if refused else (Problem(f"desk.{field}", wrong, "nothing was changed"),) if wrong else ()
    )
    return desk.page(
        request, "lock", 422 if problems else 200, locked=desk.caseload.locked, shortest=SHORTEST, problems=problems
    )
