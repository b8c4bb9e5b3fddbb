"""Rates of a child's changes with the uncertainty of small counts: Beta distributions, shrunk toward the whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import exp, lgamma, sqrt

from approx.processes.predict.sites import settings

Count = tuple[int, int]
"""Applied, and asked: how often the place was still there when the process had its turn."""
OTHER = "other change"
"""Changes of one consonant that no rule names."""
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

    `rules`: every rule with a chance, `cells`: the same by sound and position. `counts`: (process, kind of place, finer
    kind) -> applied and asked; `outcomes`: (process, kind of place, rule) -> uses; `others`: (sound, said as) -> times.
    `pairs`: explained pairs, `unread` of them with a structure that the rules do not reach (sounds not counted).
    `costs`: process -> cost of its cheapest rule.
    `attempted`: (sound, position) -> how often an adult form asked for it. `signature`: rules and settings.
    """

    rules: tuple[Rate, ...]
    cells: tuple[Rate, ...]
    counts: Mapping[tuple[str, str, str], Count]
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
    """Chance of a process at a place, and of each rule if it happens."""

    def __init__(
        self, counts: Mapping[tuple[str, str, str], Count], outcomes: Mapping[tuple[str, str, str], int],
        others: Mapping[tuple[str, str], int], costs: Mapping[str, float],
    ) -> None:  # fmt: skip
        self.costs = costs
        self.items = dict(counts)
        self.groups: dict[tuple[str, str], Count] = {}
        self.totals: dict[str, Count] = {}
        for (process, group, _), (k, n) in counts.items():
            k1, n1 = self.groups.get((process, group), (0, 0))
            self.groups[process, group] = k1 + k, n1 + n
            k0, n0 = self.totals.get(process, (0, 0))
            self.totals[process] = k0 + k, n0 + n
        self.outcomes = dict(outcomes)
        self._others: dict[str, dict[str, int]] = {}
        for (sound, said), times in sorted(others.items()):
            self._others.setdefault(sound, {})[said] = times
        self.rule_uses: dict[str, int] = {}
        for (_, _, rule), times in outcomes.items():
            self.rule_uses[rule] = self.rule_uses.get(rule, 0) + times
        self.group_weight = {
            p: pooled([c for (q, _), c in self.groups.items() if q == p], self.base(p)) for p in self.totals
        }
        self.item_weight = {p: self._item_weight(p) for p in self.totals}
        self._known: dict[tuple[str, str, str], tuple[float, float]] = {}

    def others_of(self, sound: str) -> dict[str, int]:
        """What a sound was said as where no rule says so, with how often."""
        return self._others.get(sound, {})

    def base(self, process: str) -> float:
        """The rate of a process over all places."""
        k, n = self.totals.get(process, (0, 0))
        return estimate(k, n, *self.prior(process))[0]

    def prior(self, process: str) -> tuple[float, float]:
        """The Beta distribution of a process before anything is counted; changes no rule names have a cost of their own."""
        return prior(settings()["other_change"]["cost"] if process == OTHER else self.costs.get(process, 1.0))

    def _item_weight(self, process: str) -> float:
        """How firmly finer kinds of place hold to the coarser, from all of them together."""
        weights = settings()["pooling"]["weights"]
        rows = [(self.groups[p, g], c) for (p, g, _), c in self.items.items() if p == process]
        w = self.group_weight[process]
        means = [((k1 - k) + w * self.base(process)) / ((n1 - n) + w) for (k1, n1), (k, n) in rows]
        if not any(k for _, (k, _) in rows):
            return float(settings()["pooling"]["default"])
        return float(
            max(weights, key=lambda s: sum(_log_beta_binomial(k, n, m, s) for m, (_, (k, n)) in zip(means, rows)))
        )

    def beta(self, process: str, group: str, item: str) -> tuple[float, float]:
        """The Beta distribution of the rate at one kind of place. It is no surer than the counts it rests on."""
        key = (process, group, item)
        found = self._known.get(key)
        if found is None:
            default = float(settings()["pooling"]["default"])
            k0, n0 = self.totals.get(process, (0, 0))
            k1, n1 = self.groups.get((process, group), (0, 0))
            k2, n2 = self.items.get(key, (0, 0))
            first = min(self.group_weight.get(process, default), sum(self.prior(process)) + n0)
            mean = (k1 + first * self.base(process)) / (n1 + first)
            second = min(self.item_weight.get(process, default), first + n1)
            if n1 == n2:  # the only finer place of its kind: its counts are not taken twice
                k2, n2, second, mean = k1, n1, first, self.base(process)
            found = self._known[key] = k2 + second * mean, n2 - k2 + second * (1 - mean)
        return found

    def chance(self, process: str, group: str, item: str) -> float:
        """Probability that the process happens at a place."""
        a, b = self.beta(process, group, item)
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


def pooled(rows: list[Count], mean: float) -> float:
    """The pooling weight under which counts around a mean are likeliest."""
    table = settings()["pooling"]
    if len(rows) < 2 or not any(k for k, _ in rows):
        return float(table["default"])
    return float(max(table["weights"], key=lambda s: sum(_log_beta_binomial(k, n, mean, s) for k, n in rows)))


def _log_beta_binomial(k: int, n: int, mean: float, weight: float) -> float:
    """Log probability of k of n under a Beta of this mean and weight, up to what does not depend on them."""
    a, b = max(mean * weight, 1e-6), max((1 - mean) * weight, 1e-6)
    return lgamma(k + a) + lgamma(n - k + b) - lgamma(n + a + b) + lgamma(a + b) - lgamma(a) - lgamma(b)
