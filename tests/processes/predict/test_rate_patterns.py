"""Rates by patterns of use: beside a slow twin that goes through every case, and on samples whose answer is plain."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator
from itertools import product

import pytest

from approx.processes.engine.pooling import Count, Pool, RatePlace, prevalence, settings
from approx.processes.predict.forms import calibrated

Rows = dict[RatePlace, Count]
KEYS: dict[str, Callable[[RatePlace], Hashable]] = {
    "class": lambda p: tuple("obstruent" if k in ("stop", "fricative", "affricate") else k for k in p.kind.split()),
    "sort": lambda p: (p.kind == "nasal", p.unit in ("k", "ɡ")),
    "kind": lambda p: p.kind,
    "unit": lambda p: (p.kind, p.unit),
    "context": lambda p: p.context,
    "place": lambda p: p,
}


def place(kind: str, unit: str, context: str) -> RatePlace:
    return RatePlace("any", kind, unit, context)


def cases(rows: Rows, asked: RatePlace, prevalence: float) -> Iterator[tuple[float, float]]:
    """(Chance of a case and of the counts in it, rate at the place in it), one by one."""
    table = settings()["patterns"]
    slip, rates = table["slip"], table["rates"]
    every = 1 / len(rates)

    def counted(rate: Callable[[RatePlace], float]) -> float:
        return math.prod(rate(at) ** k * (1 - rate(at)) ** (n - k) for at, (k, n) in rows.items())

    k, n = (sum(count[i] for count in rows.values()) for i in (0, 1))
    held = table["slip_weight"]
    yield (1 - prevalence) * counted(lambda _: slip), (held * slip + k) / (held + n)
    for rate in rates:
        yield prevalence * table["everywhere"] * every * counted(lambda _, rate=rate: rate), rate
    for level, key in KEYS.items():
        groups = list(dict.fromkeys(map(key, rows)))
        for inside in product((True, False), repeat=len(groups)):
            is_in = dict(zip(groups, inside))
            share = math.prod(table["inside"] if each else 1 - table["inside"] for each in inside)
            for rate in rates:
                found = {group: rate if each else slip for group, each in is_in.items()}
                chance = prevalence * table["some"][level] * share * every
                yield chance * counted(lambda at, found=found, key=key: found[key(at)]), found[key(asked)]
        for own in product((slip, *rates), repeat=len(groups)):
            found = dict(zip(groups, own))
            share = math.prod(1 - table["own_rate"] if each == slip else table["own_rate"] * every for each in own)
            chance = prevalence * table["own"][level] * share
            yield chance * counted(lambda at, found=found, key=key: found[key(at)]), found[key(asked)]


K, G, T = place("stop", "k", "initial"), place("stop", "ɡ", "initial"), place("stop", "k", "final")
S, N = place("fricative", "s", "final"), place("nasal", "n", "final")


@pytest.mark.parametrize(
    "rows",
    [
        {K: (3, 3), T: (0, 2)},
        {K: (2, 3), G: (1, 1), T: (0, 2)},
        {K: (0, 4), S: (1, 5)},
        {K: (4, 4), S: (3, 4), N: (0, 6)},
    ],
)
@pytest.mark.parametrize("known", [0.02, 0.4])
def test_rates_are_those_of_every_case_gone_through(rows: Rows, known: float) -> None:
    pool = Pool(rows, known)
    for asked in rows:
        found = list(cases(rows, asked, known))
        whole = sum(chance for chance, _ in found)
        assert math.isclose(pool.chance(asked), sum(c * rate for c, rate in found) / whole, rel_tol=1e-9)


def test_a_beta_has_the_mean_of_the_rate() -> None:
    pool = Pool({K: (3, 3), T: (0, 2)}, 0.4)
    a, b = pool.beta(K)
    assert a > 0 and b > 0 and math.isclose(a / (a + b), pool.chance(K))


def test_one_slip_is_no_habit_and_a_position_is() -> None:
    slip = Pool({K: (1, 12), G: (0, 9), S: (0, 9)}, 0.05)
    assert slip.chance(K) < 0.1
    final = place("stop", "p", "final"), place("fricative", "f", "final"), place("stop", "p", "initial")
    only_last = Pool({T: (4, 4), S: (4, 4), K: (0, 5), G: (0, 4)}, 0.3)
    assert min(only_last.chance(at) for at in final[:2]) > 0.7 and only_last.chance(final[2]) < 0.15


def test_obstruents_go_together_where_nasals_do_not() -> None:
    """Stops and fricatives left off eight times of eight, nasals never: an affricate is likely left off, l less surely."""
    pool = Pool({K: (4, 4), place("fricative", "f", "initial"): (4, 4), place("nasal", "m", "initial"): (0, 4)}, 0.2)
    assert pool.chance(place("affricate", "t͡ʃ", "initial")) > 0.65
    assert pool.chance(place("nasal", "n", "initial")) < 0.3 < pool.chance(place("liquid", "l", "initial")) < 0.65


def test_sounds_made_in_one_place_go_together() -> None:
    """t, d, s backed, p, b, f never: z is likely backed, v is not."""
    used = {place(kind, unit, "initial"): (2, 2) for kind, unit in (("stop", "t"), ("stop", "d"), ("fricative", "s"))}
    kept = {place(kind, unit, "initial"): (0, 2) for kind, unit in (("stop", "p"), ("stop", "b"), ("fricative", "f"))}
    pool = Pool(used | kept, 0.05)
    assert pool.chance(place("fricative", "z", "initial")) > 0.7
    assert pool.chance(place("fricative", "v", "initial")) < 0.2


def test_more_of_the_same_is_surer() -> None:
    chances = [Pool({K: (n, n)}, 0.4).chance(K) for n in (0, 1, 2, 4, 8)]
    assert chances == sorted(chances) and chances[0] < 0.4 and chances[-1] > 0.9


def test_prevalence_is_by_name_in_the_language_then_by_cost() -> None:
    assert prevalence("liquid simplification", 0.3, "es-MX") > prevalence("liquid simplification", 0.3, "en-US")
    assert prevalence("a rule of mine", 0.3, "en") > prevalence("a rule of mine", 1.0, "en") > 0
    tables = [table for table in settings()["prevalence"].values() if isinstance(table, dict)]
    assert all(0 < known < 1 for table in tables for known in table.values())


def test_shares_of_the_patterns_add_up_and_rates_rise() -> None:
    table = settings()["patterns"]
    assert math.isclose(table["everywhere"] + sum(table["some"].values()) + sum(table["own"].values()), 1.0)
    assert table["rates"] == sorted(table["rates"]) and table["slip"] < table["rates"][0] and table["rates"][-1] < 1


def test_a_calibrated_probability_is_one_and_rises_with_the_chance() -> None:
    for length, heard in ((2, 0), (5, 50), (12, 400)):
        told = [calibrated(p, length, heard) for p in (0.0, 0.05, 0.3, 0.6, 0.9, 1.0)]
        assert told == sorted(told) and all(0 < p < 1 for p in told)
    assert calibrated(0.5, 10, 50) > calibrated(0.5, 4, 50)
    assert calibrated(0.5, 5, 25) > calibrated(0.5, 5, 100)
