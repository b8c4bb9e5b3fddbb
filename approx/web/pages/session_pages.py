"""A paper grid keyed in: per word the help digits and the score digits in the order of the boxes, all saved at once.

Sessions: words in work, and a page of large buttons on which every tap is saved at once.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.database.rows import Refused, Session, Target, TrialEntry
from approx.records.tables.checks import help_ids, help_levels, trial_results
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted

STATES = ("active", "resting", "met", "control")


def sessions(desk: Desk, request: Request) -> Response:
    """The words in work and the sessions so far."""
    return _list(desk, request)


def start(desk: Desk, request: Request, form: Posted) -> Response:
    """A new session, today's unless another day is given."""
    begun = desk.caseload.start_session(request.path_params["code"], form.text("date"))
    return _list(desk, request, begun) if isinstance(begun, Refused) else go(f"/session/{begun.id}")


def add_target(desk: Desk, request: Request, form: Posted) -> Response:
    """A word to practise; its adult form is looked up where none is typed."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    from approx.lexicon import pronunciations

    word = form.text("word")
    adult = form.text("adult")
    if not adult:
        read = next(iter(pronunciations(word, child.languages[0])), None)
        if read is None or not read.sure:
            hint = (
                f"type its adult form in IPA; by its spelling it is {read.ipa}"
                if read
                else "type its adult form in IPA"
            )
            problem = Problem("desk.adult", f"'{word}' is not in the word list", hint, symbol=word)
            return _list(desk, request, Refused((problem,)), form)
        adult = read.ipa
    added = desk.caseload.add_target(child.code, word, adult, form=form.text("form"), help=_help(form))
    if isinstance(added, Refused):
        return _list(desk, request, added, form)
    return go(child_path(child.code, "sessions"), "target_added")


def save_target(desk: Desk, request: Request, form: Posted) -> Response:
    """The state of a word and the help to start with."""
    code, target_id = request.path_params["code"], request.path_params["target_id"]
    targets = desk.caseload.targets(code)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    target = next((each for each in targets if each.id == target_id), None)
    if target is None:
        return desk.refused(request, Refused((Problem("desk.target", "there is no such word"),)))
    state = form.text("state") if form.text("state") in STATES else target.state
    saved = desk.caseload.save_target(
        replace(target, version=form.number("version") or 0, state=state, help=_help(form))
    )
    return _list(desk, request, saved) if isinstance(saved, Refused) else go(child_path(code, "sessions"), "saved")


def session(desk: Desk, request: Request) -> Response:
    """The page of buttons."""
    found = desk.caseload.session(request.path_params["session_id"])
    return desk.refused(request, found) if isinstance(found, Refused) else _page(desk, request, found)


def record(desk: Desk, request: Request, form: Posted) -> Response:
    """One try. It is on the disk before the page says so; the same tap sent twice counts once."""
    session_id = request.path_params["session_id"]
    target, result = form.number("target"), form.number("result")
    made = desk.caseload.record_trial(
        session_id, target if target is not None else -1, form.text("help"), -1 if result is None else result,
        key=form.text("key"),
    )  # fmt: skip
    return _after(desk, request, form, made if isinstance(made, Refused) else None, "")


def take_back(desk: Desk, request: Request, form: Posted) -> Response:
    """Take the last try back, which can itself be undone."""
    away = desk.caseload.undo_trial(request.path_params["session_id"])
    refused = away if isinstance(away, Refused) else None
    return _after(desk, request, form, refused, "" if isinstance(away, Refused) else away.token)


def delete(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a session away with its tries."""
    found = desk.caseload.session(request.path_params["session_id"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    away = desk.caseload.delete_session(found.id)
    if isinstance(away, Refused):
        return desk.refused(request, away, 409)
    return go(child_path(found.child, "sessions"), "deleted", away.token)


def _help(form: Posted) -> str:
    return form.text("help") if form.text("help") in help_ids() else ""


def _after(desk: Desk, request: Request, form: Posted, refused: Refused | None, undo: str) -> Response:
    """The totals alone for a page with script, else the page again with the same word and help."""
    found = desk.caseload.session(request.path_params["session_id"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    if form.ticked("part"):
        totals = desk.caseload.totals(found.id)
        if isinstance(totals, Refused):
            return desk.refused(request, totals)
        problems = refused.problems if refused else ()
        return desk.page(request, "_totals", 409 if refused else 200, totals=totals, problems=problems, **_levels())
    if refused:
        return _page(desk, request, found, refused)
    said = "trial_taken_back" if undo else ""
    return go(f"/session/{found.id}", said, undo, target=form.text("target"), help=form.text("help"))


def _list(desk: Desk, request: Request, refused: Refused | None = None, form: Posted | None = None) -> Response:
    code = request.path_params["code"]
    child, targets, there = desk.caseload.child(code), desk.caseload.targets(code), desk.caseload.sessions(code)
    for answer in (child, targets, there):
        if isinstance(answer, Refused):
            return desk.refused(request, answer)
    problems = refused.problems if refused else ()
    typed = {name: form.text(name) if form else "" for name in ("word", "adult", "form")}
    return desk.page(
        request, "sessions", 422 if problems else 200, child=child, targets=targets, sessions=there, states=STATES,
        problems=problems, typed=typed, **_levels(),
    )  # fmt: skip


def _page(desk: Desk, request: Request, found: Session, refused: Refused | None = None) -> Response:
    targets, totals = desk.caseload.targets(found.child), desk.caseload.totals(found.id)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    if isinstance(totals, Refused):
        return desk.refused(request, totals)
    active = [target for target in targets if target.state == "active"]
    query = request.query_params
    picked = next((each for each in active if str(each.id) == query.get("target")), active[0] if active else None)
    asked = query.get("help", "") or (picked.help if picked else "")
    level = asked if asked in help_ids() else help_ids()[-1]
    return desk.page(
        request, "session", 409 if refused else 200, session=found, targets=active, totals=totals, picked=picked,
        level=level, key=secrets.token_urlsafe(12), problems=refused.problems if refused else (), **_levels(),
    )  # fmt: skip


def _levels() -> dict[str, object]:
    return {"levels": help_levels(), "results": trial_results()}


def grid(desk: Desk, request: Request) -> Response:
    """An empty grid of the words in work."""
    found = desk.caseload.session(request.path_params["session_id"])
    return desk.refused(request, found) if isinstance(found, Refused) else _grid_page(desk, request, found)


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """All tries of the grid, or none and what is wrong with each row; the same grid sent twice counts once."""
    found = desk.caseload.session(request.path_params["session_id"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    targets = desk.caseload.targets(found.child)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    entries: list[TrialEntry] = []
    problems: list[Problem] = []
    for target in targets:
        helps, scores = (_digits(form.text(f"{name} {target.id}")) for name in ("help", "score"))
        made, wrong = read_row(target, helps, scores)
        entries += made
        problems += wrong
    if not entries and not problems:
        problems.append(Problem("grid.empty", "no try was entered", "type the digits of at least one word"))
    if not problems:
        kept = desk.caseload.record_trials(found.id, entries, form.text("key"))
        if not isinstance(kept, Refused):
            return go(f"/session/{found.id}", "grid_saved")
        problems += kept.problems
    return _grid_page(desk, request, found, form, problems)


def read_row(target: Target, helps: str, scores: str) -> tuple[list[TrialEntry], list[Problem]]:
    """One word's tries: a help digit and a score digit a box. One help digit alone stands for all boxes.

    >>> target = Target(1, 1, "K07", "mud", "mʌd", "mʌ")
    >>> [(entry.help, entry.result) for entry in read_row(target, "0", "21")[0]]
    [('none', 2), ('none', 1)]
    """
    levels = {str(level.number): level.id for level in help_levels()}
    results = {str(result.score): result.score for result in trial_results()}
    problems = [
        Problem(
            "grid.digit",
            f"'{sign}' is no {what} digit (row of '{target.word}')",
            f"one of {' '.join(known)}",
            symbol=sign,
        )
        for what, typed, known in (("help", helps, levels), ("score", scores, results))
        for sign in dict.fromkeys(typed)
        if sign not in known
    ]
    if len(helps) == 1:
        helps *= len(scores)
    if len(helps) != len(scores):
        message = f"{len(helps)} help digits and {len(scores)} score digits for '{target.word}'"
        problems.append(Problem("grid.length", message, "one of each a box, or one help digit for all"))
    if problems:
        return [], problems
    return [TrialEntry(target.id, levels[level], results[score]) for level, score in zip(helps, scores)], []


def _digits(typed: str) -> str:
    """What was typed without the blanks and commas between."""
    return "".join(sign for sign in typed if not sign.isspace() and sign not in ",;")


def _grid_page(
    desk: Desk, request: Request, found: Session, form: Posted | None = None, problems: Sequence[Problem] = ()
) -> Response:
    targets = desk.caseload.targets(found.child)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    shown = [
        (target, *(form.text(f"{name} {target.id}") if form else "" for name in ("help", "score")))
        for target in targets
        if target.state == "active"
    ]
    return desk.page(
        request, "grid", 422 if problems else 200, session=found, rows=shown, problems=problems,
        key=form.text("key") if form else secrets.token_urlsafe(12), levels=help_levels(), results=trial_results(),
    )  # fmt: skip
