"""Intervals of many figures at once: what `measures.intervals` gives for each, with the same steps in the same order.

An array holds a figure a group. Ends are NaN where there is no interval.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from approx.scoring.bulk.different_numbers import told_apart
from approx.scoring.measures.intervals import exact, normal, student

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Floats = NDArray[np.float64]
    Ends = tuple[Floats, Floats]


class MomentArrays(NamedTuple):
    """`intervals.Moments` of many groups. The numbers may be whole numbers without bound (dtype object)."""

    words: Ints
    top: Ints
    bottom: Ints
    top_top: Ints
    top_bottom: Ints
    bottom_bottom: Ints

    def share(self) -> Floats:
        """All of `top` over all of `bottom`; NaN for nothing."""
        import numpy as np

        there = self.bottom != 0
        out = np.full(len(self.bottom), np.nan)
        out[there] = self.top[there] / self.bottom[there]
        return out

    def variance(self) -> Floats:
        """Variance of the share."""
        import numpy as np

        words, bottom, share = self.words, self.bottom.astype(np.float64), self.share()
        apart = self.top_top - 2 * share * self.top_bottom + share * share * self.bottom_bottom
        alike = (words < 2) | (apart <= 1e-12 * (self.top_top + self.bottom_bottom).astype(np.float64))
        return np.where(alike, 0.0, words / np.maximum(words - 1, 1) * apart.astype(np.float64) / bottom**2)


def of_sounds_in_groups(found: MomentArrays, confidence: float) -> Ends:
    """`intervals.of_sounds` of each group."""
    import numpy as np

    share, z, bottom = found.share(), normal(confidence), found.bottom
    alone = share * (1 - share) / bottom
    number = np.where(alone != 0, bottom / np.maximum(1.0, found.variance() / alone), found.words)
    middle = share + z * z / (2 * number)
    wide = z * np.sqrt(share * (1 - share) / number + z * z / (4 * number * number))
    all_of = 1 + z * z / number
    low = np.where(found.top != 0, 100 * ((middle - wide) / all_of), 0.0)
    high = np.where(found.top != bottom, 100 * ((middle + wide) / all_of), 100.0)
    return _where(found.words > 0, low, high)


def of_ratios(value: Floats, variance: Floats, words: Ints, confidence: float) -> Ends:
    """`intervals.of_ratio` of each group."""
    import numpy as np

    varied = (words >= 2) & (variance > 0)
    quantile = _looked_up(np.where(varied, words - 1, 1), lambda freedom: student(confidence, freedom))
    wide = quantile * np.sqrt(variance)
    return _where(varied, np.maximum(0.0, value - wide), value + wide)


def exact_in_groups(hits: Ints, out_of: Ints, confidence: float) -> Ends:
    """`intervals.exact` of each group."""
    import numpy as np

    most = int(out_of.max(initial=0)) + 1

    def low(code: int) -> float:
        found = exact(*divmod(code, most), confidence)
        return np.nan if found is None else found.low

    def high(code: int) -> float:
        found = exact(*divmod(code, most), confidence)
        return np.nan if found is None else found.high

    codes = hits * most + out_of
    return _looked_up(codes, low), _looked_up(codes, high)


def _where(there: NDArray[np.bool_], low: Floats, high: Floats) -> Ends:
    import numpy as np

    return np.where(there, low, np.nan), np.where(there, high, np.nan)


def _looked_up(numbers: Ints, of: Callable[[int], float]) -> Floats:
    """A figure of each number, worked out once for equal ones."""
    import numpy as np

    different, which = told_apart(numbers)
    return np.array([of(number) for number in different.tolist()], np.float64)[which]
