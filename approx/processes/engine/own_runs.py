"""What this child says for clusters: the forms of its file, and what it does to some of them carried to others.

A cluster is changed in one way: which member goes (a rule of cluster reduction), two members said as one, a vowel put in, or
all of it left off. The ways are counted over the clusters of the file and pooled as those of a sample are.
"""

from __future__ import annotations

from collections.abc import Sequence

from approx.child.profile import POSITIONS, Limits
from approx.ipa.features import is_nucleus
from approx.processes.engine.apply import apply_at
from approx.processes.engine.form import Form
from approx.processes.engine.pooling import Count, Pool, RatePlace, manner_class, prevalence, settings
from approx.processes.rules.rule import Rule

SoundRun = tuple[str, ...]
WHOLE, WITH_VOWEL, ONE_FOR_TWO, REDUCED = (
    "final consonant deletion",
    "epenthesis",
    "coalescence",
    "cluster reduction",
)
"""Processes of clusters; each but the second makes a cluster shorter."""
_VOWEL = "a"


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
                    found[way] = pool.chance(_place(way, run, position))
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
            exact = [way for way, form in ways.items() if len(form) == len(said) and _alike(form, said)]
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
                    counts[way][_place(way, run, position)] = ways.get(way, 0), sum(ways.values())
        usual = prevalence("", 0.0, self.tag)
        return {way: Pool(rows, usual) for way, rows in counts.items()}


def _place(way: str, run: SoundRun, position: str) -> RatePlace:
    return RatePlace(way, " ".join(map(manner_class, run)), " ".join(run), position)


def _alike(form: SoundRun, said: SoundRun) -> bool:
    """True where one member at least is as said, or of the same manner."""
    return all(a == b or manner_class(a) == manner_class(b) for a, b in zip(form, said))
