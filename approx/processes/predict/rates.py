"""Rates of a child's changes with the uncertainty of small counts: Beta distributions, shrunk toward the whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import exp, lgamma, log, sqrt

from approx.processes.predict.sites import OTHER, Place, settings

Count = tuple[int, int]
"""Applied, and asked: how often the place was still there when the process had its turn."""
VOWELS = "vowel change"
"""Asked last of every vowel, by the vowel itself: what it was said as in the sample, then what rules offer."""


@dataclass(frozen=True, slots=True)
class Rate:
    """One rule over the sample, or in one sound and position ("" for all).

    `applied` of `chances`: places in adult words where the rule's own description matches. `rate`: applied / chances
    with the prior; `spread`: standard deviation of that estimate.
    """

    rule: str
    process: str
    sound: str
    position: str
    applied: int
    chances: int
    rate: float
    spread: float


@dataclass(frozen=True, slots=True)
class Rates:
    """What a sample tells of a child's changes.

    `rules`: every rule with a chance, `cells`: the same by sound and position. `counts`: kind of place -> applied
    and asked; `outcomes`: (process, kind of place, rule) -> uses; `others`: (sound, said as) -> times.
    `pairs`: explained pairs, `unread` of them with a structure that the rules do not reach (sounds not counted).
    `costs`: process -> cost of its cheapest rule.
    `attempted`: (sound, position) -> how often an adult form asked for it. `signature`: rules and settings.
    """

    rules: tuple[Rate, ...]
    cells: tuple[Rate, ...]
    counts: Mapping[Place, Count]
    outcomes: Mapping[tuple[str, str, str], int]
    others: Mapping[tuple[str, str], int]
    attempted: Mapping[tuple[str, str], int]
    pairs: int
    unread: int
    signature: str
    costs: Mapping[str, float]
    model: Model = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "model", Model(self.counts, self.outcomes, self.others, self.costs))

    def rate(self, rule: str, sound: str = "", position: str = "") -> Rate | None:
        """One rule, over all or in one sound and position; None without a chance."""
        rows = self.cells if sound or position else self.rules
        return next((row for row in rows if (row.rule, row.sound, row.position) == (rule, sound, position)), None)


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


class Model:
    """Chance of a process at a place, and of each rule if it happens.

    The rate of a process is learned from all its places together; that of a kind of place (a manner) holds to it, that of
    a unit (a sound, a cluster) to its kind, that of a unit in one context to its unit, moved as the context moves others.
    Each step leaves out the counts of the finer one, so that nothing is counted twice.
    """

    def __init__(
        self, counts: Mapping[Place, Count], outcomes: Mapping[tuple[str, str, str], int],
        others: Mapping[tuple[str, str], int], costs: Mapping[str, float],
    ) -> None:  # fmt: skip
        self.costs = costs
        self.outcomes = dict(outcomes)
        self._others: dict[str, dict[str, int]] = {}
        for (sound, said), times in sorted(others.items()):
            self._others.setdefault(sound, {})[said] = times
        self.rule_uses: dict[str, int] = {}
        for (_, _, rule), times in outcomes.items():
            self.rule_uses[rule] = self.rule_uses.get(rule, 0) + times
        found: dict[str, dict[Place, Count]] = {}
        for place, count in sorted(counts.items()):
            found.setdefault(place.process, {})[place] = count
        self._pools = {process: self._pool(process, rows) for process, rows in found.items()}
        self._known: dict[Place, tuple[float, float]] = {}

    def others_of(self, sound: str) -> dict[str, int]:
        """What a sound was said as where no rule says so, with how often."""
        return self._others.get(sound, {})

    def prior(self, process: str) -> tuple[float, float]:
        """The Beta distribution of a process before anything is counted; changes no rule names have one of their own."""
        if process == OTHER:
            table = settings()["other_change"]
            return table["weight"] * table["mean"], table["weight"] * (1 - table["mean"])
        return prior(self.costs.get(process, 1.0))

    def _pool(self, process: str, rows: Mapping[Place, Count]) -> Pool:
        table = settings()["pooling"]
        return Pool(rows, self.prior(process), float(table["chance" if process == OTHER else "default"]))

    def beta(self, place: Place) -> tuple[float, float]:
        """The Beta distribution of the rate at one kind of place. It is no surer than the counts it rests on."""
        found = self._known.get(place)
        if found is None:
            pool = self._pools.get(place.process)
            if pool is None:
                pool = self._pools[place.process] = self._pool(place.process, {})
            found = self._known[place] = pool.beta(place)
        return found

    def chance(self, place: Place) -> float:
        """Probability that the process happens at a place."""
        a, b = self.beta(place)
        return a / (a + b)

    def shares(self, process: str, group: str, options: Iterable[tuple[str, float]]) -> list[float]:
        """Probability of each rule, given that the process happens: from uses here, uses anywhere, and cost."""
        table = settings()["shares"]
        rows = list(options)
        cheapest = min(cost for _, cost in rows)
        likely = [exp((cheapest - cost) / table["cost_scale"]) for _, cost in rows]
        anywhere = [
            self.rule_uses.get(rule, 0) + table["pretended"] * w / sum(likely) for (rule, _), w in zip(rows, likely)
        ]
        here = [
            self.outcomes.get((process, group, rule), 0) + a / sum(anywhere) for (rule, _), a in zip(rows, anywhere)
        ]
        return [value / sum(here) for value in here]


Mean = tuple[float, float]
"""A mean rate, and the weight of what it rests on, in chances."""


class Pool:
    """The counts of one process, place by place."""

    def __init__(self, rows: Mapping[Place, Count], start: tuple[float, float], default: float) -> None:
        """`start`: the Beta distribution before anything is counted; `default`: the weight of each level until a use is seen."""
        self.rows, self.start = rows, start
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
        self.by_kind = weight([(self._base(kind)[0], count) for kind, count in self.kinds.items()])
        self.by_unit = weight([(self._kind(*unit)[0], count) for unit, count in self.units.items()])
        whole = self._whole((0, 0))[0]
        self.by_context = weight([(whole, count) for count in self.contexts.values()])
        self.by_place = weight([(self._expected(place, count)[0], count) for place, count in self.rows.items()])

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


def weight(rows: list[tuple[float, Count]]) -> float:
    """How firmly counts hold to their expected rates: the middle (geometric mean) of the weights, each by its likelihood."""
    table = settings()["pooling"]
    weights: list[float] = table["weights"]
    likely = [sum(_log_beta_binomial(k, n, mean, each) for mean, (k, n) in rows) for each in weights]
    most = max(likely)
    shares = [exp(each - most) for each in likely]
    return exp(sum(share * log(each) for share, each in zip(shares, weights)) / sum(shares))


def _log_beta_binomial(k: int, n: int, mean: float, weight: float) -> float:
    """Log probability of k of n under a Beta of this mean and weight, up to what does not depend on them."""
    a, b = max(mean * weight, 1e-6), max((1 - mean) * weight, 1e-6)
    return lgamma(k + a) + lgamma(n - k + b) - lgamma(n + a + b) + lgamma(a + b) - lgamma(a) - lgamma(b)
