"""How rarely two phases of probes overlap: one function a published index, each over whole comparisons that can be counted.

`before` and `after` are levels in the order in which they were measured; higher is better. Exact numbers (Fraction) keep
ties exact: 8 of 10 is 4 of 5; so do whole numbers over one denominator. An index over an empty phase is undefined. Read them beside the chart: they say nothing of
the size of a change, and at 1 they cannot rise.
The papers named at each function were not open; their definitions, and the examples of Parker, Vannest & Davis 2011, Behav
Modif 35:303-322, were read in Pustejovsky & Swan's "Effect size definitions and mathematical details" and its tests.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist, median

Level = Fraction | int | float
Levels = Sequence[Level]


@dataclass(frozen=True, slots=True)
class Figure:
    """One index: `hits` of `out_of` comparisons or points (a tie may count half), the value, an interval where one is known.

    `value` is None where the index is undefined. For Tau and IRD `hits` may be negative: comparisons for less against.
    """

    name: str
    hits: float
    out_of: int
    value: float | None
    low: float | None = None
    high: float | None = None
    method: str = ""

    @property
    def counted(self) -> bool:
        """True where the value is `hits` over `out_of`, so that the two may stand beside it."""
        return self.value is not None and abs(self.hits / self.out_of - self.value) < 1e-9


@dataclass(frozen=True, slots=True)
class Index:
    """An index by name: what it counts, what to beware of, and where it was published."""

    name: str
    title: str
    counts: str
    caution: str
    source: str
    of: Callable[[Levels, Levels], Figure]


def nap(before: Levels, after: Levels, confidence: float = 95.0) -> Figure:
    """Nonoverlap of all pairs: of all pairs (one level before, one after), those where the later is higher; ties count half.

    0.5 is complete overlap. The interval is that of Newcombe 2006, Stat Med 25:559-573, method 5, which takes the levels as
    independent; none with fewer than two levels in a phase. Source: Parker & Vannest 2009, Behav Ther 40:357-367.

    >>> nap([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29]).hits
    38.5
    """
    pairs = len(before) * len(after)
    wins, ties, _ = _won(before, after)
    hits = wins + ties / 2
    if not pairs:
        return Figure("nap", hits, 0, None)
    value = hits / pairs
    if min(len(before), len(after)) < 2:
        return Figure("nap", hits, pairs, value)
    low, high = _newcombe(value, len(before), len(after), confidence)
    return Figure("nap", hits, pairs, value, low, high, "Newcombe method 5, levels taken as independent")


def tau(before: Levels, after: Levels) -> Figure:
    """Tau, A against B: pairs that rise less pairs that fall, of all pairs. It is 2 NAP - 1, from -1 to 1.

    Source: Parker, Vannest, Davis & Sauber 2011, Behav Ther 42:284-299.

    >>> tau([3, 3, 4, 5], [4, 5, 6, 7, 7]).hits
    16
    """
    pairs = len(before) * len(after)
    wins, _, losses = _won(before, after)
    score = wins - losses
    return Figure("tau", score, pairs, score / pairs if pairs else None)


def tau_u(before: Levels, after: Levels) -> Figure:
    """Tau-U, A against B less the trend of A: (rises less falls between the phases - rises less falls within the first) / pairs
    between the phases.

    Its range depends on the numbers of points (Tarlow 2017, Behav Modif 41:427-467), so it is not to be compared between
    children. Source: Parker, Vannest, Davis & Sauber 2011, Behav Ther 42:284-299.

    >>> tau_u([3, 3, 4, 5], [4, 5, 6, 7, 7]).hits
    11
    """
    pairs = len(before) * len(after)
    wins, _, losses = _won(before, after)
    score = wins - losses - kendall_s(before)
    return Figure("tau_u", score, pairs, score / pairs if pairs else None)


def pnd(before: Levels, after: Levels) -> Figure:
    """Percentage of nonoverlapping data: later levels above the highest of all earlier ones.

    One high point before decides it, and it falls as the first phase grows longer.
    Source: Scruggs, Mastropieri & Casto 1987, Remedial Spec Educ 8:24-33.

    >>> pnd([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29]).hits
    5
    """
    if not before or not after:
        return Figure("pnd", 0, 0, None)
    hits = sum(later > max(before) for later in after)
    return Figure("pnd", hits, len(after), hits / len(after))


def pem(before: Levels, after: Levels) -> Figure:
    """Percentage exceeding the median: later levels above the median of the earlier ones; those on it count half.

    It does not see how far beyond the median they are. Source: Ma 2006, Behav Modif 30:598-617.

    >>> pem([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29]).hits
    7.0
    """
    if not before or not after:
        return Figure("pem", 0, 0, None)
    middle = median([Fraction(level) for level in before])
    hits = sum(2 * (later > middle) + (later == middle) for later in after) / 2
    return Figure("pem", hits, len(after), hits / len(after))


def pand(before: Levels, after: Levels) -> Figure:
    """Percentage of all nonoverlapping data: points left when as few as possible, of either phase, are taken away so that every
    later level is above every earlier one.

    Its value depends on the numbers of points. Source: Parker, Hagan-Burke & Vannest 2007, J Spec Educ 40:194-204 (from
    memory); counted as in Parker, Vannest & Davis 2011.

    >>> pand([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29]).hits
    11
    """
    points = len(before) + len(after)
    if not before or not after:
        return Figure("pand", 0, 0, None)
    cuts = [min(*before, *after) - 1, *before, *after]
    first, last = sorted(before), sorted(after)
    kept = max(bisect_right(first, cut) + len(last) - bisect_right(last, cut) for cut in cuts)
    return Figure("pand", kept, points, kept / points)


def ird(before: Levels, after: Levels) -> Figure:
    """Robust improvement rate difference: share of improved points after less share of improved points before, with the points
    PAND takes away shared equally between the phases: 1 - (m + n)² / 2mn · (1 - PAND).

    Its value depends on the numbers of points; with very unequal phases it can fall below -1. `hits` and `out_of` are those of PAND.
    Source: Parker, Vannest & Brown 2009, Except Child 75:135-150; robust form in Parker, Vannest & Davis 2011.

    >>> round(ird([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29]).value, 4)  # 6/7 - 1/6
    0.6905
    """
    kept = pand(before, after)
    if kept.value is None:
        return Figure("ird", 0, 0, None)
    removed = Fraction(kept.out_of - int(kept.hits), kept.out_of)
    value = 1 - Fraction(kept.out_of**2, 2 * len(before) * len(after)) * removed
    return Figure("ird", kept.hits, kept.out_of, float(value))


def kendall_s(levels: Levels) -> int:
    """Kendall's S over time: pairs of levels that rise less pairs that fall.

    >>> kendall_s([3, 3, 4, 5])
    5
    """
    return sum(_sign(later, earlier) for at, earlier in enumerate(levels) for later in levels[at + 1 :])


def _won(before: Levels, after: Levels) -> tuple[int, int, int]:
    """Of all pairs: those where the later level is higher, equal, lower."""
    ordered = sorted(before)
    below = [bisect_left(ordered, later) for later in after]
    at_most = [bisect_right(ordered, later) for later in after]
    wins = sum(below)
    ties = sum(at_most) - wins
    return wins, ties, len(before) * len(after) - wins - ties


def _sign(later: Level, earlier: Level) -> int:
    return (later > earlier) - (later < earlier)


def _newcombe(value: float, before: int, after: int, confidence: float) -> tuple[float, float]:
    """Ends of the interval: the shares θ whose distance from NAP is just z times their standard error."""
    z = NormalDist().inv_cdf(0.5 + confidence / 200)
    h = (before + after) / 2 - 1

    def beyond(share: float) -> float:
        spread = 1 + h * ((1 - share) / (2 - share) + share / (1 + share))
        return (value - share) ** 2 - z * z * share * (1 - share) / (before * after) * spread

    return _end(beyond, 0.0, value), _end(beyond, 1.0, value)


def _end(beyond: Callable[[float], float], outer: float, inner: float) -> float:
    """Where `beyond` changes its sign between an outer share (beyond the interval) and an inner one."""
    if outer == inner:
        return outer
    for _ in range(60):
        middle = (outer + inner) / 2
        outer, inner = (middle, inner) if beyond(middle) > 0 else (outer, middle)
    return (outer + inner) / 2


_NUMBERS = "its value depends on the numbers of points"
_REVIEW = "Parker, Vannest & Davis 2011, Behav Modif 35:303-322"

INDICES: dict[str, Index] = {
    index.name: index
    for index in (
        Index("nap", "Nonoverlap of all pairs", "pairs where the later level is higher, ties half", "at 1 it cannot rise",
              "Parker & Vannest 2009, Behav Ther 40:357-367", nap),
        Index("pnd", "Percentage of nonoverlapping data", "later points above the highest earlier one",
              "one high point in the baseline decides it", "Scruggs, Mastropieri & Casto 1987, Remedial Spec Educ 8:24-33", pnd),
        Index("pem", "Percentage exceeding the median", "later points above the earlier median, on it half",
              "does not see how far above", "Ma 2006, Behav Modif 30:598-617", pem),
        Index("pand", "Percentage of all nonoverlapping data", "points left when the fewest are taken away", _NUMBERS, _REVIEW, pand),
        Index("ird", "Improvement rate difference (robust)", "points left when the fewest are taken away", _NUMBERS,
              "Parker, Vannest & Brown 2009, Except Child 75:135-150; robust form in " + _REVIEW, ird),
        Index("tau", "Tau, A against B", "pairs that rise less pairs that fall", "2 NAP - 1: the same counts once more",
              "Parker, Vannest, Davis & Sauber 2011, Behav Ther 42:284-299", tau),
        Index("tau_u", "Tau-U, A against B less the trend of A", "as Tau, less rises and falls within the baseline",
              "its range depends on the numbers of points; not to be compared between children (Tarlow 2017, Behav Modif 41:427-467)",
              "Parker, Vannest, Davis & Sauber 2011, Behav Ther 42:284-299", tau_u),
    )
}  # fmt: skip
"""Every index in the order in which they are shown."""


def figures(before: Levels, after: Levels) -> tuple[Figure, ...]:
    """All indices of two phases."""
    return tuple(index.of(before, after) for index in INDICES.values())
