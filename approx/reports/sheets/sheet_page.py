"""The page of a kind made of children and their targets: what `approx sheet` prints and what the desk shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

from approx.practice.listening.listening import listening
from approx.practice.session.plan import SessionPlan, plan_session
from approx.practice.session.targets import ChildTargets, fit_for_others
from approx.problems import Problem, exit_code
from approx.reports.regions import day, paper_of, with_region
from approx.reports.report_words import PAGE_LANGUAGES, page_language, said
from approx.reports.sheets.card_pages import (
    cards_page,
    contrast_page,
    hear_page,
    listen_page,
    match_page,
    without_place,
)
from approx.reports.sheets.family_page import family_page, letter_page
from approx.reports.sheets.page_types import Page, Printing, SheetKind
from approx.reports.sheets.session_page import group_page, plan_page, session_page
from approx.wording import worded

SHEET_KINDS: tuple[SheetKind, ...] = get_args(SheetKind)
EDITABLE = SHEET_KINDS
"""Kinds that there are as DOCX too: all of them."""
FOR_THE_CLINICIAN = ("session", "plan")
"""Pages that stay with the clinician."""
_UNFIT = ("goal", "few_trials", "few_each")
"""Remarks of a plan that are told beside the page too: what does not fit."""


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """What is asked for. `language` "": that of the first child, where the pages speak it. `paper` "": that of the region
    of the child's language. `probes`: words to probe; without them untaught words. `allow_rude`: the clinician confirmed
    forms that a family may find rude; only a session and a plan, which the clinician keeps, have them without."""

    kind: str
    minutes: int | None = None
    goal_trials: int | None = None
    order: str = "blocked"
    seed: int = 1
    probes: tuple[str, ...] = ()
    paper: str = ""
    language: str = ""
    date: str = ""
    next_date: str = ""
    number: str = ""
    invented: bool = False
    allow_rude: bool = False


def sheet_page(children: Sequence[ChildTargets], wanted: SheetRequest) -> tuple[Page | None, list[Problem]]:
    """The page, or None, and what is to be said about it. Only a group page shows more than the first child."""
    problems: list[Problem] = []
    if not wanted.allow_rude and wanted.kind not in FOR_THE_CLINICIAN:
        pairs = [fit_for_others(each) for each in children]
        children = [each for each, _ in pairs]
        problems += [problem for _, said in pairs for problem in said]
        if problems and not children[0].targets:
            return None, [
                *problems,
                Problem("sheet.none-left", "no word is left on this page", "--allow-rude, or other words"),
            ]
    first = children[0]
    if not first.targets and not (wanted.kind == "cards" and first.frames):
        return None, [Problem("words.empty", "no word to practice", 'give some: --words "mud, hat"')]
    tongue = page_language(wanted.language or first.language)
    if tongue is None:
        tongue = PAGE_LANGUAGES[0]
        message = worded("there are no pages in '{language}' yet; the page is in English", language=first.language)
        problems.append(Problem("sheet.language", message, "--language en or es", fatal=False))
    code = "" if wanted.kind == "group" else first.code
    tag = with_region(tongue, first.language)
    dates = day(wanted.date, tag), day(wanted.next_date, tag)
    printing = Printing(tongue, wanted.paper or paper_of(first.language), code, *dates, wanted.number, wanted.invented)
    if wanted.kind == "group":
        return group_page([(each.code, each.targets) for each in children], printing), problems
    page, more = _page(wanted, first, printing)
    return page, [*problems, *more]


def _page(wanted: SheetRequest, found: ChildTargets, printing: Printing) -> tuple[Page | None, list[Problem]]:
    """A page of one child."""
    targets = found.targets
    if wanted.kind == "family":
        page, more = family_page(targets, printing)
        return page, list(more)
    if wanted.kind == "letter":
        letter, more = letter_page(targets, printing)
        return letter, list(more)
    if wanted.kind == "contrast":
        pairs, more = contrast_page(found.pairs, found.language, printing)
        return pairs, list(more)
    if wanted.kind == "hear":
        heard, more = hear_page(targets, printing, wanted.seed)
        return heard, list(more)
    if wanted.kind == "cards":
        cards, more = cards_page(targets, found.frames, found.language, printing)
        return cards, list(more)
    if wanted.kind in ("match", "listen"):
        words = [target.word for target in targets if not target.is_phrase]
        games, more = listening(
            words, found.language, wanted.seed,
            alike=[(pair.word, pair.other) for pair in found.pairs],
        )  # fmt: skip
        if wanted.kind == "listen":
            games_page = listen_page(games, printing)
            return games_page, [*more, *without_place(words, games_page)]
        # what only the sentences and the sorting miss is no matter for strips
        return match_page(games, printing), [
            problem for problem in more if problem.fatal or problem.code == "listening.matching"
        ]
    problems: list[Problem] = []
    probes = wanted.probes or found.probes
    plan: SessionPlan | None = None
    if wanted.kind == "plan" or wanted.minutes is not None:
        words = [target.word for target in targets]
        plan, more = plan_session(
            wanted.minutes, words, wanted.goal_trials, wanted.order, wanted.seed, probes
        )  # fmt: skip
        problems += [*more, *(_unfit(plan) if plan is not None else ())]
    if exit_code(problems):
        return None, problems
    if wanted.kind == "plan" and plan is not None:
        return plan_page(plan, targets, printing), problems
    return session_page(targets, printing, probes, plan), problems


def _unfit(plan: SessionPlan) -> list[Problem]:
    """What does not fit, beside the page."""
    return [
        Problem(f"plan.{remark.key.replace('_', '-')}", said("en", "remarks", remark.key, remark.values), fatal=False)
        for remark in plan.remarks
        if remark.key in _UNFIT
    ]
