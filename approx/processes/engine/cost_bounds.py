"""How dear a change is at its place (`rules/search.toml`), and how cheaply rules could lead from one sound to another.

The second is a bound, whatever stands around the sound: what lies beyond it a search need not try.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import inf

from approx.datafiles import read_toml, rules_path
from approx.processes.engine.apply import nearest_with
from approx.processes.rules.notation import Item
from approx.processes.rules.rule import Rule

SLACK = 1e-9
"""Sums of costs in another order may differ in their last digit."""
ANY_SOUND = "any"
"""Stands for a sound that depends on the context in a way not followed here."""


class CostBounds:
    """The least cost from sound to sound in so many rules, were every context to fit."""

    def __init__(self, rules: Sequence[Rule], tag: str) -> None:
        self.rules, self.tag = rules, tag
        self._edges: dict[str, list[tuple[Rule, tuple[str, ...]]]] = {}
        self._steps: dict[str, dict[str, float]] = {}
        self._least: dict[tuple[str, str, int], float] = {}
        self._between: dict[tuple[str, str, int, float], list[Rule]] = {}

    def least(self, phone: str, wanted: str, steps: int) -> float:
        """Never more than what a derivation of at most so many rules costs; `inf` where there can be none."""
        if phone in (wanted, ANY_SOUND):
            return 0.0
        if not steps:
            return inf
        key = phone, wanted, steps
        found = self._least.get(key)
        if found is None:
            ways = (cost + self.least(sound, wanted, steps - 1) for sound, cost in self.steps(phone).items())
            found = self._least[key] = min(ways, default=inf)
        return found

    def rules_between(self, start: str, wanted: str, steps: int, most: float) -> list[Rule]:
        """The rules that may have part in a derivation of at most so many rules, no dearer than `most`."""
        key = start, wanted, steps, most
        known = self._between.get(key)
        if known is not None:
            return known
        found: dict[str, Rule] = {}
        reached = {start: 0.0}
        for left in range(steps - 1, -1, -1):
            after: dict[str, float] = {}
            for phone, spent in reached.items():
                if phone in (wanted, ANY_SOUND):
                    continue
                room = {sound: most - spent - self.least(sound, wanted, left) + SLACK for sound in self.steps(phone)}
                for rule, sounds in self.edges(phone):
                    for sound in sounds:
                        if rule.cost <= room[sound]:
                            found[rule.id] = rule
                            after[sound] = min(spent + rule.cost, after.get(sound, inf))
            reached = after
        self._between[key] = list(found.values())
        return self._between[key]

    def edges(self, phone: str) -> list[tuple[Rule, tuple[str, ...]]]:
        """Each rule that takes the sound, with every sound it may make of it; `ANY_SOUND` where that cannot be told."""
        found = self._edges.get(phone)
        if found is None:
            fitting = [rule for rule in self.rules if rule.change.focus[0].fits(phone)]
            made = [(rule, tuple(sound for sound in self._outcomes(rule, phone) if sound != phone)) for rule in fitting]
            found = self._edges[phone] = [(rule, sounds) for rule, sounds in made if sounds]
        return found

    def steps(self, phone: str) -> dict[str, float]:
        """Each sound one rule away, with the least cost."""
        found = self._steps.get(phone)
        if found is None:
            found = self._steps[phone] = {}
            for rule, sounds in self.edges(phone):
                for sound in sounds:
                    found[sound] = min(rule.cost, found.get(sound, inf))
        return found

    def _outcomes(self, rule: Rule, phone: str) -> tuple[str, ...]:
        change = rule.change
        item = change.result[0]
        if item.name:
            return _bound(item.name, (*change.focus, *change.left, *change.right))
        if item.kind == "sound":
            return (item.text,)
        if item.kind == "set":
            sounds = change.focus[0].sounds
            return (item.sounds[sounds.index(phone)],) if phone in sounds else ()
        if item.agree:
            return (ANY_SOUND,)
        made = nearest_with(phone, item.bundle, self.tag)
        return (made,) if made is not None else ()


def _bound(name: str, items: tuple[Item, ...]) -> tuple[str, ...]:
    """Sounds that a number may stand for."""
    named = next(item for item in items if item.name == name)
    if named.kind == "set":
        return named.sounds
    return (named.text,) if named.kind == "sound" else (ANY_SOUND,)


@dataclass(frozen=True, slots=True)
class Weights:
    """Multipliers by place, surcharges, the cost of nearest sounds, and the bounds of a search."""

    stressed_vowel: float
    other_vowel: float
    first_consonant: float
    closing_consonant: float
    other_consonant: float
    unforced_deletion: float
    unforced_syllable: float
    sound_in_hand: float
    runs_together: float
    never_together: float
    emerging: float
    nasal_lost: float
    labial_lost: float
    atypical: float
    own_change: float
    own_rarer: float
    not_own: float
    habit: float
    habit_from: float
    habit_from_counted: float
    habit_from_atypical: float
    habit_of_place: str
    consonant_base: float
    consonant_per: float
    vowel_base: float
    vowel_per: float
    offered: int
    expansions: int
    longest_word: int
    spread: float
    closeness_half: float


@cache
def weights() -> Weights:
    """Read once a run."""
    table = read_toml(rules_path("search.toml"))
    return Weights(
        **{k: v for part in ("weights", "extra", "own", "nearest", "bounds") for k, v in table[part].items()}
    )


def closeness(cost: float) -> float:
    """1 for the adult form itself, falling by half every `closeness_half` units of cost."""
    return float(0.5 ** (cost / weights().closeness_half))
