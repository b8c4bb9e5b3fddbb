"""How sure a figure is: intervals by resampling words, exact ones where the items are independent, and plain errors.

Sounds of one word are not independent, so words are drawn, not sounds. Resampling: as many words as the sample has, drawn
from it with replacement, `resamples` times, from `seed`; the interval holds the middle `confidence` percent. It depends on
what the words were, not on their order. Sums over more words than the option `resampled_words` are drawn from the normal
distribution that resampling tends to, and `method` says so. Source: Efron & Tibshirani 1993, An introduction to the bootstrap (from memory).

Resamples of a sample in arrays: how often each word is drawn, and the sums of every number.

Which words are drawn depends on the seed and the number of words alone, so that it is kept for samples of one size.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from approx.scoring.judging.count_matrix import in_arrays, words_of
from approx.scoring.judging.counts import COUNT_FIELDS, pack, unpack
from approx.scoring.judging.options import Options

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Weights = NDArray[np.uint16]

_AT_ONCE = 2_000_000
"""Draws that are held at once."""
_FEW = 3
"""Numbers that are sooner added up draw by draw than by how often each word was drawn."""


def drawn(rows: Mapping[int, int], resamples: int, seed: int, small: int, large: int) -> Floats:
    """Sums over each resample: (resamples, numbers), whole numbers held as floats, which are exact up to 2**53.

    `rows`: packed rows -> how many words gave each. Up to `small` words are drawn as the standard library
    draws them, up to `large` by numpy; beyond that the sums come from the limit.
    """
    import numpy as np

    whole, times = in_arrays(rows)
    numbers = whole.astype(np.float64)
    words = int(times.sum())
    if words > large:
        return _from_limit(numbers, times, resamples, seed)
    of_words = np.repeat(numbers, times, axis=0)
    used = np.flatnonzero(numbers.any(axis=0))
    if words > small and len(used) <= _FEW:
        return _added_up(of_words, used, resamples, seed)
    if resamples * words <= _AT_ONCE:
        sums: Floats = _weights(words, resamples, seed, words <= small).astype(np.float64) @ of_words
        return sums
    parts = _drawn_weights(words, resamples, seed, words <= small)
    return np.concatenate([part.astype(np.float64) @ of_words for part in parts])


def _added_up(of_words: Floats, used: Any, resamples: int, seed: int) -> Floats:
    """Sums of the numbers that are used, from the words as they are drawn; the other sums are 0.

    Two numbers go into one while their sums are whole below 2**53, so that words are looked up once.
    """
    import numpy as np

    words = len(of_words)
    draw, size = _source(words, seed, False), max(1, _AT_ONCE // (4 * words))
    sums = np.zeros((resamples, of_words.shape[1]))
    if not len(used):
        return sums
    first, *rest = used.tolist()
    step = 2.0 ** int(words * of_words[:, first].max()).bit_length()
    together = len(rest) == 1 and step * words * of_words[:, rest[0]].max() < 2.0**53
    columns = [of_words[:, first] + step * of_words[:, rest[0]]] if together else list(of_words[:, used].T)
    for start in range(0, resamples, size):
        part = sums[start : start + size]
        chosen = draw(len(part))
        found = [column.take(chosen).sum(axis=1) for column in columns]
        part[:, used] = np.stack(np.divmod(found[0], step)[::-1] if together else found, axis=1)
    return sums


def added(sums: Floats, names: Sequence[str]) -> Floats:
    """Some of the numbers added up, one sum a resample."""
    total = sums[:, COUNT_FIELDS.index(names[0])]
    for name in names[1:]:
        total = total + sums[:, COUNT_FIELDS.index(name)]
    return total


@lru_cache(maxsize=24)
def _weights(words: int, resamples: int, seed: int, small: bool) -> Weights:
    import numpy as np

    return np.concatenate(list(_drawn_weights(words, resamples, seed, small)))


def _drawn_weights(words: int, resamples: int, seed: int, small: bool) -> Iterator[Weights]:
    """How often each word is drawn in each resample: (some resamples, words), until all are drawn."""
    import numpy as np

    left, size = resamples, max(1, _AT_ONCE // (4 * words))
    draw = _source(words, seed, small)
    while left:
        rows = min(left, size)
        cells = draw(rows) + (np.arange(rows) * words)[:, None]
        yield np.bincount(cells.ravel(), minlength=rows * words).astype(np.uint16).reshape(rows, words)
        left -= rows


def _source(words: int, seed: int, small: bool) -> Callable[[int], Any]:
    """Gives so many rows of words drawn. `small`: those of `random.Random(seed).choices`, by the same steps."""
    import numpy as np

    if not small:
        draws = np.random.default_rng(seed)
        return lambda rows: draws.integers(0, words, (rows, words))
    state = random.Random(seed).getstate()[1]
    steps = np.random.RandomState()
    steps.set_state(("MT19937", np.array(state[:-1], np.uint32), state[-1], 0, 0.0))
    return lambda rows: (steps.random_sample((rows, words)) * words).astype(np.int64)


def _from_limit(numbers: Floats, times: Any, resamples: int, seed: int) -> Floats:
    """Sums as resampling has them in the limit: normal, around n times the mean row, n times the rows' covariance apart."""
    import numpy as np

    words = times.sum()
    middle = times @ numbers / words
    apart = (numbers - middle) * np.sqrt(times)[:, None]
    values, directions = np.linalg.eigh(apart.T @ apart)
    normal = _normal(resamples, len(values), seed)
    sums = words * middle + (normal * np.sqrt(np.clip(values, 0, None))) @ directions.T
    drawn: Floats = np.clip(sums, 0, None).round()
    return drawn


