"""What a sample bears out: which of the good readings of a token is taken, by the other words of the same child.

One token cannot tell assimilation from the same change without a cause (gun [dʌn]: velar fronting, or alveolar
assimilation). It is assimilation only if the sound is right, or said otherwise, in words without a trigger (process
conventions 5 and 6; measures 8.5). So the two are weighed by how well each foretells the whole sample: a general change
happens as often with a trigger as without one, an assimilation only with one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log

from approx.ipa.word import Word
from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explain import Readings
from approx.processes.explain.opportunities import LEAVES_OFF, chances

_SLIP = 0.05
"""How often a sound is taken to be changed by mere chance."""
_SURE = log(10)
"""How much better (log-likelihood) another reading must foretell the sample than the first one. No source: our choice."""
_WITHOUT_TRIGGER = {
    "alveolar assimilation": ("velar fronting", "alveolarization"),
    "velar assimilation": ("backing",),
    "labial assimilation": ("labialization",),
    "palatal assimilation": ("palatalization", "affrication"),
    "nasal assimilation": ("nasalization",),
}
"""What each assimilation is called where there is no trigger (process conventions 5 and 6). A liquid said as a glide is
gliding whatever else is in the word (8)."""
Rivals = tuple[str, str]
"""An assimilation, and the name of the same change without a trigger."""


@dataclass(frozen=True, slots=True, eq=False)
class ExplainedPair:
    """A word, its adult form and how it was said, with the good readings: one object for all tokens alike."""

    word: str
    target: Word
    produced: Word
    readings: Readings

    @property
    def shown(self) -> str:
        """The word, or its adult form where it has no gloss."""
        return self.word or self.target.ipa


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
    open_ones = [heard for heard in times if len(heard.readings) > 1]
    if not open_ones:
        return {}
    support = _support(times)
    rivalries = {heard: found for heard in open_ones if (found := tuple(_could_show(heard)))}
    rivals = {(pair, heard.target.phones[t]) for heard, found in rivalries.items() for _, pair, t in found}
    seen = _seen(times, rivals) if rivals else {}
    chosen: dict[ExplainedPair, Derivation] = {}
    for heard in open_ones:
        known = rivalries.get(heard)
        taken = _by_triggers(heard, known, seen) if known else _by_support(heard, support)
        if taken is not heard.readings[0]:
            chosen[heard] = taken
    return chosen


Rivalry = tuple[Derivation, Rivals, int]
"""Another reading that differs from the first in that a change has, or has not, a trigger; and the sound changed."""


def _could_show(heard: ExplainedPair) -> Iterator[Rivalry]:
    """Those of a sound that the assimilation takes where there is a trigger: of another, words cannot tell the two apart."""
    for other, pair, t in _rivalries(heard.readings):
        if any(t in place for place in chances(heard.target, "all").get(pair[0], ())):
            yield other, pair, t


def _rivalries(readings: Readings) -> Iterator[Rivalry]:
    """All of them among the readings of a token."""
    if not any(use.process in _WITHOUT_TRIGGER for reading in readings for use in reading.uses):
        return
    first = readings[0]
    for other in readings[1:]:
        mine, others = _apart(first, other)
        names = {process for process, _ in mine}, {process for process, _ in others}
        if len(names[0]) != 1 or len(names[1]) != 1 or {t for _, t in mine} != {t for _, t in others}:
            continue
        one, two = names[0].pop(), names[1].pop()
        for pair in ((one, two), (two, one)):
            if pair[1] in _WITHOUT_TRIGGER.get(pair[0], ()):
                yield from ((other, pair, targets[0]) for _, targets in mine if len(targets) == 1)


Named = Counter[tuple[str, tuple[int, ...]]]


def _apart(one: Derivation, other: Derivation) -> tuple[Named, Named]:
    """Processes with their sounds that one reading has and the other has not, both ways."""
    mine = Counter((use.process, use.targets) for use in one.uses)
    others = Counter((use.process, use.targets) for use in other.uses)
    return mine - others, others - mine


Stood = tuple[str, frozenset[str]]
"""A sound, and the assimilations of which a trigger is in its word."""


@lru_cache(maxsize=65536)
def _stood(word: Word) -> tuple[Stood, ...]:
    """Where each sound of an adult form stands."""
    could = chances(word, "all")
    near = {name: frozenset(at for place in could.get(name, ()) for at in place) for name in _WITHOUT_TRIGGER}
    return tuple(
        (phone, frozenset(name for name, places in near.items() if at in places))
        for at, phone in enumerate(word.phones)
    )


def _seen(times: Mapping[ExplainedPair, int], rivals: set[tuple[Rivals, str]]) -> dict[tuple[Rivals, str], _Seen]:
    """For each pair of rivals and each sound, and for all its sounds (""): how it was said with and without a trigger.

    Sounds that were left off are not looked at.
    """
    asked = {process for pair, _ in rivals for process in pair}
    said: dict[int, int] = {}
    places: dict[int, tuple[Stood, ...]] = {}
    stood: Counter[Stood] = Counter()
    changed: Counter[tuple[Stood, frozenset[str]]] = Counter()
    for heard, often in times.items():
        form = id(heard.target)
        if form in said:
            said[form] += often
        else:
            said[form], places[form] = often, _stood(heard.target)
        happened: dict[int, set[str]] = {}
        for use in heard.readings[0].uses:
            process = use.process if use.process in asked else ""
            if process or use.process.endswith(LEAVES_OFF):
                for t in use.targets:
                    happened.setdefault(t, set()).add(process)
        for t, processes in happened.items():
            place = places[form][t]
            if "" in processes:
                stood[place] -= often
            else:
                changed[place, frozenset(processes)] += often
    for form, often in said.items():
        for place in places[form]:
            stood[place] += often
    out = {(pair, sound): _Seen() for pair, one in rivals for sound in (one, "")}
    for pair, sound in rivals:
        here = _Seen()
        for (phone, near), often in stood.items():
            if phone == sound:
                here.stands(pair[0] in near, often, 0)
        for ((phone, near), found), often in changed.items():
            if phone == sound and not found.isdisjoint(pair):
                here.stands(pair[0] in near, 0, often)
        out[pair, sound].add(here)
        out[pair, ""].add(here)
    return out


def _by_triggers(
    heard: ExplainedPair, rivalries: Sequence[Rivalry], seen: Mapping[tuple[Rivals, str], _Seen]
) -> Derivation:
    """The reading that words with and without a trigger bear out.

    Asked of all sounds that are changed so, for a few words with one sound are easily chance; the same sound must not
    speak against it.
    """
    first = heard.readings[0]
    found: dict[int, tuple[Derivation, float]] = {}
    for other, pair, t in rivalries:
        far_first = any(use.process == pair[0] and t in use.targets for use in first.uses)
        sign = -1.0 if far_first else 1.0
        own, all_sounds = (sign * seen[pair, sound].for_assimilation for sound in (heard.target.phones[t], ""))
        worth = all_sounds if own >= 0 else 0.0
        found[id(other)] = (other, max(worth, found.get(id(other), (other, 0.0))[1]))
    best, most = max(found.values(), key=lambda each: (each[1], -each[0].cost))
    return best if most > _SURE else first


def _support(times: Mapping[ExplainedPair, int]) -> Counter[tuple[str, str]]:
    """How often each process is the only good reading of a change of a sound: what the rest of the sample bears out."""
    support: Counter[tuple[str, str]] = Counter()
    for heard, often in times.items():
        best, *others = heard.readings
        phones = heard.target.phones
        named = [frozenset(reading.names) for reading in others]
        for use in best.uses:
            if all(use.process in names for names in named):
                for t in use.targets:
                    support[use.process, phones[t]] += often
    return support


def _by_support(heard: ExplainedPair, support: Mapping[tuple[str, str], int]) -> Derivation:
    """The reading the sample bears out best; the first one unless another of no more steps has more support.

    A reading with a step more is no rival: an affricate said as a stop is stopping, however often the child deaffricates
    elsewhere (process conventions 3).
    """
    first, phones = heard.readings[0], heard.target.phones
    readings = [reading for reading in heard.readings if len(reading.uses) <= len(first.uses)]
    shared = frozenset.intersection(*(frozenset(reading.names) for reading in readings))

    def worth(reading: Derivation) -> float:
        own = [use for use in reading.uses if use.process not in shared]
        return sum(support.get((use.process, phones[t]), 0) for use in own for t in use.targets) / max(len(own), 1)

    found = [worth(reading) for reading in readings]
    best = max(range(len(readings)), key=lambda number: (found[number], -readings[number].cost))
    if found[best] <= found[0] or readings[best].unexplained != first.unexplained:
        return first
    return readings[best]
