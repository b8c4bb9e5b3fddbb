"""What a sample bears out: which of the good readings of a token is taken, by the other words of the same child.

One token cannot tell assimilation from the same change without a cause (gun [dʌn]: velar fronting, or alveolar
assimilation). It is assimilation only if the sound is right, or said otherwise, in words without a trigger (process
conventions 5 and 6; measures 8.5). So the two are weighed by how well each foretells the whole sample: a general change
happens as often with a trigger as without one, an assimilation only with one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log

from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explained_pairs import ExplainedPairs
from approx.processes.explain.weighing import Choice, Rivalry, Rivals

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


Support = Mapping[int, int]
"""By number of a change, how often each process is the only good reading of a change of a sound: what the rest of the sample bears out."""
SoundsStood = Mapping[int, int]
"""By number of a sound and its triggers (`NumberedAdds.stood`), how often it stood and was not left off."""
SoundsChanged = Mapping[tuple[int, frozenset[str]], int]
"""How often it was changed there, and by which processes of those that have a rival."""
AddedUp = tuple[Support, SoundsStood, SoundsChanged]
"""What a sample adds up to, by which readings are chosen."""


def choose_readings(
    pairs: ExplainedPairs, times: Mapping[int, int], added: Callable[[], AddedUp] | None = None
) -> dict[int, Derivation]:
    """The reading of each pair where it is not the first one. `times`: how often each was said in this sample. `added`: what
    that adds up to, where it is found sooner than pair by pair."""
    weighings, every = pairs.weighings, pairs.all_weighings.all
    open_ones = {number: weighing for number in times if (weighing := weighings[number])}
    if not open_ones:
        return {}
    weighed = {weighing: every[weighing] for weighing in dict.fromkeys(open_ones.values())}
    rivals = {(pair, sound) for each in weighed.values() for _, pair, sound, _ in each.rivalries}
    support, stood, changed = added() if added else _added(pairs, times)
    seen = _seen(stood, changed, rivals, pairs) if rivals else {}
    taken: dict[int, int] = {}
    for weighing, (rivalries, choices) in weighed.items():
        if number := _by_triggers(rivalries, seen) if rivalries else _by_support(choices, support):
            taken[weighing] = number
    return {number: pairs.readings_of(number)[taken[each]] for number, each in open_ones.items() if each in taken}


def _added(pairs: ExplainedPairs, times: Mapping[int, int]) -> AddedUp:
    """What the readings of a sample add up to, found pair by pair."""
    counted, places = pairs.counted, pairs.counted.all_places.all
    support: defaultdict[int, int] = defaultdict(int)
    stood: defaultdict[int, int] = defaultdict(int)
    changed: defaultdict[tuple[int, frozenset[str]], int] = defaultdict(int)
    for number, often in times.items():
        adult, readings = pairs.adult(number), pairs.readings[number]
        for use in counted.sure[readings]:
            for change in adult.adds[use].changes:
                support[change] += often
        for each in adult.stood:
            stood[each] += often
        for place in counted.places[readings]:
            t, processes = places[place]
            if processes:
                changed[adult.stood[t], processes] += often
            else:
                stood[adult.stood[t]] -= often
    return support, stood, changed


def _seen(
    stood: SoundsStood, changed: SoundsChanged, rivals: Iterable[tuple[Rivals, str]], pairs: ExplainedPairs
) -> dict[tuple[Rivals, str], float]:
    """For each pair of rivals and each sound, and for all its sounds (""): how much better the sample is foretold by the
    assimilation, from how the sound was said with and without a trigger."""
    every = pairs.numbered.stood.all
    stood_of: dict[str, list[tuple[frozenset[str], int]]] = {}
    for number, often in stood.items():
        phone, near = every[number]
        stood_of.setdefault(phone, []).append((near, often))
    changed_of: dict[str, list[tuple[frozenset[str], frozenset[str], int]]] = {}
    for (number, processes), often in changed.items():
        phone, near = every[number]
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


def _by_triggers(rivalries: Sequence[Rivalry], seen: Mapping[tuple[Rivals, str], float]) -> int:
    """Number of the reading that words with and without a trigger bear out; 0: the first.

    Asked of all sounds that are changed so, for a few words with one sound are easily chance; the same sound must not
    speak against it.
    """
    found: dict[int, float] = {}
    for number, pair, sound, for_assimilation in rivalries:
        sign = 1.0 if for_assimilation else -1.0
        worth = sign * seen[pair, ""] if sign * seen[pair, sound] >= 0 else 0.0
        found[number] = max(worth, found.get(number, 0.0))
    best = max(found, key=found.__getitem__)  # the first of equals: it costs least
    return best if found[best] > _SURE else 0


def _by_support(choices: Sequence[Choice], support: Support) -> int:
    """Number of the reading that the sample bears out best, if better than the first one; 0 unless all sounds are explained
    as well."""
    worths = [sum([support.get(change, 0) for change in own]) / processes for _, own, processes, _ in choices]
    most = max(worths)
    best = choices[worths.index(most)]  # the first of equals: it costs least
    first = next(worth for worth, choice in zip(worths, choices) if not choice.number)
    return best.number if most > first and best.explains_as_much else 0