@lru_cache(maxsize=4)
def _normal(resamples: int, columns: int, seed: int) -> Floats:
    import numpy as np

    normal: Floats = np.random.default_rng(seed).standard_normal((resamples, columns))
    return normal


SMALL = 100
"""Up to SMALL words nothing but the standard library is needed. All is seeded."""
LIMIT = ", normal limit"
"""Added to how an interval was found where the words were too many to be drawn one by one."""


@dataclass(frozen=True, slots=True)
class Interval:
    """Lower and upper end, and how they were found."""

    low: float
    high: float
    method: str


class Resampled:
    """Sums of every number over each resample of one sample. Made once a sample, used for all its measures.

    `_sums` holds them as one packed number a resample, or `_array` as an array of resamples × `COUNT_FIELDS`: for more than
    SMALL words, and for fewer where arrays are loaded anyway. Both ways draw the same words and give the same sums.
    """

    def __init__(self, rows: Mapping[int, int], options: Options) -> None:
        self.words = words_of(rows)
        self.options = options
        self._sums: list[int] = []
        self._array: Any = None
        if self.words < 2 or options.resamples < 1:
            return
        if self.words > min(SMALL, options.resampled_words) or "numpy" in sys.modules:
            self._array = drawn(rows, options.resamples, options.seed, SMALL, options.resampled_words)
        else:
            self._sums = _drawn([row for row, times in sorted(rows.items()) for _ in range(times)], options)

    @classmethod
    def of_parts(cls, parts: Mapping[tuple[int, int], int], options: Options) -> Resampled:
        """Resamples of items that give two numbers each, held as "points" and "words"; parts -> how many items."""
        return cls(rows_of_parts(parts), options)

    def column(self, name: str) -> list[int]:
        """The sums of one number, one a resample; empty where nothing was resampled."""
        if self._array is not None:
            column: list[int] = self._added((name,)).astype(int).tolist()
            return column
        return [unpack(row, name) for row in self._sums]

    def interval_of(
        self, value: Callable[[Callable[[str], int]], float | None], in_arrays: Callable[[Callable[[str], Any]], Any]
    ) -> Interval | None:
        """Interval of any figure worked out from the sums of one resample, asked for by name.

        `in_arrays` does the same for all resamples at once, and leaves out those where the figure is undefined.
        """
        if self._array is not None:
            return self._middle(in_arrays(lambda name: self._added((name,))), "words resampled")
        columns = {name: self.column(name) for name in COUNT_FIELDS} if self._sums else {}

        def of_resample(at: int) -> float | None:
            return value(lambda name: columns[name][at])

        found = map(of_resample, range(len(self._sums)))
        return self._middle([one for one in found if one is not None], "words resampled")

    def interval(
        self, hits: tuple[str, ...], out_of: tuple[str, ...], scale: float, method: str = "words resampled"
    ) -> Interval | None:
        """Interval of scale × (sum of hits / sum of out_of). None where most resamples leave it undefined."""
        tops, bottoms = self._added(hits), self._added(out_of)
        if self._array is not None:
            some = bottoms != 0
            return self._middle(scale * tops[some] / bottoms[some], method)
        return self._middle([scale * top / bottom for top, bottom in zip(tops, bottoms) if bottom], method)

    def _middle(self, values: Any, method: str) -> Interval | None:
        """`values`: a list or an array, which is put in order."""
        values.sort()
        if not len(values) or 2 * len(values) < self.options.resamples:
            return None
        if self.words > self.options.resampled_words:
            method += LIMIT
        cut = int((100 - self.options.confidence) / 200 * len(values))
        return Interval(float(values[cut]), float(values[len(values) - 1 - cut]), method)

    def _added(self, names: tuple[str, ...]) -> Any:
        """Sums of some numbers together, one a resample: a list, or an array of whole floats."""
        if self._array is not None:
            return added(self._array, names)
        columns = [self.column(name) for name in names]
        return columns[0] if len(columns) == 1 else [sum(row) for row in zip(*columns)]


