"""Rates of small counts: of a process, place by place, by the patterns in which children use one.

What a sample is foretold with and what a child's own changes are carried over with. Numbers: `rules/predict.toml`.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import cache, lru_cache
from math import exp, log, sqrt
from typing import Any, NamedTuple

from approx.datafiles import read_toml, rules_path
from approx.ipa.features import features, has, in_class, is_nucleus, parse_bundle

Count = tuple[int, int]
"""Applied, and asked: how often the place was still there when the process had its turn."""


@cache
def settings() -> dict[str, Any]:
    """`rules/predict.toml`."""
    return read_toml(rules_path("predict.toml"))


_MANNERS = ("stop", "fricative", "affricate", "nasal", "liquid", "glide")


def manner_class(phone: str) -> str:
    """The kind of a sound by its manner; "vowel" for a nucleus."""
    return next((name for name in _MANNERS if in_class(phone, name)), "vowel" if is_nucleus(phone) else "other")


class RatePlace(NamedTuple):
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


def prevalence(process: str, cost: float, tag: str) -> float:
    """How likely a process is in use in a child of this language, before anything is heard.

    By its name where `rules/predict.toml` has one; else by the cost of its cheapest rule: dear processes are rarer.
    """
    table = settings()["prevalence"]
    known = table.get(tag.lower().split("-")[0], {}).get(process, table["any"].get(process))
    if known is not None:
        return float(known)
    return float(table["unlisted"] * exp(-max(0.0, cost - table["ordinary_cost"]) / table["cost_scale"]))


def prior(prevalence: float) -> tuple[float, float]:
    """The Beta distribution (a, b) of a rate by itself, of a process so often in use."""
    weight, rates = settings()["prevalence"]["weight"], settings()["patterns"]["rates"]
    mean = prevalence * sum(rates) / len(rates)
    return weight * mean, weight * (1 - mean)


def estimate(applied: int, chances: int, a: float, b: float) -> tuple[float, float]:
    """Mean and standard deviation of Beta(a + applied, b + chances - applied)."""
    total = a + b + chances
    mean = (a + applied) / total
    return mean, sqrt(mean * (1 - mean) / (total + 1))


RateMoments = tuple[float, float]
"""Mean of a rate, and mean of its square."""


@lru_cache(maxsize=4096)
def _broad(kind: str) -> str:
    """The kind with stops, fricatives and affricates as one class, the obstruents."""
    return " ".join("obstruent" if name in _OBSTRUENTS else name for name in kind.split())


@lru_cache(maxsize=4096)
def _sort(kind: str, unit: str) -> tuple[str, ...]:
    """The broad kind with where in the mouth each consonant is made: s and z, t and d are of one sort, p and t are not."""
    return _broad(kind), *(_made(phone) for phone in unit.split())


def _made(phone: str) -> str:
    if features(phone) is None or is_nucleus(phone):
        return phone
    if in_class(phone, "labial"):
        return "lips"
    return "tongue tip" if has(phone, parse_bundle("[+cor]")) else "back"


_OBSTRUENTS = ("stop", "fricative", "affricate")
LEVELS: Mapping[str, Callable[[RatePlace], Hashable]] = {
    "class": lambda place: _broad(place.kind),
    "sort": lambda place: _sort(place.kind, place.unit),
    "kind": lambda place: place.kind,
    "unit": lambda place: (place.kind, place.unit),
    "context": lambda place: place.context,
    "place": lambda place: place,
}
"""What may be told apart: classes, sorts and kinds of sounds, single sounds, contexts, single sounds in one context."""


class _Seen(NamedTuple):
    """What k uses in n opportunities say of one group of places.

    `at`: log-likelihood at each rate; `some`: of being in at that rate, or out of it; `inside`: chance that it is in, by
    rate. `own`: log-likelihood of a rate of its own, or out of it; `moments`: of the rate then.
    """

    at: tuple[float, ...]
    some: tuple[float, ...]
    inside: tuple[float, ...]
    own: float
    moments: RateMoments


@lru_cache(maxsize=65536)
def _seen(k: int, n: int, slip: float) -> _Seen:
    table = settings()["patterns"]
    in_some, in_own = log(table["inside"]), log(table["own_rate"])
    out = k * log(slip) + (n - k) * log(1 - slip)
    out_some, out_own = out + log(1 - table["inside"]), out + log(1 - table["own_rate"])
    rates = table["rates"]
    at = tuple(k * log(rate) + (n - k) * log(1 - rate) for rate in rates)
    some = tuple(_log_sum((in_some + each, out_some)) for each in at)
    inside = tuple(exp(in_some + each - both) for each, both in zip(at, some))
    here = _log_sum(at)
    own = _log_sum((in_own + here - log(len(rates)), out_own))
    share = exp(in_own + here - log(len(rates)) - own)
    mean, square = (
        share * sum(exp(each - here) * rate**power for each, rate in zip(at, rates)) + (1 - share) * slip**power
        for power in (1, 2)
    )
    return _Seen(at, some, inside, own, (mean, square))


_SMALL = 1e-6
"""The weight below which a pattern adds nothing."""


class Pool:
    """The counts of one process, place by place, and what they say of its rate anywhere.

    Several patterns are weighed by how likely each makes the counts: the child does not do it, but for slips; does it
    everywhere at one rate; at one rate in some kinds of sounds (single sounds, contexts, places) and not in others; at
    another rate in each. A rate is the mean over all of them.
    """

    def __init__(self, rows: Mapping[RatePlace, Count], prevalence: float, slip: float = 0.0) -> None:
        """`prevalence`: how likely the process is in use before anything is counted; `slip`: its rate where it is not, by
        default that of `rules/predict.toml`."""
        table = settings()["patterns"]
        self.slip = slip or float(table["slip"])
        self.total: Count = (0, 0)
        self._groups: dict[str, dict[Hashable, Count]] = {level: {} for level in LEVELS}
        for place, count in rows.items():
            self.total = _sum(self.total, count)
            for level, key_of in LEVELS.items():
                groups, key = self._groups[level], key_of(place)
                groups[key] = _sum(groups.get(key, (0, 0)), count)
        k, n = self.total
        held = float(table["slip_weight"])
        self._absent = (self.slip * held + k) / (held + n)
        likely = {"absent": log(1 - prevalence) + k * log(self.slip) + (n - k) * log(1 - self.slip)}
        logs = {"everywhere": _seen(k, n, self.slip).at}
        self._unheard: dict[str, tuple[tuple[float, ...], RateMoments]] = {}
        for level, groups in self._groups.items():
            found = [_seen(*count, self.slip) for count in groups.values()]
            logs[level] = tuple(map(sum, zip(*(each.some for each in found)))) or (0.0,) * len(table["rates"])
            self._unheard[level] = _unheard(found, self.slip)
            likely["own " + level] = log(prevalence * table["own"][level]) + sum(each.own for each in found)
        self._by_rate: dict[str, tuple[float, ...]] = {}
        for name, each in logs.items():
            whole = _log_sum(each)
            weight = table["everywhere"] if name == "everywhere" else table["some"][name]
            likely[name] = log(prevalence * weight) + whole - log(len(each))
            self._by_rate[name] = tuple(exp(one - whole) for one in each)
        every = _log_sum(tuple(likely.values()))
        self._weights = {name: exp(each - every) for name, each in likely.items()}
        self._parts: dict[tuple[str, Hashable], RateMoments] = {}

    def moments(self, place: RatePlace) -> RateMoments:
        """Mean and mean square of the rate at a place."""
        mean, square = self._moments()
        for level, key_of in LEVELS.items():
            key = key_of(place)
            part = self._parts.get((level, key))
            if part is None:
                part = self._parts[level, key] = self._part(level, self._groups[level].get(key))
            mean, square = mean + part[0], square + part[1]
        return mean, square

    def _moments(self) -> RateMoments:
        """What the patterns that tell no places apart add to the moments."""
        found = self._parts.get(("everywhere", ""))
        if found is None:
            rates: Sequence[float] = settings()["patterns"]["rates"]
            absent, everywhere = self._weights["absent"], self._weights["everywhere"]
            mean, square = (
                absent * self._absent**power
                + everywhere * sum(share * rate**power for share, rate in zip(self._by_rate["everywhere"], rates))
                for power in (1, 2)
            )
            found = self._parts["everywhere", ""] = mean, square
        return found

    def _part(self, level: str, count: Count | None) -> RateMoments:
        """What the patterns of a level add to the moments, in a group with this count; None: not heard."""
        some, own = self._weights[level], self._weights["own " + level]
        if some + own < _SMALL:
            return 0.0, 0.0
        seen = _seen(*count, self.slip) if count else None
        inside, moments = (seen.inside, seen.moments) if seen else self._unheard[level]
        mean = square = 0.0
        for share, within, rate in zip(self._by_rate[level], inside, settings()["patterns"]["rates"]):
            mean += share * (within * rate + (1 - within) * self.slip)
            square += share * (within * rate**2 + (1 - within) * self.slip**2)
        return own * moments[0] + some * mean, own * moments[1] + some * square

    def chance(self, place: RatePlace) -> float:
        """Mean rate at a place."""
        return self.moments(place)[0]

    def beta(self, place: RatePlace) -> tuple[float, float]:
        """The Beta distribution with the mean and the spread of the rate at a place."""
        mean, square = self.moments(place)
        held = mean * (1 - mean) / max(square - mean**2, 1e-9) - 1
        return held * mean, held * (1 - mean)


def _unheard(found: Sequence[_Seen], slip: float) -> tuple[tuple[float, ...], RateMoments]:
    """Of a group not heard: the chance that it is in, by rate, and the moments of a rate of its own.

    It is as those heard are on average, with `pretended` more of which nothing is known (Beta-Bernoulli and Dirichlet process).
    """
    pretended = float(settings()["patterns"]["pretended"])
    nothing, held = _seen(0, 0, slip), pretended + len(found)
    inside = tuple(
        (pretended * start + sum(each.inside[at] for each in found)) / held for at, start in enumerate(nothing.inside)
    )
    mean, square = (
        (pretended * nothing.moments[power] + sum(each.moments[power] for each in found)) / held for power in (0, 1)
    )
    return inside, (mean, square)


def _log_sum(logs: Sequence[float]) -> float:
    """Log of a sum of numbers given by their logs."""
    most = max(logs)
    return most + log(sum(exp(each - most) for each in logs))


def _sum(one: Count, other: Count) -> Count:
    return one[0] + other[0], one[1] + other[1]
