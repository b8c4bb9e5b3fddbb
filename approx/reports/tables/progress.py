"""Progress as JSON (keys are a promise) and as rows for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable
from statistics import median
from typing import Any

from approx.problems import Problem
from approx.progress.criteria import Readiness
from approx.progress.phases import Comparison, Panel, Point, Series, Summary, phase_runs, summary
from approx.reports.document import ProgressFacts
from approx.samples.token import CellChange

PROGRESS_COLUMNS = (
    "child", "measure", "word_set", "untreated", "treated_from", "session", "date", "phase", "phase_kind", "right", "out_of",
    "percent", "low", "high", "phase_median", "signature",
)  # fmt: skip


def progress_json(
    children: Iterable[ProgressFacts], problems: Iterable[Problem], changes: Iterable[CellChange], signature: str
) -> dict[str, Any]:
    """The whole answer: a child each, its panels with series, phases, comparisons and cautions, and its criteria."""
    return {
        "signature": signature,
        "problems": [problem.as_json() for problem in problems],
        "changes": [
            {"column": c.column, "typed": c.typed, "read": c.read, "why": c.why, "times": c.times, "row": c.row}
            for c in changes
        ],
        "children": [
            {
                "child": facts.child,
                "panels": [panel_json(panel) for panel in facts.panels],
                "ready": [readiness_json(each) for each in facts.readiness],
            }
            for facts in children
        ],
    }


def panel_json(panel: Panel) -> dict[str, Any]:
    """One panel."""
    return {
        "title": panel.title,
        "measure": panel.measure,
        "series": [series_json(each) for each in panel.series],
        "comparisons": [phase_comparison_json(each) for each in panel.comparisons],
        "cautions": [each.text() for each in panel.cautions],
    }


def series_json(series: Series) -> dict[str, Any]:
    """One series: its points, and a summary a phase."""
    return {
        "word_set": series.name,
        "untreated": series.untreated,
        "treated_from": series.treated_from,
        "points": [_point(point) for point in series.points],
        "phases": [
            {"phase": run.phase, "kind": run.kind, **_summary(summary(run.phase, run.points))}
            for run in phase_runs(series.points)
        ],
    }


def _point(point: Point) -> dict[str, Any]:
    ends = point.interval
    return {
        "session": point.session, "date": point.date, "phase": point.phase, "right": point.right, "out_of": point.out_of,
        "percent": _round(point.percent), "low": _round(ends.low if ends else None), "high": _round(ends.high if ends else None),
    }  # fmt: skip


def _summary(found: Summary) -> dict[str, Any]:
    return {
        "probes": found.probes, "right": found.right, "out_of": found.out_of, "median": _round(found.median), "mean": _round(found.mean),
        "mean_right": _round(found.mean_right), "low": _round(found.low), "high": _round(found.high), "slope": _round(found.slope),
        "rises_less_falls": found.rises, "pairs": found.pairs, "near_median": found.near, "stable": found.stable,
    }  # fmt: skip


def phase_comparison_json(each: Comparison) -> dict[str, Any]:
    """One set before treatment against one later phase, with every overlap figure."""
    return {
        "word_set": each.series,
        "untreated": each.untreated,
        "before": {"phase": each.before.name, **_summary(each.before)},
        "after": {"phase": each.after.name, "kind": each.after_kind, **_summary(each.after)},
        "immediate": _round(each.immediate),
        "figures": {
            figure.name: {
                **({"hits": figure.hits, "out_of": figure.out_of} if figure.counted else {}), "value": _round(figure.value, 6), "low": _round(figure.low, 6),
                "high": _round(figure.high, 6),
            }
            for figure in each.figures
        },
    }  # fmt: skip


def readiness_json(each: Readiness) -> dict[str, Any]:
    """One set against the criteria."""
    return {
        "word_set": each.word_set, "measure": each.measure, "ready": each.ready, "met_by": each.met_by, "needed": each.needed,
        "too_small": each.small, "since_session": each.since, "probes_in_treatment": each.treated_probes,
        "last": [_point(point) for point in each.last], "maintenance": [_point(point) for point in each.kept],
        "no_change": each.unchanged, "no_change_for": each.unchanged_over,
        "criterion": str(each.criterion), "criterion_source": each.criterion.source,
        "no_change_criterion": str(each.no_change), "no_change_source": each.no_change.source,
    }  # fmt: skip


def progress_rows(listed: Iterable[Series], signature: str) -> list[tuple[str | int | float | None, ...]]:
    """A row a probe; counts in two columns, so that no cell turns into a date."""
    rows: list[tuple[str | int | float | None, ...]] = []
    for series in listed:
        for run in phase_runs(series.points):
            level = _round(median(point.percent for point in run.points))
            for point in run.points:
                ends = point.interval
                rows.append(
                    (series.child, series.measure, series.name, "yes" if series.untreated else "no", series.treated_from,
                     point.session, point.date, run.phase, run.kind, point.right, point.out_of, _round(point.percent),
                     _round(ends.low if ends else None), _round(ends.high if ends else None), level, signature)
                )  # fmt: skip
    return rows


def _round(value: float | None, digits: int = 3) -> float | None:
    return None if value is None else round(value, digits)