def rows_of_parts(parts: Mapping[tuple[int, int], int]) -> dict[int, int]:
    """Items of two numbers, and how many items have them, as rows: the first is "points", the second "words"."""
    points, words = pack({"points": 1}), pack({"words": 1})
    return {top * points + bottom * words: items for (top, bottom), items in parts.items()}


def _drawn(words: list[int], options: Options) -> list[int]:
    import random

    draw, count = random.Random(options.seed).choices, len(words)
    return [sum(draw(words, k=count)) for _ in range(options.resamples)]


@lru_cache(maxsize=8192)
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
    low = 0.0 if hits == 0 else _quantile(tail, hits, out_of - hits + 1)
    high = 1.0 if hits == out_of else _quantile(1 - tail, hits + 1, out_of - hits)
    return Interval(100 * low, 100 * high, "exact")


def _quantile(share: float, a: float, b: float) -> float:
    """Where the beta distribution of `a` and `b` has `share` of its weight below: Newton's steps, halved where one leaves
    the stretch that still holds the point."""
    low, high, x = 0.0, 1.0, _near(share, a, b)
    whole = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    for _ in range(200):
        apart = _beta(x, a, b) - share
        low, high = (low, x) if apart > 0 else (x, high)
        slope = math.exp(whole + (a - 1) * math.log(x) + (b - 1) * math.log1p(-x))
        step = x - apart / slope if slope > 0 else low
        before, x = x, step if low < step < high else (low + high) / 2
        if abs(x - before) <= 1e-9 * x:  # the error after a step is about the square of that before it
            break
    return x


def _near(share: float, a: float, b: float) -> float:
    """A first guess: the normal distribution of the same middle and spread (Abramowitz & Stegun 1964, 26.2.23)."""
    t = math.sqrt(-2 * math.log(min(share, 1 - share)))
    far = t - (2.30753 + 0.27061 * t) / (1 + 0.99229 * t + 0.04481 * t * t)
    middle, spread = a / (a + b), math.sqrt(a * b / (a + b + 1)) / (a + b)
    guess = middle + (far if share > 0.5 else -far) * spread
    return guess if 0 < guess < 1 else middle


def _beta(x: float, a: float, b: float) -> float:
    """The regularized incomplete beta function; for whole numbers the probability of `a` or more among a + b - 1."""
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
