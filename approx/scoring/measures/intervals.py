"""How sure a figure is: an interval from how much the words of the sample differ from one another.

Sounds of one word are not independent, so the unit is the word (the token), and only words with an opportunity count: those
with at least one target of the measure. Three kinds:

| of | interval | called |
|---|---|---|
| whole words (PWC, matches) | Clopper & Pearson 1934, Biometrika 26:404-413 | exact |
| sounds right of sounds aimed at (PCC and its kin) | Wilson 1927, J Am Stat Assoc 22:209-212, on the effective number of sounds: their number over the design effect | approximate |
| points a word, ratios, indexes | t on the linearized ratio, as for cluster samples | approximate |

Effective number: Kish 1965, Survey sampling; linearized ratio: Cochran 1977, Sampling techniques (all from memory). How
often these intervals hold the true value, beside resampling: `tests/bench/bench_coverage.py`, table in `DEVELOPERS.md`.
With fewer words than the option `interval_words` there is none: the figure then says little whatever its interval.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from statistics import NormalDist
from typing import Final, Literal, NamedTuple

from approx.scoring.judging.counts import COUNT_FIELDS, CountRow

TOO_FEW = "too few words for an interval"
NO_DIFFERENCE = "no interval: every word gives the same"
IntervalMethod = Literal[
    "exact", "approximate: score interval on the effective number of sounds", "approximate: t over words"
]
EXACT: Final = "exact"
SCORE: Final = "approximate: score interval on the effective number of sounds"
LINEAR: Final = "approximate: t over words"


class Interval(NamedTuple):
    """Lower and upper end, and how they were found."""

    low: float
    high: float
    method: IntervalMethod


class Moments(NamedTuple):
    """Two numbers of each word, `top` of `bottom`: how many words had an opportunity, both added up, their products added up."""

    words: int
    top: int
    bottom: int
    top_top: int
    top_bottom: int
    bottom_bottom: int

    @property
    def share(self) -> float:
        """All of `top` over all of `bottom`. ZeroDivisionError for nothing."""
        return self.top / self.bottom

    @property
    def variance(self) -> float:
        """Variance of the share: what each word's `top` lies from its share of `bottom`, squared, added up."""
        words, top, bottom, top_top, top_bottom, bottom_bottom = self
        share = top / bottom
        apart = top_top - 2 * share * top_bottom + share * share * bottom_bottom
        # what is left of numbers that cancel is no difference between words
        if words < 2 or apart <= 1e-12 * (top_top + bottom_bottom):
            return 0.0
        return words / (words - 1) * apart / bottom**2


def moments_of(parts: Mapping[tuple[int, int], int]) -> Moments:
    """The moments of items of two numbers, (top, bottom) -> how many items have them.

    >>> moments_of({(1, 2): 3, (0, 1): 2})
    Moments(words=5, top=3, bottom=8, top_top=3, top_bottom=6, bottom_bottom=14)
    """
    items = [(top, bottom, times) for (top, bottom), times in parts.items() if bottom]
    return Moments(
        sum(times for *_, times in items),
        sum(top * times for top, _, times in items),
        sum(bottom * times for _, bottom, times in items),
        sum(top * top * times for top, _, times in items),
        sum(top * bottom * times for top, bottom, times in items),
        sum(bottom * bottom * times for _, bottom, times in items),
    )


def of_sounds(found: Moments, confidence: float = 95.0) -> Interval:
    """Interval of sounds right of sounds aimed at, in percent, for sounds that come in words.

    The effective number of sounds is their number over the design effect, and never more than their number; where all or
    none are right it is the number of words, as if the sounds of a word were one.

    >>> found = of_sounds(Moments(25, 27, 60, 51, 78, 154))
    >>> 27 / 60 > found.low / 100 and 27 / 60 < found.high / 100
    True
    """
    share, z = found.share, normal(confidence)
    alone = share * (1 - share) / found.bottom
    number = found.bottom / max(1.0, found.variance / alone) if alone else float(found.words)
    middle = share + z * z / (2 * number)
    wide = z * math.sqrt(share * (1 - share) / number + z * z / (4 * number * number))
    all_of = 1 + z * z / number
    low = 100 * ((middle - wide) / all_of) if found.top else 0.0
    high = 100 * ((middle + wide) / all_of) if found.top != found.bottom else 100.0
    return Interval(low, high, SCORE)


