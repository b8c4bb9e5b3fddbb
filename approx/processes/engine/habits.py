"""What a child does to some sounds and clusters, carried to others: how likely each change is, by those in the child's file.

The changes are counted place by place as those of a sample are and held to one another by the same pooling, so that what is
suggested and what is foretold follow the same rates. Of sounds, every one in the inventory that a process could change and the
file does not name as changed counts against it. A cluster is changed in one way: which member goes (a rule of cluster reduction),
two members said as one, a vowel put in, or all of it left off.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush
from itertools import count

from approx.child.profile import LEFT_OFF, POSITIONS, Limits
from approx.ipa.features import is_nucleus
from approx.processes.engine.apply import apply_at, sound_after
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
SoundRun = tuple[str, ...]
WHOLE, WITH_VOWEL, ONE_FOR_TWO, REDUCED = (
    "final consonant deletion",
    "epenthesis",
    "coalescence",
    "cluster reduction",
)
"""Processes of clusters; each but the second makes a cluster shorter."""


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


class RunHabits:
    """Rates of the ways in which a child changes clusters. `rules`: those that make a run of consonants shorter."""

    def __init__(self, limits: Limits, rules: Sequence[Rule], tag: str) -> None:
        self.limits, self.tag = limits, tag
        self.rules = [rule for rule in rules if rule.process in (REDUCED, ONE_FOR_TWO)]
        self._ways: dict[tuple[SoundRun, str], dict[str, SoundRun]] = {}
        self._known: dict[tuple[SoundRun, str], dict[str, float]] = {}
        self._pools = self._counted()

    def of_run(self, run: SoundRun, position: str) -> dict[str, float]:
        """Each way seen in this child in which the cluster could change, a rule's id or a process, with its probability."""
        key = run, position
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = {}
            for way, pool in self._pools.items():
                if way in self.ways(run, position):
                    found[way] = pool.chance(_run_place(way, run, position))
        return found

    def ways(self, run: SoundRun, position: str) -> dict[str, SoundRun]:
        """What each way makes of a cluster; of a vowel put in, the usual one."""
        found = self._ways.get((run, position))
        if found is None:
            found = self._ways[run, position] = self._found(run, position)
        return found

    def _found(self, run: SoundRun, position: str) -> dict[str, SoundRun]:
        before = (_VOWEL,) if position != "initial" else ()
        after = (_VOWEL,) if position != "final" else ()
        phones = (*before, *run, *after)
        starts = (0, 1) if position == "medial" else (0,)
        form = Form(phones, starts, (1, 0)[: len(starts)], tuple(range(len(phones))))
        out: dict[str, SoundRun] = {}
        for rule in self.rules:
            for at in range(len(before), len(before) + len(run) - len(rule.change.focus) + 1):
                said = apply_at(rule.change, form, at, self.tag)
                if said is not None and rule.id not in out:
                    out[rule.id] = said.phones[len(before) : len(said.phones) - len(after)]
        if position == "final":
            out[WHOLE] = ()
        elif len(run) == 2:
            out[WITH_VOWEL] = (run[0], "ə", run[1])
        return out

    def way(self, run: SoundRun, said: SoundRun, position: str) -> str:
        """The way from a cluster to what was said for it, sounds changed after it aside; "" where none is known."""
        ways = self.ways(run, position)
        if any(map(is_nucleus, said)):
            return WITH_VOWEL if tuple(s for s in said if not is_nucleus(s)) == run and WITH_VOWEL in ways else ""
        exact = [way for way, form in ways.items() if form == said]
        if not exact and len(said) < len(run):
            exact = [way for way, form in ways.items() if len(form) == len(said) and _runs_alike(form, said)]
        costs = {rule.id: rule.cost for rule in self.rules}
        return min(exact, key=lambda way: (costs.get(way, 0.0), way), default="")

    def _counted(self) -> dict[str, Pool]:
        evidence = {key: forms for key, forms in self.limits.evidence.items() if len(key[0]) > 1}
        words = int(settings()["listed"]["words"])
        told: dict[tuple[SoundRun, str], dict[str, int]] = {}
        for (run, position), forms in evidence.items():
            if any(map(is_nucleus, run)):
                continue
            here = told.setdefault((run, position), {})
            for said, number in forms:
                way = self.way(run, said, position) if said != run else ""
                here[way] = here.get(way, 0) + number
        for run, position in sorted(self.limits.clusters):
            if position in POSITIONS:
                told.setdefault((run, position), {"": words})
        seen = {way for ways in told.values() for way in ways if way}
        counts: dict[str, dict[RatePlace, Count]] = {way: {} for way in seen}
        for (run, position), ways in sorted(told.items()):
            for way in seen:
                if way in self.ways(run, position):
                    counts[way][_run_place(way, run, position)] = ways.get(way, 0), sum(ways.values())
        usual = prevalence("", 0.0, self.tag)
        return {way: Pool(rows, usual) for way, rows in counts.items()}


def _run_place(way: str, run: SoundRun, position: str) -> RatePlace:
    return RatePlace(way, " ".join(map(manner_class, run)), " ".join(run), position)


def _runs_alike(form: SoundRun, said: SoundRun) -> bool:
    """True where one member at least is as said, or of the same manner."""
    return all(a == b or manner_class(a) == manner_class(b) for a, b in zip(form, said))
