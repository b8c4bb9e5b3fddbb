"""The clinician's pages: the floor with one child a page or one child a row, and the plan of a session."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from approx.practice.listening.frames import thing
from approx.practice.session.plan import SessionPlan, TrialRun
from approx.practice.session.targets import PracticeTarget
from approx.reports.report_words import said
from approx.reports.sheets.page_types import GroupChild, GroupPage, PlanPage, PlanRow, Printing, SessionPage
from approx.reports.sheets.printed_rows import help_key, rows, sheets


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


def plan_page(plan: SessionPlan, targets: Sequence[PracticeTarget], printing: Printing) -> PlanPage:
    """The page of a plan made for these targets, in their order."""
    language = printing.language
    values = {"minutes": str(plan.minutes), "words": str(len(plan.targets)), "trials": str(plan.trials)}
    summary = said(language, "plan", "summary", {**values, "order": said(language, "order", plan.order)}.items())
    seed = said(language, "plan", "seed", (("seed", str(plan.seed)),)) if plan.order == "random" else ""
    tag = targets[0].language if targets else language
    return PlanPage(
        printing, summary, seed, tuple(_rows(plan, language)), tuple(zip(rows(targets, language), plan.per_target)),
        help_key(language), remark_sentences(plan, language),
        tuple((said(language, "facts", fact.key, fact.values), fact.rule, fact.source) for fact in plan.facts), tag,
    )  # fmt: skip


def remark_sentences(plan: SessionPlan, language: str) -> tuple[str, ...]:
    """What the plan has to say, as sentences."""
    return tuple(said(language, "remarks", remark.key, remark.values) for remark in plan.remarks)


def _rows(plan: SessionPlan, language: str) -> list[PlanRow]:
    def text(key: str, values: Mapping[str, str] | None = None) -> str:
        return said(language, "plan", key, (values or {}).items())

    out = [PlanRow(_clock(0), text("probe"), ", ".join(plan.probes), str(len(plan.probes)))]
    for run in plan.runs:
        if run.number > 1:
            ended = run.start - plan.rest_minutes
            out.append(
                PlanRow(_clock(ended), text("rest"), text("rest_how", {"minutes": f"{plan.rest_minutes:g}"}), "")
            )
        name = text("run", {"number": str(run.number)})
        out.append(PlanRow(_clock(run.start), name, _run(plan, run, language), str(len(run.words))))
    end = plan.runs[-1].start + plan.runs[-1].minutes
    if plan.spare_minutes >= 1:
        out.append(PlanRow(_clock(end), text("spare"), text("spare_how", {"minutes": _whole(plan.spare_minutes)}), ""))
    start = plan.minutes - plan.handover_minutes
    shown = text("handover_how", {"minutes": _whole(plan.handover_minutes)})
    return [*out, PlanRow(_clock(start), text("handover"), shown, "")]


def _run(plan: SessionPlan, run: TrialRun, language: str) -> str:
    """The words of a run: each block with its trials, or one word after the other where the order is random."""
    if plan.order == "random":
        return " · ".join(plan.targets[word] for word in run.words)
    parts = run.blocks if plan.order == "blocked" else run.tally
    named = [
        said(language, "plan", "times", (("word", plan.targets[word]), ("times", str(times)))) for word, times in parts
    ]
    return ", ".join(named)


def _clock(minutes: float) -> str:
    """To the half minute: nobody keeps a session by the second."""
    seconds = round(2 * minutes) * 30
    return f"{seconds // 60}:{seconds % 60:02d}"


def _whole(minutes: float) -> str:
    return f"{round(minutes)}"