def of_ratio(value: float, variance: float, words: int, confidence: float = 95.0) -> Interval | None:
    """Interval of any figure with its variance over so many words, never below 0; None where nothing varies.

    >>> found = of_ratio(3.0, 0.04, 25)
    >>> round(found.low, 2), round(found.high, 2)
    (2.59, 3.41)
    """
    if words < 2 or variance <= 0:
        return None
    wide = student(confidence, words - 1) * math.sqrt(variance)
    return Interval(max(0.0, value - wide), value + wide, LINEAR)


@lru_cache(maxsize=16)
def normal(confidence: float) -> float:
    """How many standard errors hold the middle `confidence` percent of the normal distribution.

    >>> round(normal(95.0), 3)
    1.96
    """
    return NormalDist().inv_cdf(0.5 + confidence / 200)


@lru_cache(maxsize=2048)
def student(confidence: float, freedom: int) -> float:
    """How many standard errors hold the middle `confidence` percent of Student's t with so many degrees of freedom.

    >>> round(student(95.0, 24), 3)
    2.064
    """
    if freedom > 10_000:
        return normal(confidence)
    share = _quantile(confidence / 100, 0.5, freedom / 2)
    return math.sqrt(freedom * share / (1 - share))


@lru_cache(maxsize=8192)
def exact(hits: int, out_of: int, confidence: float = 95.0) -> Interval | None:
    """Clopper-Pearson interval in percent of `hits` in `out_of` independent items; None for no items.

    Source: Clopper & Pearson 1934, Biometrika 26:404-413 (from memory).

    >>> found = exact(8, 10)
    >>> round(found.low, 2), round(found.high, 2)
    (44.39, 97.48)
    """
    if not out_of:
        return None
    tail = (100 - confidence) / 200
    low = 0.0 if hits == 0 else _quantile(tail, hits, out_of - hits + 1)
    high = 1.0 if hits == out_of else _quantile(1 - tail, hits + 1, out_of - hits)
    return Interval(100 * low, 100 * high, EXACT)


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


class Products:
    """Of the words of one sample: sums of products of two numbers, and words where a number is not 0. `rows`: the numbers of
    a word -> how many words have them."""

    def __init__(self, rows: Mapping[CountRow, int]) -> None:
        self.words = sum(rows.values())
        self._times = tuple(rows.values())
        self._columns = dict(zip(COUNT_FIELDS, zip(*rows))) if rows else dict.fromkeys(COUNT_FIELDS, ())

    def words_with(self, name: str) -> int:
        """Words where a number is not 0."""
        return sum([often for number, often in zip(self._columns[name], self._times) if number])

    def product(self, one: str, other: str) -> int:
        """Two numbers of each word multiplied, added up."""
        return sum([a * b * often for a, b, often in zip(self._columns[one], self._columns[other], self._times)])

    def moments(self, top: Sequence[str], bottom: Sequence[str], sums: Callable[[str], int]) -> Moments:
        """The moments of a ratio of numbers added up; a word has an opportunity where the first number of `bottom` is not 0,
        or where there are several, always."""
        return Moments(
            self.words_with(bottom[0]) if len(bottom) == 1 else self.words,
            sum([sums(name) for name in top]),
            sum([sums(name) for name in bottom]),
            *[
                sum([self.product(one, other) for one in ones for other in others])
                for ones, others in ((top, top), (top, bottom), (bottom, bottom))
            ],
        )
