"""Rates of small counts: Beta distributions of a process, place by place, each held to those of the places above it.

What a sample is foretold with and what a child's own changes are carried over with. Numbers: `rules/predict.toml`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from math import exp, lgamma, log, sqrt
from typing import Any, NamedTuple

from approx.datafiles import read_toml, rules_path
from approx.ipa.features import in_class, is_nucleus

Count = tuple[int, int]
"""Applied, and asked: how often the place was still there when the process had its turn."""


@cache
def settings() -> dict[str, Any]:
    """`rules/predict.toml`."""
    return read_toml(rules_path("predict.toml"))


_MANNERS = ("stop", "fricative", "affricate", "nasal", "liquid", "glide")


def manner(phone: str) -> str:
    """The kind of a sound by its manner; "vowel" for a nucleus."""
    return next((name for name in _MANNERS if in_class(phone, name)), "vowel" if is_nucleus(phone) else "other")


class Place(NamedTuple):
    """A kind of place where a process is asked, for its rate.

    `process`: what shares one rate. `kind` and `unit`: what stands there, by manner and sound by sound (of a weak
    syllable, where it is). `context`: its position, and what stands beside it; "" where there is none to tell.
    """

    process: str
    kind: str
    unit: str
    context: str

    def __str__(self) -> str:
        return f"{self.unit} {self.context}".strip()


def prior(cost: float) -> tuple[float, float]:
    """The Beta prior (a, b) of a process whose cheapest rule has this cost: dear processes are rarer."""
    table = settings()["prior"]
    mean = table["mean"] * exp(-max(0.0, cost - table["ordinary_cost"]) / table["cost_scale"])
    return table["weight"] * mean, table["weight"] * (1 - mean)


def estimate(applied: int, chances: int, a: float, b: float) -> tuple[float, float]:
    """Mean and standard deviation of Beta(a + applied, b + chances - applied)."""
    total = a + b + chances
    mean = (a + applied) / total
    return mean, sqrt(mean * (1 - mean) / (total + 1))


Mean = tuple[float, float]
"""A mean rate, and the weight of what it rests on, in chances."""


class Pool:
    """The counts of one process, place by place."""

    def __init__(
        self, rows: Mapping[Place, Count], start: tuple[float, float], default: float, weights: Sequence[float] = ()
    ) -> None:
        """`start`: the Beta distribution before anything is counted; `default`: the weight of each level until a use is seen;
        `weights`: those that are tried, by default the ones of `rules/predict.toml`."""
        self.rows, self.start = rows, start
        self.weights = weights or settings()["pooling"]["weights"]
        self.total: Count = (0, 0)
        self.kinds: dict[str, Count] = {}
        self.units: dict[tuple[str, str], Count] = {}
        self.contexts: dict[str, Count] = {}
        for place, count in rows.items():
            self.total = _sum(self.total, count)
            self.kinds[place.kind] = _sum(self.kinds.get(place.kind, (0, 0)), count)
            unit = place.kind, place.unit
            self.units[unit] = _sum(self.units.get(unit, (0, 0)), count)
            self.contexts[place.context] = _sum(self.contexts.get(place.context, (0, 0)), count)
        self.by_kind = self.by_unit = self.by_context = self.by_place = default
        if self.total[0]:
            self._weigh()

    def _weigh(self) -> None:
        """How firmly each level holds to the one above it: from how far the counts of each stray."""
        self.by_kind = weight([(self._base(kind)[0], count) for kind, count in self.kinds.items()], self.weights)
        self.by_unit = weight([(self._kind(*unit)[0], count) for unit, count in self.units.items()], self.weights)
        whole = self._whole((0, 0))[0]
        self.by_context = weight([(whole, count) for count in self.contexts.values()], self.weights)
        self.by_place = weight(
            [(self._expected(place, count)[0], count) for place, count in self.rows.items()], self.weights
        )

    def beta(self, place: Place) -> tuple[float, float]:
        """The Beta distribution of the rate at a place."""
        k, n = self.rows.get(place, (0, 0))
        mean, sure = self._expected(place, (k, n))
        held = min(self.by_place, sure)
        return k + held * mean, n - k + held * (1 - mean)

    def _expected(self, place: Place, own: Count) -> Mean:
        """What all the other places say of this one."""
        unit, sure = self._unit(place, own)
        whole, behind = self._whole(own)
        k, n = _less(self.contexts.get(place.context, (0, 0)), own)
        context = _held(k, n, whole, min(self.by_context, behind))[0]
        return _logistic(_logit(unit) + _logit(context) - _logit(whole)), sure

    def _whole(self, own: Count) -> Mean:
        k, n = _less(self.total, own)
        a, b = self.start
        return _held(k, n, a / (a + b), a + b)

    def _base(self, kind: str) -> Mean:
        return self._whole(self.kinds.get(kind, (0, 0)))

    def _kind(self, kind: str, unit: str) -> Mean:
        k, n = _less(self.kinds.get(kind, (0, 0)), self.units.get((kind, unit), (0, 0)))
        mean, sure = self._base(kind)
        return _held(k, n, mean, min(self.by_kind, sure))

    def _unit(self, place: Place, own: Count) -> Mean:
        k, n = _less(self.units.get((place.kind, place.unit), (0, 0)), own)
        mean, sure = self._kind(place.kind, place.unit)
        return _held(k, n, mean, min(self.by_unit, sure))


def _held(k: int, n: int, mean: float, held: float) -> Mean:
    """k of n drawn toward a mean that counts for `held` chances."""
    return (k + held * mean) / (n + held), n + held


def _sum(one: Count, other: Count) -> Count:
    return one[0] + other[0], one[1] + other[1]


def _less(one: Count, other: Count) -> Count:
    return one[0] - other[0], one[1] - other[1]


def _logit(p: float) -> float:
    p = min(max(p, 1e-4), 1 - 1e-4)
    return log(p / (1 - p))


def _logistic(x: float) -> float:
    return 1 / (1 + exp(-x))


def weight(rows: list[tuple[float, Count]], weights: Sequence[float]) -> float:
    """How firmly counts hold to their expected rates: the middle (geometric mean) of the weights, each by its likelihood."""
    likely = [sum(_log_beta_binomial(k, n, mean, each) for mean, (k, n) in rows) for each in weights]
    most = max(likely)
    shares = [exp(each - most) for each in likely]
    return exp(sum(share * log(each) for share, each in zip(shares, weights)) / sum(shares))


def _log_beta_binomial(k: int, n: int, mean: float, weight: float) -> float:
    """Log probability of k of n under a Beta of this mean and weight, up to what does not depend on them."""
    a, b = max(mean * weight, 1e-6), max((1 - mean) * weight, 1e-6)
    return lgamma(k + a) + lgamma(n - k + b) - lgamma(n + a + b) + lgamma(a + b) - lgamma(a) - lgamma(b)
