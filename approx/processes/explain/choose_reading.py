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

from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explained_pair import (
    AdultFacts,
    ChangedSound,
    Choice,
    ExplainedPair,
    Rivalry,
    Rivals,
    Stood,
    WeighedSound,
)

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


def choose_readings(times: Mapping[ExplainedPair, int]) -> dict[ExplainedPair, Derivation]:
    """The reading of each token where it is not the first one. `times`: how often each was said in this sample."""
    open_ones = [(heard, heard.weighing) for heard in times if heard.weighing is not None]
    if not open_ones:
        return {}
    support, stood, changed = _added(times)
    rivals = {
        (pair, heard.target.phones[t]): None for heard, open_one in open_ones for _, pair, t in open_one.rivalries
    }
    seen = _seen(stood, changed, rivals) if rivals else {}
    chosen: dict[ExplainedPair, Derivation] = {}
    for heard, weighing in open_ones:
        triggers = weighing.rivalries
        number = _by_triggers(heard, triggers, seen) if triggers else _by_support(heard, weighing.choices, support)
        if number:
            chosen[heard] = heard.readings[number]
    return chosen


Support = Mapping[ChangedSound, int]
"""How often each process is the only good reading of a change of a sound: what the rest of the sample bears out."""


def _added(times: Mapping[ExplainedPair, int]) -> tuple[Support, Mapping[Stood, int], Mapping[WeighedSound, int]]:
    """Support; how often sounds stood where and were not left off; how often they were changed there."""
    support: defaultdict[ChangedSound, int] = defaultdict(int)
    stood: defaultdict[Stood, int] = defaultdict(int)
    changed: defaultdict[WeighedSound, int] = defaultdict(int)
    said: defaultdict[AdultFacts, int] = defaultdict(int)
    for heard, often in times.items():
        said[heard.adult] += often
        _, sure, lost, weighed = heard.adds
        for change in sure:
            support[change] += often
        for place in lost:
            stood[place] -= often
        for weighed_change in weighed:
            changed[weighed_change] += often
    for adult, often in said.items():
        for place in adult.stood:
            stood[place] += often
    return support, stood, changed


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


def _by_triggers(heard: ExplainedPair, rivalries: Sequence[Rivalry], seen: Mapping[tuple[Rivals, str], float]) -> int:
    """Number of the reading that words with and without a trigger bear out.

    Asked of all sounds that are changed so, for a few words with one sound are easily chance; the same sound must not
    speak against it.
    """
    first = heard.readings[0]
    found: dict[int, float] = {}
    for number, pair, t in rivalries:
        far_first = any(use.process == pair[0] and t in use.targets for use in first.uses)
        sign = -1.0 if far_first else 1.0
        own, all_sounds = (sign * seen[pair, sound] for sound in (heard.target.phones[t], ""))
        worth = all_sounds if own >= 0 else 0.0
        found[number] = max(worth, found.get(number, 0.0))
    best, most = max(found.items(), key=lambda each: (each[1], -heard.readings[each[0]].cost))
    return best if most > _SURE else 0


def _by_support(heard: ExplainedPair, choices: Sequence[Choice], support: Support) -> int:
    """Number of the reading the sample bears out best; the first one unless another of no more steps has more support."""
    readings, best, most, own = heard.readings, 0, 0.0, 0.0
    for number, changes, processes in choices:
        worth = sum([support.get(change, 0) for change in changes]) / processes
        if not number:
            most = own = worth
        elif worth > most or worth == most and readings[number].cost < readings[best].cost:
            best, most = number, worth
    return best if most > own and readings[best].unexplained == readings[0].unexplained else 0
