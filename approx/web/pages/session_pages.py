"""Sessions: words in work, and a page of large buttons on which every tap is saved at once; or a paper grid keyed in, per word the
help digits and the score digits in the order of the boxes, all saved at once.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, get_args
from urllib.parse import parse_qs

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.database.rows import (
    Refused,
    StoredChild,
    StoredSession,
    StoredTarget,
    TargetState,
    Totals,
    TrialEntry,
)
from approx.records.tables.checks import cue_ids, cue_levels, today, trial_results
from approx.web.pages.caseload_pages import caseload_page
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted
from approx.wording import worded

TARGET_STATES: tuple[TargetState, ...] = get_args(TargetState)
MOST_IN_GROUP = 4


def sessions(desk: Desk, request: Request) -> Response:
    """The words in work and the sessions so far."""
    return _list(desk, request)


def start(desk: Desk, request: Request, form: Posted) -> Response:
    """A new session, today's unless another day is given."""
    begun = desk.caseload.start_session(request.path_params["code"], form.text("date"))
    return _list(desk, request, begun) if isinstance(begun, Refused) else go(f"/session/{begun.id}")


def add_target(desk: Desk, request: Request, form: Posted) -> Response:
    """Words for therapy, one a line, or one in fields of its own; an adult form is looked up where none is given.

    All that can be read are added; the lines that cannot stay in the field, with what is wrong.
    """
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    wanted = [_line(line) for line in form.raw("words").splitlines() if line.strip()]
    if not form.raw("words").strip():
        wanted = [(form.text("word"), form.text("adult"), form.text("form"))]
    problems: list[Problem] = []
    left: list[str] = []
    for word, adult, today_form in wanted:
        added = _add_word(desk, child, word, adult, today_form, _help(form))
        if isinstance(added, Refused):
            problems += added.problems
            left.append(" = ".join(part for part in (word, adult and f"/{adult}/", today_form) if part))
    if problems:
        return _list(desk, request, Refused(tuple(problems)), "\n".join(left))
    return go(child_path(child.code, "sessions"), "target_added")


def _line(line: str) -> tuple[str, str, str]:
    """(word, adult form, form of today) of a typed line: `mud`, `mud = mʌ`, `mud = /mʌd/ = mʌ`."""
    word, *forms = (part.strip() for part in line.split("="))
    adult = next((part.strip("/") for part in forms if part.startswith("/")), "")
    return word, adult, next((part for part in forms if part and not part.startswith("/")), "")


def _add_word(desk: Desk, child: StoredChild, word: str, adult: str, form: str, help: str) -> StoredTarget | Refused:
    from approx.api.practice.readings import readings

    if not adult and word:
        read = next(iter(readings(word, language=child.languages[0]).readings), None)
        if read is None or not read.sure:
            typed = worded("give its adult form in IPA: {word} = /{ipa}/", word=word, ipa=read.ipa if read else "…")
            hint = worded("{hint}; by its spelling it may be {ipa}", hint=typed, ipa=read.ipa) if read else typed
            return Refused(
                (Problem("desk.adult", worded("'{word}' is not in the word list", word=word), hint, symbol=word),)
            )
        adult = read.ipa
    return desk.caseload.add_target(child.code, word, adult, form=form, help=help)


def save_targets(desk: Desk, request: Request, form: Posted) -> Response:
    """State and first cue level of all words at once; only those that changed are saved."""
    code = request.path_params["code"]
    child, known = desk.caseload.child(code), desk.caseload.targets(code)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if isinstance(known, Refused):
        return desk.refused(request, known)
    problems: list[Problem] = []
    for old in known:
        state = form.text(f"state {old.id}")
        asked = replace(
            old, version=form.number(f"version {old.id}") or 0, state=next((each for each in TARGET_STATES if each == state), old.state),
            help=form.text(f"help {old.id}") if form.text(f"help {old.id}") in ("", *cue_ids()) else old.help,
        )  # fmt: skip
        if state and (asked.state, asked.help) != (old.state, old.help):
            saved = desk.caseload.save_target(asked)
            problems += saved.problems if isinstance(saved, Refused) else ()
    if form.ticked("part"):
        now = desk.caseload.targets(code)
        return desk.page(
            request, "_targets", 422 if problems else 200, child=child, targets=now, states=TARGET_STATES, part=True,
            problems=problems, **_levels(),
        )  # fmt: skip
    if problems:
        return _list(desk, request, Refused(tuple(problems)))
    return go(child_path(code, "sessions"), "saved")


def delete_target(desk: Desk, request: Request, form: Posted) -> Response:
    """Put away a word that was entered by mistake; one with trials stays, with what to do instead."""
    mine = desk.caseload.targets(request.path_params["code"])
    return desk.put_away(request, mine, request.path_params["target_id"], desk.caseload.delete_target, "sessions")


