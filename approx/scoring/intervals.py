"""How sure a figure is: intervals by resampling words, exact ones where the items are independent, and plain errors.

Sounds of one word are not independent, so words are drawn, not sounds. Resampling: as many words as the sample has, drawn
from it with replacement, `resamples` times, from `seed`; the interval holds the middle `confidence` percent. It depends on
what the words were, not on their order. Sums over more than a thousand words are drawn from the normal distribution that
resampling tends to. Source: Efron & Tibshirani 1993, An introduction to the bootstrap (from memory).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from approx.scoring.counts import NUMBERS, pack, table, unpack
from approx.scoring.options import Options

SMALL, LARGE = 100, 1000
"""Up to SMALL words nothing but the standard library is needed; beyond LARGE the normal limit stands in. All is seeded."""


@dataclass(frozen=True, slots=True)
class Interval:
    """Lower and upper end, and how they were found."""

    low: float
    high: float
    method: str


class Resampled:
    """Sums of every number over each resample of one sample. Made once a sample, used for all its measures."""

    def __init__(self, rows: Mapping[int, int], options: Options) -> None:
        self.words = sum(rows.values())
        self.options = options
        kept = sorted(rows.items())
        self._sums: list[int] = []
        self._columns: dict[str, list[int]] = {}
        if self.words < 2 or options.resamples < 1:
            return
        if self.words <= SMALL:
            self._sums = _drawn([row for row, times in kept for _ in range(times)], options)
        else:
            self._columns = (_drawn_in_arrays if self.words <= LARGE else _drawn_from_limit)(kept, options)

    @classmethod
    def of_parts(cls, parts: Iterable[tuple[int, int]], options: Options) -> Resampled:
        """Resamples of items that give two numbers each, held as "points" and "words"."""
        points, words = pack({"points": 1}), pack({"words": 1})
        return cls(Counter([top * points + bottom * words for top, bottom in parts]), options)

    def column(self, name: str) -> list[int]:
        """The sums of one number, one a resample; empty where nothing was resampled."""
        if name not in self._columns:
            self._columns[name] = [unpack(row, name) for row in self._sums]
        return self._columns[name]

    def interval_of(self, value: Callable[[Callable[[str], int]], float | None]) -> Interval | None:
        """Interval of any figure worked out from the sums of one resample, asked for by name."""
        used: dict[str, list[int]] = {}

        def at(number: int) -> Callable[[str], int]:
            return lambda name: used.setdefault(name, self.column(name))[number]

        made = self.options.resamples if self.words > 1 else 0
        return self._middle(
            [found for number in range(made) if (found := value(at(number))) is not None], "words resampled"
        )

    def interval(
        self, hits: tuple[str, ...], out_of: tuple[str, ...], scale: float, method: str = "words resampled"
    ) -> Interval | None:
        """Interval of scale × (sum of hits / sum of out_of). None where most resamples leave it undefined."""
        tops, bottoms = self._added(hits), self._added(out_of)
        return self._middle([scale * top / bottom for top, bottom in zip(tops, bottoms) if bottom], method)

    def _middle(self, values: list[float], method: str) -> Interval | None:
        values.sort()
        if not values or 2 * len(values) < self.options.resamples:
            return None
        cut = int((100 - self.options.confidence) / 200 * len(values))
        return Interval(values[cut], values[len(values) - 1 - cut], method)

    def _added(self, names: tuple[str, ...]) -> list[int]:
        columns = [self.column(name) for name in names]
        return columns[0] if len(columns) == 1 else [sum(row) for row in zip(*columns)]


def _drawn(words: list[int], options: Options) -> list[int]:
    import random

    draw, count = random.Random(options.seed).choices, len(words)
    return [sum(draw(words, k=count)) for _ in range(options.resamples)]


def _drawn_in_arrays(kept: list[tuple[int, int]], options: Options) -> dict[str, list[int]]:
    import numpy as np

    numbers, times = _table(kept)
    kind = np.repeat(np.arange(len(times)), times)
    drawn = kind[np.random.default_rng(options.seed).integers(0, len(kind), (options.resamples, len(kind)))]
    cells = (drawn + np.arange(options.resamples)[:, None] * len(times)).ravel()
    often = np.bincount(cells, minlength=options.resamples * len(times)).reshape(-1, len(times))
    return _columns(often @ numbers)


def _drawn_from_limit(kept: list[tuple[int, int]], options: Options) -> dict[str, list[int]]:
    """Sums as resampling has them in the limit: normal, around n times the mean row, n times the rows' covariance apart."""
    import numpy as np

    numbers, times = _table(kept)
    words = times.sum()
    middle = times @ numbers / words
    apart = (numbers - middle) * np.sqrt(times)[:, None]
    values, directions = np.linalg.eigh(apart.T @ apart)
    normal = np.random.default_rng(options.seed).standard_normal((options.resamples, len(values)))
    sums = words * middle + (normal * np.sqrt(np.clip(values, 0, None))) @ directions.T
    return _columns(np.clip(sums, 0, None))


