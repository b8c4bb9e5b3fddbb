"""What a sample bears out: which of the good readings of a token is taken, by the other words of the same child.

One token cannot tell assimilation from the same change without a cause (gun [dʌn]: velar fronting, or alveolar
assimilation). It is assimilation only if the sound is right, or said otherwise, in words without a trigger (process
conventions 5 and 6; measures 8.5). So the two are weighed by how well each foretells the whole sample: a general change
happens as often with a trigger as without one, an assimilation only with one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log

from approx.processes.explain.adult_facts import Stood, WeighedSound
from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explained_pairs import Choice, ExplainedPairs, Rivalry, Rivals

_SLIP = 0.05
"""How often a sound is taken to be changed by mere chance."""
_SURE = log(10)
"""How much better (log-likelihood) another reading must foretell the sample than the first one. No source: our choice."""


@dataclass(slots=True)
class _Seen:
    """How often a sound stood where no trigger was, and where one was; and how often it was changed so."""

    free: int = 0
    changed_free: int = 0
    near: int = 0
    changed_near: int = 0

    def stands(self, near: bool, often: int, changed: int) -> None:
        """So many more stood there, with a trigger or without, and so many were changed."""
        if near:
            self.near += often
            self.changed_near += changed
        else:
            self.free += often
            self.changed_free += changed

    def add(self, other: _Seen) -> None:
        self.free += other.free
        self.changed_free += other.changed_free
        self.near += other.near
        self.changed_near += other.changed_near

    @property
    def for_assimilation(self) -> float:
        """How much better the sample is foretold by an assimilation than by a general change (log-likelihood)."""
        if not self.free:
            return 0.0
        everywhere = (self.changed_free + self.changed_near) / max(self.free + self.near, 1)
        only_near = self.changed_near / max(self.near, 1)
        general = _likely(self.changed_free, self.free, everywhere) + _likely(self.changed_near, self.near, everywhere)
        return _likely(self.changed_free, self.free, _SLIP) + _likely(self.changed_near, self.near, only_near) - general


def _likely(changed: int, number: int, rate: float) -> float:
    """Log-likelihood of so many changes at a rate."""
    rate = min(max(rate, 1e-6), 1 - 1e-6)
    return changed * log(rate) + (number - changed) * log(1 - rate)


def choose_readings(pairs: ExplainedPairs, times: Mapping[int, int]) -> dict[int, Derivation]:
    """The reading of each pair where it is not the first one. `times`: how often each was said in this sample."""
    weighings = pairs.weighings
    open_ones = [number for number in times if weighings[number]]
    if not open_ones:
        return {}
    support, stood, changed = _added(pairs, times)
    weighed = {
        weighing: pairs.all_weighings.all[weighing] for weighing in dict.fromkeys(map(weighings.__getitem__, open_ones))
    }
    rivals: dict[tuple[Rivals, str], None] = {}
    for number in open_ones:
        if rivalries := weighed[weighings[number]].rivalries:
            phones = pairs.target(number).phones
            rivals |= {(pair, phones[t]): None for _, pair, t in rivalries}
    seen = _seen(stood, changed, rivals) if rivals else {}
    worths = {weighing: _worths(each.choices, support) for weighing, each in weighed.items() if each.choices}
    chosen: dict[int, Derivation] = {}
    for number in open_ones:
        weighing = weighings[number]
        if weighing in worths:
            taken = _by_support(pairs, number, worths[weighing]) if worths[weighing] else 0
        else:
            taken = _by_triggers(pairs, number, weighed[weighing].rivalries, seen)
        if taken:
            chosen[number] = pairs.readings_of(number)[taken]
    return chosen


Support = Mapping[int, int]
"""By number of a change, how often each process is the only good reading of a change of a sound: what the rest of the sample bears out."""


def _added(
    pairs: ExplainedPairs, times: Mapping[int, int]
) -> tuple[Support, Mapping[Stood, int], Mapping[WeighedSound, int]]:
    """Support; how often sounds stood where and were not left off; how often they were changed there."""
    numbered = pairs.numbered
    if pairs.in_arrays(len(times)):
        from approx.processes.explain.group_arrays import GroupArrays

        group = GroupArrays(pairs, times)
        support: Support = group.summed_lists(pairs.sure)
        by_lost, by_weighed, said = map(group.summed, (pairs.lost, pairs.weighed, pairs.forms))
    else:
        support = _summed(
            (change, often) for sure, often in zip(pairs.sure.of(times), times.values()) for change in sure
        )
        by_lost, by_weighed, said = (
            _summed(zip(map(column.__getitem__, times), times.values()))
            for column in (pairs.lost, pairs.weighed, pairs.forms)
        )
    stood: defaultdict[Stood, int] = defaultdict(int)
    changed: defaultdict[WeighedSound, int] = defaultdict(int)
    for number, often in by_lost.items():
        for place in numbered.lost.all[number]:
            stood[place] -= often
    for number, often in by_weighed.items():
        for weighed_change in numbered.weighed.all[number]:
            changed[weighed_change] += often
    for form, often in said.items():
        for place in pairs.adults[form].stood:
            stood[place] += often
    return support, stood, changed


def _summed(found: Iterable[tuple[int, int]]) -> dict[int, int]:
    out: defaultdict[int, int] = defaultdict(int)
    for number, often in found:
        out[number] += often
    return out


def _seen(
    stood: Mapping[Stood, int], changed: Mapping[WeighedSound, int], rivals: Iterable[tuple[Rivals, str]]
) -> dict[tuple[Rivals, str], float]:
    """For each pair of rivals and each sound, and for all its sounds (""): how much better the sample is foretold by the
    assimilation, from how the sound was said with and without a trigger."""
    stood_of: dict[str, list[tuple[frozenset[str], int]]] = {}
    for (phone, near), often in stood.items():
        stood_of.setdefault(phone, []).append((near, often))
    changed_of: dict[str, list[tuple[frozenset[str], frozenset[str], int]]] = {}
    for ((phone, near), processes), often in changed.items():
        changed_of.setdefault(phone, []).append((near, processes, often))
    out = {(pair, sound): _Seen() for pair, one in rivals for sound in (one, "")}
    for pair, sound in rivals:
        here = _Seen()
        for near, often in stood_of.get(sound, ()):
            here.stands(pair[0] in near, often, 0)
        for near, processes, often in changed_of.get(sound, ()):
            if not processes.isdisjoint(pair):
                here.stands(pair[0] in near, 0, often)
        out[pair, sound].add(here)
        out[pair, ""].add(here)
    return {key: seen.for_assimilation for key, seen in out.items()}


def _by_triggers(
    pairs: ExplainedPairs, number: int, rivalries: Sequence[Rivalry], seen: Mapping[tuple[Rivals, str], float]
) -> int:
    """Number of the reading that words with and without a trigger bear out.

    Asked of all sounds that are changed so, for a few words with one sound are easily chance; the same sound must not
    speak against it.
    """
    readings, phones = pairs.readings_of(number), pairs.target(number).phones
    found: dict[int, float] = {}
    for other, pair, t in rivalries:
        far_first = any(use.process == pair[0] and t in use.targets for use in readings[0].uses)
        sign = -1.0 if far_first else 1.0
        own, all_sounds = (sign * seen[pair, sound] for sound in (phones[t], ""))
        worth = all_sounds if own >= 0 else 0.0
        found[other] = max(worth, found.get(other, 0.0))
    best, most = max(found.items(), key=lambda each: (each[1], -readings[each[0]].cost))
    return best if most > _SURE else 0


def _worths(choices: Sequence[Choice], support: Support) -> list[tuple[int, float]]:
    """Each reading that the sample bears out better than the first one, with how well."""
    worths = [(number, sum([support.get(change, 0) for change in own]) / many) for number, own, many in choices]
    first = next((worth for number, worth in worths if not number), 0.0)
    return [each for each in worths if each[0] and each[1] > first]


def _by_support(pairs: ExplainedPairs, number: int, worths: Sequence[tuple[int, float]]) -> int:
    """Number of the reading the sample bears out best, of those better than the first; the first one unless all sounds are
    explained as well."""
    readings = pairs.readings_of(number)
    best = min(worths, key=lambda each: (-each[1], readings[each[0]].cost))[0]
    return best if readings[best].unexplained == readings[0].unexplained else 0