def session(desk: Desk, request: Request) -> Response:
    """The page of buttons."""
    found = desk.caseload.session(request.path_params["session_id"])
    return desk.refused(request, found) if isinstance(found, Refused) else _page(desk, request, found)


def record(desk: Desk, request: Request, form: Posted) -> Response:
    """One trial. It is on the disk before the page says so; the same tap sent twice counts once."""
    target, result = form.number("target"), form.number("result")
    entry = TrialEntry(-1 if target is None else target, form.text("help"), -1 if result is None else result)
    made = desk.caseload.record_trials(request.path_params["session_id"], [entry], form.text("key"))
    return _after(desk, request, form, made)


def take_back(desk: Desk, request: Request, form: Posted) -> Response:
    """Take the last trial back, which can itself be undone."""
    away = desk.caseload.undo_trial(request.path_params["session_id"])
    if isinstance(away, Refused):
        return _after(desk, request, form, away)
    return _after(desk, request, form, away.totals, away.away.token)


def save_day(desk: Desk, request: Request, form: Posted) -> Response:
    """The day of a session that was entered under another."""
    found = desk.caseload.session(request.path_params["session_id"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    saved = desk.caseload.save_session(replace(found, version=form.number("version") or 0, date=form.text("date")))
    return _page(desk, request, found, saved) if isinstance(saved, Refused) else go(f"/session/{found.id}", "saved")


def delete(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a session away with its trials."""
    found = desk.caseload.session(request.path_params["session_id"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    away = desk.caseload.delete_session(found.id)
    if isinstance(away, Refused):
        return desk.refused(request, away, 409)
    return go(child_path(found.child, "sessions"), "deleted", away.token)


def _help(form: Posted) -> str:
    return form.text("help") if form.text("help") in cue_ids() else ""


def _after(desk: Desk, request: Request, form: Posted, answer: Totals | Refused, undo: str = "") -> Response:
    """The totals alone for a page with script, else the page again with the same word and help."""
    session_id, refused = request.path_params["session_id"], isinstance(answer, Refused)
    if form.ticked("part"):
        totals = desk.caseload.totals(session_id) if refused else answer
        if isinstance(totals, Refused):
            return desk.refused(request, totals)
        problems = answer.problems if isinstance(answer, Refused) else ()
        return desk.page(
            request, "_totals", 409 if refused else 200, totals=totals, totals_problems=problems, **_levels()
        )
    if isinstance(answer, Refused):
        found = desk.caseload.session(session_id)
        return desk.refused(request, found) if isinstance(found, Refused) else _page(desk, request, found, answer)
    said = "trial_taken_back" if undo else ""
    if form.text("group"):
        at = _group_ids(parse_qs(form.text("group")).get("session", []))
        return go("/group", said, undo, session=at, at=session_id)
    return go(f"/session/{session_id}", said, undo, target=form.text("target"), help=form.text("help"))


def _list(desk: Desk, request: Request, refused: Refused | None = None, words: str = "") -> Response:
    code = request.path_params["code"]
    child, targets, there = desk.caseload.child(code), desk.caseload.targets(code), desk.caseload.sessions(code)
    for answer in (child, targets, there):
        if isinstance(answer, Refused):
            return desk.refused(request, answer)
    problems = refused.problems if refused else ()
    return desk.page(
        request, "sessions", 422 if problems else 200, child=child, targets=targets, sessions=there, states=TARGET_STATES,
        problems=problems, typed={"words": words}, **_levels(),
    )  # fmt: skip


def _page(desk: Desk, request: Request, found: StoredSession, refused: Refused | None = None) -> Response:
    shown = _panel(desk, request, found)
    if isinstance(shown, Refused):
        return desk.refused(request, shown)
    problems = refused.problems if refused else ()
    return desk.page(request, "session", 409 if refused else 200, problems=problems, **shown)


def _panel(desk: Desk, request: Request, found: StoredSession) -> dict[str, Any] | Refused:
    """What the buttons of one child's session need. Word and cue level: as the address says, else as in the last trial."""
    targets, totals = desk.caseload.targets(found.child, "active"), desk.caseload.totals(found.id)
    if isinstance(targets, Refused):
        return targets
    if isinstance(totals, Refused):
        return totals
    query, last = request.query_params, totals.last
    wanted = query.get("target", "") or (str(last.target_id) if last else "")
    picked = next((each for each in targets if str(each.id) == wanted), targets[0] if targets else None)
    of_last = last.help if last and picked and last.target_id == picked.id else ""
    asked = query.get("help", "") or of_last or (picked.help if picked else "")
    return {
        "session": found, "targets": targets, "totals": totals, "picked": picked,
        "level": asked if asked in cue_ids() else cue_ids()[-1], "key": secrets.token_urlsafe(12), **_levels(),
    }  # fmt: skip


def start_group(desk: Desk, request: Request, form: Posted) -> Response:
    """A session of today for each of two to four children, one begun where there is none, on one screen."""
    codes = list(dict.fromkeys(form.every("child")))
    if not 2 <= len(codes) <= MOST_IN_GROUP:
        problem = Problem(
            "desk.group",
            worded("{codes} {codes:child is|children are} ticked", codes=len(codes)),
            worded("tick two to {most_in_group}", most_in_group=MOST_IN_GROUP),
        )
        return caseload_page(desk, request, {}, Refused((problem,)), codes)
    ids = []
    for code in codes:
        there = desk.caseload.sessions(code)
        if isinstance(there, Refused):
            return desk.refused(request, there)
        mine = next((each for each in there if each.date == today()), None) or desk.caseload.start_session(code)
        if isinstance(mine, Refused):
            return desk.refused(request, mine)
        ids.append(mine.id)
    return go("/group", session=ids, at=ids[0])


def group(desk: Desk, request: Request) -> Response:
    """The child whose turn it is, with words and counts of their own, and the others a tap away."""
    ids = _group_ids(request.query_params.getlist("session"))
    found = [desk.caseload.session(each) for each in ids]
    there = [each for each in found if not isinstance(each, Refused)]
    if not there:
        return desk.page(request, "missing", 404)
    at = request.query_params.get("at", "")
    here = next((each for each in there if str(each.id) == at), there[0])
    shown = _panel(desk, request, here)
    if isinstance(shown, Refused):
        return desk.refused(request, shown)
    turn = "&".join(f"session={each.id}" for each in there)
    after = there[(there.index(here) + 1) % len(there)]
    turns = [(each.child, f"/group?{turn}&at={each.id}", each.id == here.id) for each in there]
    return desk.page(request, "group", turns=turns, following=f"/group?{turn}&at={after.id}", group=turn, **shown)


def _group_ids(texts: Sequence[str]) -> list[int]:
    numbers = (int(text) for text in texts if text.isascii() and text.isdecimal() and len(text) < 10)
    return list(dict.fromkeys(numbers))[:MOST_IN_GROUP]


def _levels() -> dict[str, object]:
    return {"levels": cue_levels(), "results": trial_results()}


def grid(desk: Desk, request: Request) -> Response:
    """An empty grid of the words in work."""
    found = desk.caseload.session(request.path_params["session_id"])
    return desk.refused(request, found) if isinstance(found, Refused) else _grid_page(desk, request, found)


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """All trials of the grid, or none and what is wrong with each row; the same grid sent twice counts once."""
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
        problems.append(Problem("grid.empty", "no trials were entered", "type the digits of at least one word"))
    if not problems:
        kept = desk.caseload.record_trials(found.id, entries, form.text("key"))
        if not isinstance(kept, Refused):
            return go(f"/session/{found.id}", "grid_saved")
        problems += kept.problems
    return _grid_page(desk, request, found, form, problems)


def read_row(target: StoredTarget, helps: str, scores: str) -> tuple[list[TrialEntry], list[Problem]]:
    """One word's trials: a cue level and a score per box. One cue level alone stands for all boxes.

    >>> target = StoredTarget(1, 1, "K07", "mud", "mʌd", "mʌ")
    >>> [(entry.help, entry.result) for entry in read_row(target, "0", "21")[0]]
    [('none', 2), ('none', 1)]
    """
    levels = {str(level.number): level.id for level in cue_levels()}
    results = {str(result.score): result.score for result in trial_results()}
    problems = [
        Problem(
            "grid.digit",
            worded("'{sign}' is not a {what} (row of '{word}')", sign=sign, what=what, word=target.word),
            worded("one of {table}", table=" ".join(known)),
            symbol=sign,
        )
        for what, typed, known in (("cue level", helps, levels), ("score", scores, results))
        for sign in dict.fromkeys(typed)
        if sign not in known
    ]
    if len(helps) == 1:
        helps *= len(scores)
    if len(helps) != len(scores):
        message = worded(
            "{helps} cue {helps:level|levels} and {scores} {scores:score|scores} for '{word}'",
            helps=len(helps),
            scores=len(scores),
            word=target.word,
        )
        problems.append(Problem("grid.length", message, "one of each per box, or one cue level for all"))
    if problems:
        return [], problems
    return [TrialEntry(target.id, levels[level], results[score]) for level, score in zip(helps, scores)], []


def _digits(typed: str) -> str:
    """What was typed without the blanks and commas between."""
    return "".join(sign for sign in typed if not sign.isspace() and sign not in ",;")


def _grid_page(
    desk: Desk, request: Request, found: StoredSession, form: Posted | None = None, problems: Sequence[Problem] = ()
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
        key=form.text("key") if form else secrets.token_urlsafe(12), levels=cue_levels(), results=trial_results(),
    )  # fmt: skip