def _table(kept: list[tuple[int, int]]) -> tuple[Any, Any]:
    """Distinct rows of numbers (as floats, exact up to 2**53), and how many words gave each."""
    import numpy as np

    numbers = np.frombuffer(table(row for row, _ in kept), "<u8").reshape(len(kept), len(NUMBERS))
    return numbers.astype(np.float64), np.array([times for _, times in kept], np.int64)


def _columns(sums: Any) -> dict[str, list[int]]:
    return {name: sums[:, at].round().astype(int).tolist() for at, name in enumerate(NUMBERS)}


def exact(hits: int, out_of: int, confidence: float = 95.0) -> Interval | None:
    """Clopper-Pearson interval in percent of `hits` in `out_of` independent items; None for no items.

    Used where the items are whole words (PWC, matches, inconsistency) and where a resampled interval has no width because
    nothing varies in the sample. Source: Clopper & Pearson 1934, Biometrika 26:404-413 (from memory).

    >>> found = exact(8, 10)
    >>> round(found.low, 2), round(found.high, 2)
    (44.39, 97.48)
    """
    if not out_of:
        return None
    tail = (100 - confidence) / 200
    low = 0.0 if hits == 0 else _solve(lambda p: _at_least(hits, out_of, p) - tail)
    high = 1.0 if hits == out_of else _solve(lambda p: tail - 1 + _at_least(hits + 1, out_of, p))
    return Interval(100 * low, 100 * high, "exact")


def _solve(rising: Callable[[float], float]) -> float:
    """Where a function that rises from below 0 to above 0 on 0..1 crosses it: false position, halved where one end sticks."""
    low, high, at_low, at_high = 0.0, 1.0, rising(0.0), rising(1.0)
    for step in range(200):
        middle = (low + high) / 2 if step % 3 == 2 else (low * at_high - high * at_low) / (at_high - at_low)
        value = rising(middle)
        if value < 0:
            low, at_low = middle, value
        else:
            high, at_high = middle, value
        if high - low < 1e-12 or abs(value) < 1e-13:
            return middle
    return (low + high) / 2


def _at_least(hits: int, out_of: int, p: float) -> float:
    """Probability of `hits` or more among `out_of`: the regularized incomplete beta function I_p(hits, out_of - hits + 1)."""
    return _beta(p, hits, out_of - hits + 1)


def _beta(x: float, a: float, b: float) -> float:
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta(1 - x, b, a)
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)) / a
    # Continued fraction of the incomplete beta function, evaluated from the front (Lentz's method).
    tiny, c = 1e-300, 1.0
    d = 1 / max(1 - (a + b) * x / (a + 1), tiny)
    value = d
    for m in range(1, 10_000):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / (1 + step * d or tiny)
            c = 1 + step / c or tiny
            value *= c * d
        if abs(c * d - 1) < 1e-14:
            break
    return front * value


def standard_error(share: float, out_of: int) -> float:
    """Standard error in points of a percentage, as if the items were independent: 100·√(p(1-p)/n).

    Consonants of a word are not, so for PCC this is the least it can be. ZeroDivisionError for no items.

    >>> round(standard_error(0.7, 100), 2)
    4.58
    """
    return 100 * math.sqrt(share * (1 - share) / out_of)
