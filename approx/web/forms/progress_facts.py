"""Probes as the caseload keeps them, made into the series that the report draws; and a pasted table made into probes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import IO

from approx.api.samples.probes import progress, treated_from
from approx.problems import Problem
from approx.progress.criteria import RungStep
from approx.progress.phases import Panel, Point, Series
from approx.progress.rules import phase_kind
from approx.records.database.rows import PhaseEntry, ProbeEntry, Progress, age_text
from approx.records.tables.checks import today
from approx.reports.charts.progress_chart import chart_svg
from approx.reports.document import Document, ProgressFacts
from approx.reports.regions import with_region
from approx.reports.text.progress import progress_document
from approx.samples.files.table import open_table


def series_of(found: Progress) -> tuple[Series, ...]:
    """A series a set. A set is treated from the first session of the first phase of treatment that names it, or that names none."""
    points: dict[str, list[Point]] = {}
    untreated: set[str] = set()
    for probe in sorted(found.probes, key=lambda probe: probe.session):
        point = Point(probe.session, probe.right, probe.out_of, probe.phase, probe.date)
        points.setdefault(probe.word_set, []).append(point)
        if not probe.treated:
            untreated.add(probe.word_set)
    treatment = sorted(
        (phase for phase in found.phases if phase.kind == "treatment"), key=lambda phase: phase.first_session
    )
    out = []
    for name, mine in points.items():
        starts = [phase.first_session for phase in treatment if not phase.word_sets or name in phase.word_sets]
        begun = starts[0] if starts and name not in untreated else None
        out.append(Series(found.child.code, name, tuple(mine), name in untreated, begun))
    return tuple(out)


def facts_of(found: Progress) -> ProgressFacts:
    """What the report says, with the criteria of `rules/progress.toml`."""
    steps, latest = _forms_of(found)
    made = progress(series_of(found), child=found.child.code, forms=steps, latest_session=latest).children
    facts = made[0] if made else ProgressFacts(found.child.code, ())
    return replace(facts, age=age_text(found.child, today()), language=found.child.languages[0])


def _forms_of(found: Progress) -> tuple[list[RungStep], int]:
    """The forms chosen for each word: each was aimed at from the first session on or after the day of the choice; and the
    number of the latest session.

    A choice after the latest session counts from the next one; of two choices before one session, the later counts.
    """
    days = sorted((session.number, session.date) for session, _, _ in found.sessions)
    latest = days[-1][0] if days else 0
    steps = {}
    for choice in found.choices:
        first = next((number for number, day in days if day >= choice.date), latest + 1)
        steps[choice.word, first] = RungStep(
            choice.word, choice.ipa, first, choice.date, choice.rung, choice.of, choice.reason
        )
    return list(steps.values()), latest


def document_of(
    facts: ProgressFacts,
    language: str,
    theme: str = "page",
    draw: Callable[[Panel, str, str], str] = chart_svg,
) -> Document:
    """The report in a language of the pages. `draw`: what stands for the chart of a panel, given theme and language."""
    return progress_document(facts, with_region(language, facts.language), theme, draw)


def pasted_probes(table: IO[bytes], starts: str) -> tuple[list[ProbeEntry], list[PhaseEntry], list[Problem]]:
    """Probes and phases of a table as `approx progress` reads it. `starts`: a line a set, such as `set 2 = 13`.

    Rows that name other children are read too: the table is one child's, and its codes are not looked at.
    """
    treated, wrong = treated_from(filter(str.strip, starts.splitlines()))
    read = progress(open_table(table), treated=treated)
    problems = [*wrong, *read.problems]
    if len({series.child for series in read.series}) > 1:
        problems.append(Problem("desk.children", "the table has rows of several children", "paste those of one child"))
    rows = [
        ProbeEntry(point.session, series.name, point.right, point.out_of, not series.untreated, point.date)
        for series in read.series
        for point in series.points
    ]
    return rows, _phases(read.series), problems


def _phases(every: tuple[Series, ...]) -> list[PhaseEntry]:
    """Phases in order of their first session, each with the sets whose treatment had begun by its start."""
    first: dict[str, int] = {}
    for point in sorted((point for series in every for point in series.points), key=lambda point: point.session):
        if point.phase:
            first.setdefault(point.phase, point.session)
    return [
        PhaseEntry(
            name,
            session,
            phase_kind(name),
            tuple(s.name for s in every if s.treated_from is not None and s.treated_from <= session),
        )
        for name, session in first.items()
    ]
