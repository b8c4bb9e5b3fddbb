"""Rates of a child's changes with the uncertainty of small counts: Beta distributions, shrunk toward the whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import exp

from approx.processes.engine.pooling import Count, Pool, RatePlace, prevalence, settings
from approx.processes.predict.sites import OTHER

VOWEL_CHANGE = "vowel change"
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

    `rules`: every rule with an opportunity, `cells`: the same by sound and position. `counts`: kind of place -> applied
    and asked; `outcomes`: (process, kind of place, rule) -> uses; `others`: (sound, said as) -> times.
    `pairs`: explained pairs, `unread` of them with a structure that the rules do not reach (sounds not counted).
    `prevalences`: process -> how likely it is in use before anything is heard.
    `attempted`: (sound, position) -> how often an adult form asked for it. `signature`: rules and settings.
    """

    rules: tuple[Rate, ...]
    cells: tuple[Rate, ...]
    counts: Mapping[RatePlace, Count]
    outcomes: Mapping[tuple[str, str, str], int]
    others: Mapping[tuple[str, str], int]
    attempted: Mapping[tuple[str, str], int]
    pairs: int
    unread: int
    signature: str
    prevalences: Mapping[str, float]
    model: Model = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "model", Model(self.counts, self.outcomes, self.others, self.prevalences))

    def rate(self, rule: str, sound: str = "", position: str = "") -> Rate | None:
        """One rule, over all or in one sound and position; None without an opportunity."""
        rows = self.cells if sound or position else self.rules
        return next((row for row in rows if (row.rule, row.sound, row.position) == (rule, sound, position)), None)


class Model:
    """Chance of a process at a place, and of each rule if it happens.

    The rate of a process is learned from all its places together, by the patterns in which children use one (`Pool`).
    """

    def __init__(
        self, counts: Mapping[RatePlace, Count], outcomes: Mapping[tuple[str, str, str], int],
        others: Mapping[tuple[str, str], int], prevalences: Mapping[str, float],
    ) -> None:  # fmt: skip
        self.prevalences = prevalences
        self.outcomes = dict(outcomes)
        self._others: dict[str, dict[str, int]] = {}
        for (sound, said), times in sorted(others.items()):
            self._others.setdefault(sound, {})[said] = times
        self.rule_uses: dict[str, int] = {}
        for (_, _, rule), times in outcomes.items():
            self.rule_uses[rule] = self.rule_uses.get(rule, 0) + times
        found: dict[str, dict[RatePlace, Count]] = {}
        for place, count in sorted(counts.items()):
            found.setdefault(place.process, {})[place] = count
        self._pools = {process: self._pool(process, rows) for process, rows in found.items()}
        self._known: dict[RatePlace, float] = {}

    def others_of(self, sound: str) -> dict[str, int]:
        """What a sound was said as where no rule says so, with how often."""
        return self._others.get(sound, {})

    def _pool(self, process: str, rows: Mapping[RatePlace, Count]) -> Pool:
        """The counts of one process; changes that no rule names have a prevalence and slips of their own."""
        if process == OTHER:
            table = settings()["other_change"]
            return Pool(rows, table["prevalence"], table["slip"])
        return Pool(rows, self.prevalences.get(process) or prevalence(process, 1.0, ""))

    def _pool_of(self, place: RatePlace) -> Pool:
        pool = self._pools.get(place.process)
        if pool is None:
            pool = self._pools[place.process] = self._pool(place.process, {})
        return pool

    def beta(self, place: RatePlace) -> tuple[float, float]:
        """The Beta distribution of the rate at one kind of place."""
        return self._pool_of(place).beta(place)

    def chance(self, place: RatePlace) -> float:
        """Probability that the process happens at a place."""
        found = self._known.get(place)
        if found is None:
            found = self._known[place] = self._pool_of(place).chance(place)
        return found

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
