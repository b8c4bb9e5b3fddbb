"""The clinician's pages for the floor: one child a page, or one child a row."""

from __future__ import annotations

from collections.abc import Sequence

from approx.practice.listening.frames import thing
from approx.practice.session.plan import SessionPlan
from approx.practice.session.targets import PracticeTarget
from approx.reports.sheets.page_types import GroupChild, GroupPage, Printing, SessionPage
from approx.reports.sheets.printed_rows import help_key, rows, sheets
from approx.reports.sheets.wording import said


def session_page(
    targets: Sequence[PracticeTarget], printing: Printing, probes: Sequence[str] = (), plan: SessionPlan | None = None
) -> SessionPage:
    """The session page. `probes`: words to say without help first, as a rule untaught ones; () leaves lines to write on."""
    language = printing.language
    tag = targets[0].language if targets else language
    summary = "" if plan is None else _summary(plan, language)
    return SessionPage(
        printing,
        sheets(targets, language),
        summary,
        help_key(language),
        tuple(probes),
        materials(targets, language),
        tag,
    )


def group_page(children: Sequence[tuple[str, Sequence[PracticeTarget]]], printing: Printing) -> GroupPage:
    """The grid of a group: (code, targets) a child."""
    language = printing.language
    shown = tuple(GroupChild(code, rows(targets, language)) for code, targets in children)
    return GroupPage(printing, shown, help_key(language))


def materials(targets: Sequence[PracticeTarget], language: str) -> tuple[str, ...]:
    """What to bring: things and pictures for the words that can be drawn, acting out for verbs. Words not in the bank
    are listed as things, for somebody chose them."""
    things: list[str] = []
    actions: list[str] = []
    for target in targets:
        found = thing(target.word, target.language)
        if target.is_phrase and found is None:
            continue
        if found is not None and found.part == "verb":
            actions.append(target.word)
        elif found is None or found.picturable or found.category in ("people", "names"):
            things.append(target.word)
    lines = (("things", things), ("actions", actions))
    return tuple(said(language, "session", key, (("words", ", ".join(words)),)) for key, words in lines if words)


def _summary(plan: SessionPlan, language: str) -> str:
    order = said(language, "order", plan.order)
    values = {
        "minutes": f"{plan.minutes}",
        "trials": f"{plan.trials}",
        "order": order,
        "rest": f"{plan.rest_minutes:g}",
    }
    return said(language, "session", "summary", values.items())
