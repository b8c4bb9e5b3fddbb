"""Goals: a measurable sentence made of the parts a clinician sets, edited before it is kept; listed, to print, as files."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, get_args

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.database.rows import Conflict, GoalState, Refused, StoredChild, StoredGoal
from approx.records.tables.checks import cue_levels
from approx.web.forms.printed_file import FILE_TYPES, document_file
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted

if TYPE_CHECKING:
    from approx.reports.document import GoalFacts

GOAL_STATES: tuple[GoalState, ...] = get_args(GoalState)
GOAL_FIELDS = ("baseline", "condition", "criterion", "measure", "due")
FIELDS = (
    "target", "form", "right", "out_of", "level_date", "percent", "trials", "sessions", "help", "setting", "due",
    "measured_by",
)  # fmt: skip
NUMBERS = ("right", "out_of", "percent", "trials", "sessions")


def goals(desk: Desk, request: Request) -> Response:
    """The goals so far; with parts in the address, the sentence they make."""
    child = desk.caseload.child(request.path_params["code"])
    return desk.refused(request, child) if isinstance(child, Refused) else _page(desk, request, child)


def add(desk: Desk, request: Request, form: Posted) -> Response:
    """Keep a goal as its sentence stands now, with the parts it was made of."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if not form.text("text"):
        problem = Problem("desk.empty_goal", "the goal has no sentence", "make one from its parts, or write one")
        return _page(desk, request, child, Refused((problem,)))
    baseline, condition, criterion, measure, due = (form.text(name) for name in GOAL_FIELDS)
    kept = desk.caseload.add_goal(
        child.code, form.text("text"), baseline=baseline, condition=condition, criterion=criterion, measure=measure, due=due
    )  # fmt: skip
    if isinstance(kept, Refused):
        return _page(desk, request, child, kept, form.text("text"))
    return go(child_path(child.code, "goals"), "goal_kept")


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """Sentence and state of a goal. A change made meanwhile in another window is shown, not lost."""
    child, found = desk.caseload.child(request.path_params["code"]), _one(desk, request)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if isinstance(found, Refused):
        return desk.refused(request, found)
    state = next((each for each in GOAL_STATES if each == form.text("state")), found.state)
    changed = replace(found, version=form.number("version") or 0, text=form.text("text"), state=state)
    saved = desk.caseload.save_goal(changed)
    if isinstance(saved, Conflict) and isinstance(saved.current, StoredGoal):
        changed = replace(changed, version=saved.current.version)
    if isinstance(saved, Refused):
        return _page(desk, request, child, saved, changed=changed)
    return go(child_path(child.code, "goals"), "saved")


def delete(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a goal away; it can be brought back."""
    mine = desk.caseload.goals(request.path_params["code"])
    return desk.put_away(request, mine, request.path_params["goal_id"], desk.caseload.delete_goal, "goals")


def file(desk: Desk, request: Request) -> Response:
    """All goals as a file."""
    from approx.reports.text.goals import kept_goals

    there, kind = desk.caseload.goals(request.path_params["code"]), request.path_params["kind"]
    if isinstance(there, Refused):
        return desk.refused(request, there)
    if kind not in FILE_TYPES or not there:
        return desk.page(request, "missing", 404)
    made = kept_goals(there[0].child, [(goal.text, goal.state) for goal in there], desk.texts(request).language)
    return document_file(made, kind, "goals")


def _one(desk: Desk, request: Request) -> StoredGoal | Refused:
    """The goal, if it is this child's."""
    there = desk.caseload.goals(request.path_params["code"])
    if isinstance(there, Refused):
        return there
    found = next((each for each in there if each.id == request.path_params["goal_id"]), None)
    return found or Refused((Problem("desk.goal", "there is no such goal", "it may have been deleted"),))


def _facts(typed: dict[str, str], child: StoredChild, tongue: str) -> GoalFacts:
    from approx.reports.document import GoalFacts

    labels = {level.id: level.label(tongue) for level in cue_levels()} | {"none": "none"}
    numbers = {
        name: int(typed[name]) if typed[name].isascii() and typed[name].isdecimal() and len(typed[name]) < 7 else None
        for name in NUMBERS
    }
    return GoalFacts(
        "", typed["target"], typed["form"], numbers["right"], numbers["out_of"], typed["level_date"], numbers["percent"],
        numbers["trials"], numbers["sessions"], labels.get(typed["help"], ""), typed["setting"], typed["due"],
        typed["measured_by"],
    )  # fmt: skip


def _page(
    desk: Desk, request: Request, child: StoredChild, refused: Refused | None = None, text: str = "", changed: StoredGoal | None = None
) -> Response:  # fmt: skip
    from approx.reports.text.goals import goal_columns, goal_text

    there, targets = desk.caseload.goals(child.code), desk.caseload.targets(child.code)
    probes = desk.caseload.probes(child.code)
    if isinstance(there, Refused):
        return desk.refused(request, there)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    if isinstance(probes, Refused):
        return desk.refused(request, probes)
    tongue = desk.texts(request).language
    typed = {name: request.query_params.get(name, "").strip()[:400] for name in FIELDS}
    asked = bool(request.query_params.get("make"))
    made = goal_text(_facts(typed, child, tongue), tongue) if asked else None
    problems = (*(refused.problems if refused else ()), *(made.problems if made else ()))
    latest = {probe.word_set: probe for probe in sorted(probes, key=lambda each: each.session)}
    shown = [changed if changed and changed.id == each.id else each for each in there]
    return desk.page(
        request, "goals", 422 if any(each.fatal for each in problems) else 200, child=child, goals=shown, targets=targets,
        typed=typed, text_now=text or (made.sentence if made else ""), states=GOAL_STATES, levels=cue_levels(),
        columns=goal_columns(_facts(typed, child, tongue), tongue), probes=list(latest.values()), problems=problems,
        numbers=NUMBERS,
    )  # fmt: skip
