"""Probes of one child over sessions: phases, level, trend, variability, and what changed from before to after.

A probe is words said without help: `right` of `out_of`. Levels are compared as exact shares, so that probes with different
numbers of items can stand side by side. Six things are read: level, trend, variability, overlap, immediacy, and, over several
sets, consistency (Ledford, Lane & Severini 2017, Brain Impairment; abstract read).
The first phase is the baseline; a set's own baseline is every probe before the session from which its words were practised.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import groupby
from math import lcm
from statistics import median

from approx.progress.overlap import Figure, figures, kendall_s
from approx.progress.rules import PhaseKind, ProgressCaution, caution, phase_kind, thresholds
from approx.scoring.measures.intervals import Interval, exact
from approx.wording import worded


@dataclass(frozen=True, slots=True)
class Point:
    """One probe of one set. `session` orders the probes of a child; `date` is ISO, or "". ValueError for impossible counts."""

    session: int
    right: int
    out_of: int
    phase: str = ""
    date: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.right <= self.out_of or self.out_of < 1:
            raise ValueError(
                worded("{right} correct out of {out_of} is impossible", right=self.right, out_of=self.out_of)
            )

    @property
    def share(self) -> Fraction:
        """Right of all, exact."""
        return Fraction(self.right, self.out_of)

    @property
    def percent(self) -> float:
        """Right in a hundred."""
        return 100 * self.right / self.out_of

    @property
    def interval(self) -> Interval | None:
        """Exact interval in percent, as if the items were independent."""
        return _exact(self.right, self.out_of)


@lru_cache(maxsize=4096)
def _exact(right: int, out_of: int) -> Interval | None:
    return exact(right, out_of)


@dataclass(frozen=True, slots=True)
class Series:
    """Probes of one word set in the order of sessions. `untreated`: its words are never practised.

    `treated_from`: the session from which they were practised, None while they have not been. `measure`: what counts as
    right ("whole word", "shape"), "" where it was not said.
    """

    child: str
    name: str
    points: tuple[Point, ...]
    untreated: bool = False
    treated_from: int | None = None
    measure: str = ""


@dataclass(frozen=True, slots=True)
class PhaseRun:
    """A stretch of probes in one phase. A phase that comes back is a new run."""

    phase: str
    kind: PhaseKind
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Summary:
    """One stretch of probes. `right` of `out_of` is pooled; median, mean, low and high are in percent.

    `mean_right`: mean number right, None where probes have different numbers of items. `slope`: Theil-Sen, points of
    percent a session, None for fewer than two sessions (Sen 1968, J Am Stat Assoc 63:1379-1389, from memory). `rises`
    and `pairs`: Kendall's S (rises less falls) of so many pairs. `near`: probes near the median (`rules/progress.toml`).
    """

    name: str
    probes: int
    right: int
    out_of: int
    median: float
    mean: float
    mean_right: float | None
    low: float
    high: float
    slope: float | None
    rises: int
    pairs: int
    near: int
    stable: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """One set before treatment against one later phase. `immediate`: median of its first probes less that of the last before,
    in points of percent. `figures`: overlap indices (`approx.progress.overlap`).
    """

    series: str
    untreated: bool
    before: Summary
    after: Summary
    after_kind: PhaseKind
    immediate: float
    figures: tuple[Figure, ...]

    def figure(self, name: str) -> Figure:
        """One index by name. StopIteration where there is none of that name."""
        return next(figure for figure in self.figures if figure.name == name)


@dataclass(frozen=True, slots=True)
class Panel:
    """One thing measured: a treated set, and the untreated words over the same sessions, with what can be said of both."""

    child: str
    title: str
    measure: str
    series: tuple[Series, ...]
    comparisons: tuple[Comparison, ...]
    cautions: tuple[ProgressCaution, ...]

    @property
    def sessions(self) -> tuple[int, ...]:
        """Every session with a probe in this panel."""
        return tuple(sorted({point.session for series in self.series for point in series.points}))


def phase_runs(points: Iterable[Point]) -> tuple[PhaseRun, ...]:
    """Probes in order, cut where the phase changes."""
    ordered = sorted(points, key=lambda point: point.session)
    return tuple(
        PhaseRun(phase, phase_kind(phase), tuple(found))
        for phase, found in groupby(ordered, key=lambda point: point.phase)
    )


def summary(name: str, points: Sequence[Point]) -> Summary:
    """Level, trend and variability of some probes in order. ValueError for none.

    >>> found = summary("A", [Point(at, right, 10) for at, right in enumerate((1, 2, 1, 2), 1)])
    >>> found.mean_right, found.right, found.out_of, found.median
    (1.5, 6, 40, 15.0)
    """
    if not points:
        raise ValueError("no probes to sum up")
    limits = thresholds()
    whole, levels = _levels(points)
    middle = Fraction(median(levels))
    right, out_of = sum(point.right for point in points), sum(point.out_of for point in points)
    near = sum(abs(level - middle) * 100 <= middle * Fraction(limits.stable_within) for level in levels)
    return Summary(
        name,
        len(points),
        right,
        out_of,
        float(100 * middle / whole),
        100 * sum(levels) / len(levels) / whole,
        right / len(points) if len({point.out_of for point in points}) == 1 else None,
        100 * min(levels) / whole,
        100 * max(levels) / whole,
        _slope(points, whole, levels),
        kendall_s(levels),
        len(points) * (len(points) - 1) // 2,
        near,
        100 * near >= limits.stable_share * len(points),
    )


def _levels(points: Sequence[Point], *others: Sequence[Point]) -> tuple[int, list[int]]:
    """Shares as whole numbers over one denominator, which compare exactly and quickly."""
    whole = lcm(*{point.out_of for part in (points, *others) for point in part})
    return whole, [point.right * (whole // point.out_of) for point in points]


def _slope(points: Sequence[Point], whole: int, levels: Sequence[int]) -> float | None:
    """Median of the slopes of all pairs of probes from different sessions, in points of percent a session."""
    placed = list(zip([point.session for point in points], levels))
    slopes = [
        (high - low) / (last - first)
        for at, (first, low) in enumerate(placed)
        for last, high in placed[at + 1 :]
        if last != first
    ]
    return 100 * median(slopes) / whole if slopes else None


def before_and_after(series: Series, start: int | None) -> tuple[tuple[Point, ...], tuple[PhaseRun, ...]]:
    """Probes before the session `start`, and the runs from it on. Without a start all are before."""
    before = tuple(point for point in series.points if start is None or point.session < start)
    return before, phase_runs(series.points[len(before) :])


def phase_comparisons(series: Series, start: int | None) -> tuple[Comparison, ...]:
    """The probes before `start` against each phase from it on; none where either side is empty."""
    before, after = before_and_after(series, start)
    if not before:
        return ()
    base = summary(" + ".join(run.phase or "before" for run in phase_runs(before)), before)
    return tuple(_compared(series, before, base, run) for run in after)


def _compared(series: Series, before: Sequence[Point], base: Summary, run: PhaseRun) -> Comparison:
    points = thresholds().immediate_points
    whole, levels = _levels(before, run.points)
    _, later = _levels(run.points, before)
    immediate = 100 * (median(later[:points]) - median(levels[-points:])) / whole
    return Comparison(
        series.name,
        series.untreated,
        base,
        summary(run.phase or "after", run.points),
        run.kind,
        immediate,
        figures(levels, later),
    )


def panels(series: Iterable[Series]) -> tuple[Panel, ...]:
    """A panel for each treated set of each child and measure; one for the untreated words where nothing else was probed."""
    listed = list(series)
    out: list[Panel] = []
    for child, measure in dict.fromkeys((each.child, each.measure) for each in listed):
        mine = [each for each in listed if (each.child, each.measure) == (child, measure) and each.points]
        controls = [each for each in mine if each.untreated]
        treated = [each for each in mine if not each.untreated]
        out += [_panel([each, *controls], each) for each in treated]
        if controls and not treated:
            out.append(_panel(controls, controls[0]))
    return tuple(out)


def _panel(series: Sequence[Series], leader: Series) -> Panel:
    found = tuple(comparison for each in series for comparison in phase_comparisons(each, leader.treated_from))
    return Panel(
        leader.child, leader.name, leader.measure, tuple(series), found, _cautions(leader, series, bool(found))
    )


def _cautions(leader: Series, series: Sequence[Series], compared: bool) -> tuple[ProgressCaution, ...]:
    limits = thresholds()
    before, after = before_and_after(leader, leader.treated_from)
    out: list[ProgressCaution] = []
    if len(before) < limits.least_baseline:
        out.append(caution("few_baseline", least=limits.least_baseline))
    elif len(before) < limits.better_baseline:
        out.append(caution("some_baseline", n=len(before), better=limits.better_baseline))
    if len(before) >= limits.least_baseline:
        found = summary("", before)
        if found.rises >= limits.rising * found.pairs:
            out.append(caution("rising"))
    if any(each.untreated for each in series) and after:
        out.append(caution("untreated"))
    if compared:
        out += [caution("cause"), caution("overlap")]
    sizes = {point.out_of for each in series for point in each.points}
    smallest = min(sizes)
    if smallest <= 25:
        out.append(caution("small", out_of=smallest, points=round(100 / smallest)))
    out.append(caution("intervals"))
    return tuple(out)
