"""A paper grid keyed in: per word the help digits and the score digits in the order of the boxes, all saved at once."""

from __future__ import annotations

import secrets
from collections.abc import Sequence

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.help_levels import help_levels, trial_results
from approx.records.rows import Refused, Session, Target, TrialEntry
from approx.web.desk import Desk, go
from approx.web.posted import Posted


def grid(desk: Desk, request: Request) -> Response:
    """An empty grid of the words in work."""
    found = desk.caseload.session(request.path_params["session_id"])
    return desk.refused(request, found) if isinstance(found, Refused) else _page(desk, request, found)


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
    return _page(desk, request, found, form, problems)


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


def _page(
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
