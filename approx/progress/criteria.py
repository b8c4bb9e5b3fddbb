"""Is a set ready for its next step, and is anything still moving: stated criteria against probes, with n, never a verdict.

A criterion is met or not met by counts; what follows is decided by the clinician. The numbers stand in `rules/progress.toml`,
can be set for a run, and are printed with every answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from approx.progress.phases import Point, Series
from approx.progress.rules import phase_kind, progress_table
from approx.wording import counted

CriterionState = Literal["met", "not met", "too few probes"]


@dataclass(frozen=True, slots=True)
class ReadyCriterion:
    """At least `percent` right in each of the last `sessions` probes, each of at least `least_items` items."""

    percent: float
    sessions: int
    least_items: int
    source: str

    def __str__(self) -> str:
        return (
            f"{self.percent:g}% or more in each of the last {counted(self.sessions, 'probe')} of {self.least_items} or more items, "
            "no cues"
        )


@dataclass(frozen=True, slots=True)
class UnchangedCriterion:
    """The last `sessions` probes lie within `within` points of percent, and the last is no higher than the first.

    `rung_sessions`: a rung that has lasted longer than this is named.
    """

    sessions: int
    within: float
    rung_sessions: int
    source: str

    def __str__(self) -> str:
        return f"the last {counted(self.sessions, 'probe')} within {counted(f'{self.within:g}', 'point')}, the last no higher than the first"


@dataclass(frozen=True, slots=True)
class Readiness:
    """One treated set against both criteria.

    `last`: the probes that were looked at, in order; `met_by` of `needed` of them reached the mark. `small`: how many of
    them had fewer items than the criterion asks for (they do not count). `since`: first session of a row of probes at the
    mark that reaches to the last one. `unchanged`: None where there are too few probes to say. `kept`: probes of
    maintenance phases, which are told beside the criterion and do not enter it.
    """

    child: str
    word_set: str
    measure: str
    ready: CriterionState
    met_by: int
    needed: int
    small: int
    last: tuple[Point, ...]
    since: int | None
    unchanged: bool | None
    unchanged_over: int
    treated_probes: int
    kept: tuple[Point, ...]
    criterion: ReadyCriterion
    no_change: UnchangedCriterion


@dataclass(frozen=True, slots=True)
class RungStep:
    """A form that was aimed at from a session on. `rung` counts from 1 (lowest) of `of`; None where no ladder was used."""

    word: str
    form: str
    session: int
    date: str = ""
    rung: int | None = None
    of: int | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class RungHistory:
    """The forms of one word in order, how many sessions each lasted up to the latest one, and whether the present one has
    lasted longer than the criterion.
    """

    word: str
    steps: tuple[RungStep, ...]
    lasted: tuple[int, ...]
    long: bool
    limit: int


@cache
def default_ready() -> ReadyCriterion:
    """The criterion of `rules/progress.toml`."""
    table = progress_table()["ready"]
    return ReadyCriterion(table["percent"], table["sessions"], table["least_items"], table["source"])


@cache
def default_unchanged() -> UnchangedCriterion:
    """The criterion of `rules/progress.toml`."""
    table = progress_table()["unchanged"]
    return UnchangedCriterion(table["sessions"], table["within"], table["rung_sessions"], table["source"])


def ready_choices() -> dict[str, ReadyCriterion]:
    """Other criteria in use, by name, each with its source."""
    least = default_ready().least_items
    return {
        entry["name"]: ReadyCriterion(entry["percent"], entry["sessions"], least, entry["source"])
        for entry in progress_table()["ready_choices"]
    }


def ready_with(
    percent: float | None = None, sessions: int | None = None, least_items: int | None = None
) -> ReadyCriterion:
    """The usual criterion with the numbers given; its source then says whose they are. ValueError for numbers out of range."""
    usual = default_ready()
    made = replace(
        usual,
        percent=usual.percent if percent is None else percent,
        sessions=usual.sessions if sessions is None else sessions,
        least_items=usual.least_items if least_items is None else least_items,
    )
    if not 0 < made.percent <= 100 or made.sessions < 1 or made.least_items < 1:
        raise ValueError("percent from over 0 to 100; sessions and items from 1")
    return made if made == usual else replace(made, source="set by the clinician for this run")


def readiness(
    series: Series, criterion: ReadyCriterion | None = None, no_change: UnchangedCriterion | None = None
) -> Readiness:
    """One set against the criteria. Only probes since its treatment began are looked at, and those of maintenance apart.

    >>> points = tuple(Point(session, right, 10) for session, right in enumerate((2, 8, 9, 8), 1))
    >>> readiness(Series("K07", "set1", points, treated_from=2)).ready
    'met'
    """
    mark, still = criterion or default_ready(), no_change or default_unchanged()
    start = series.treated_from
    since_start = [point for point in series.points if start is not None and point.session >= start]
    kept = tuple(point for point in since_start if phase_kind(point.phase) == "maintenance")
    treated = [point for point in since_start if phase_kind(point.phase) != "maintenance"]
    last = treated[-mark.sessions :]
    met_by = sum(_reaches(point, mark) for point in last)
    state: CriterionState = "met" if met_by == mark.sessions else "not met"
    if len(last) < mark.sessions:
        state = "too few probes"
    small = sum(point.out_of < mark.least_items for point in last)
    recent = treated[-still.sessions :]
    flat = _unchanged(recent, still) if len(recent) == still.sessions else None
    return Readiness(
        series.child, series.name, series.measure, state, met_by, mark.sessions, small, tuple(last), _since(treated, mark),
        flat, _flat_for(treated, still) if flat else 0, len(treated), kept, mark, still,
    )  # fmt: skip


def all_readiness(
    series: Iterable[Series], criterion: ReadyCriterion | None = None, no_change: UnchangedCriterion | None = None
) -> tuple[Readiness, ...]:
    """Every set that has been in treatment."""
    return tuple(
        readiness(each, criterion, no_change) for each in series if not each.untreated and each.treated_from is not None
    )


def _reaches(point: Point, mark: ReadyCriterion) -> bool:
    return point.out_of >= mark.least_items and 100 * point.right >= mark.percent * point.out_of


def _since(points: Sequence[Point], mark: ReadyCriterion) -> int | None:
    since = None
    for point in reversed(points):
        if not _reaches(point, mark):
            break
        since = point.session
    return since


def _unchanged(points: Sequence[Point], still: UnchangedCriterion) -> bool:
    shares = [100 * point.share for point in points]
    return max(shares) - min(shares) <= still.within and shares[-1] <= shares[0]


def _flat_for(points: Sequence[Point], still: UnchangedCriterion) -> int:
    """How many of the last probes are unchanged, from the shortest row of them that counts to the longest."""
    longest = still.sessions
    for length in range(still.sessions, len(points) + 1):
        if _unchanged(points[-length:], still):
            longest = length
    return longest


def rung_histories(
    steps: Iterable[RungStep], latest_session: int, no_change: UnchangedCriterion | None = None
) -> tuple[RungHistory, ...]:
    """The forms of each word in order, with the number of sessions each lasted; `latest_session` is the child's latest."""
    still = no_change or default_unchanged()
    by_word: dict[str, list[RungStep]] = {}
    for step in steps:
        by_word.setdefault(step.word, []).append(step)
    out = []
    for word, mine in by_word.items():
        mine.sort(key=lambda step: step.session)
        ends = [step.session for step in mine[1:]] + [latest_session + 1]
        lasted = tuple(max(0, end - step.session) for step, end in zip(mine, ends))
        out.append(RungHistory(word, tuple(mine), lasted, lasted[-1] > still.rung_sessions, still.rung_sessions))
    return tuple(out)
