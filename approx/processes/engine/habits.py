"""How likely a process is for a sound, by the changes in a child's file: what the child does to some sounds carried to others.

The changes are counted place by place as those of a sample are and held to one another by the same pooling, so that what is
suggested and what is foretold follow the same rates. Every sound in the inventory that the process could change and the file
does not name as changed counts against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush
from itertools import count

from approx.child.profile import LEFT_OFF, POSITIONS, Limits
from approx.processes.engine.apply import sound_after
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import Count, Pool, RatePlace, manner_class, prevalence, settings
from approx.processes.rules.rule import Rule

_VOWEL, _CONSONANT = "a", "t"
_FRAMES = {
    "initial": (("", _VOWEL), (0,), (1,), 0),
    "medial": ((_VOWEL, "", _VOWEL), (0, 1), (1, 0), 1),
    "final": ((_VOWEL, ""), (0,), (1,), 1),
    "vowel": ((_CONSONANT, "", _CONSONANT), (0,), (1,), 1),
}
"""Where a sound stands alone between vowels and word edges: sounds ("" for itself), syllables, stress, its index."""
_LONGEST = 3


def habit_of(rule: Rule) -> str:
    """What shares one rate: a process; of vowels each rule, for one child may say diphthongs short and another raise vowels."""
    return rule.id if rule.process == "vowel change" else rule.process


class Habits:
    """Rates of the processes that a child's own changes are made of. `rules`: those of one sound for one."""

    def __init__(self, limits: Limits, rules: Sequence[Rule], tag: str) -> None:
        self.limits, self.tag = limits, tag
        self.rules = [rule for rule in rules if not rule.change.far]
        self.costs: dict[str, float] = {}
        for rule in self.rules:
            self.costs[habit_of(rule)] = min(rule.cost, self.costs.get(habit_of(rule), rule.cost))
        self._pools = self._counted()
        self._known: dict[tuple[str, str], dict[str, float]] = {}

    def of_sound(self, sound: str, position: str) -> dict[str, float]:
        """Each process seen in this child that could happen to a sound there, with its probability."""
        key = sound, position
        if key not in self._known:
            place = RatePlace("", manner_class(sound), sound, position)
            self._known[key] = {
                process: pool.chance(place._replace(process=process))
                for process, pool in self._pools.items()
                if self._fits(process, sound, position)
            }
        return self._known[key]

    def _counted(self) -> dict[str, Pool]:
        words = int(settings()["listed"]["words"])
        told = {
            (run[0], position or "vowel"): [
                (said[0] if said else LEFT_OFF, number) for said, number in forms if len(said) < 2
            ]
            for (run, position), forms in self.limits.evidence.items()
            if len(run) == 1
        }
        for key, said in self.limits.changes.items():
            told.setdefault(key, [(form, words) for form in said])
        ways = {
            (sound, position): [(self._way(sound, form, position), number) for form, number in forms]
            for (sound, position), forms in told.items()
        }
        seen = {process for each in ways.values() for way, _ in each for process in way}
        if not seen:
            return {}
        for position in POSITIONS:
            for sound in self.limits.consonants[position]:
                ways.setdefault((sound, position), [((), words)])
        for sound in self.limits.vowels:
            ways.setdefault((sound, "vowel"), [((), words)])
        counts: dict[str, dict[RatePlace, Count]] = {process: {} for process in seen}
        for (sound, position), each in sorted(ways.items()):
            for process in seen:
                if self._fits(process, sound, position):
                    place = RatePlace(process, manner_class(sound), sound, position)
                    applied = sum(number for way, number in each if process in way)
                    counts[process][place] = applied, sum(number for _, number in each)
        return {
            process: Pool(rows, prevalence(process, self.costs.get(process, 1.0), self.tag))
            for process, rows in counts.items()
            if sum(applied for applied, _ in rows.values())
        }

    def _fits(self, process: str, sound: str, position: str) -> bool:
        if process.endswith("consonant deletion"):
            return process.startswith(position)
        form, at = _alone(sound, position)
        return any(
            sound_after(rule.change, form, at, self.tag) not in (None, sound)
            for rule in self.rules
            if habit_of(rule) == process and rule.change.focus[0].fits(sound)
        )

    def _way(self, sound: str, said: str, position: str) -> tuple[str, ...]:
        """The processes of the cheapest rules from a sound to what is said for it; () where no rules lead there."""
        if said == LEFT_OFF:
            return (f"{position} consonant deletion",)
        tie = count()
        heap: list[tuple[float, int, str, tuple[str, ...]]] = [(0.0, next(tie), sound, ())]
        done: set[str] = set()
        while heap:
            cost, _, phone, way = heappop(heap)
            if phone == said:
                return way
            if phone in done or len(way) == _LONGEST:
                continue
            done.add(phone)
            form, at = _alone(phone, position)
            for rule in self.rules:
                after = sound_after(rule.change, form, at, self.tag) if rule.change.focus[0].fits(phone) else None
                if after is not None and after not in done:
                    heappush(heap, (cost + rule.cost, next(tie), after, (*way, habit_of(rule))))
        return ()


def _alone(sound: str, position: str) -> tuple[Form, int]:
    phones, starts, stress, at = _FRAMES[position]
    said = tuple(phone or sound for phone in phones)
    return Form(said, starts, stress, tuple(range(len(said)))), at
