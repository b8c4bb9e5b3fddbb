"""A pair with its good readings, and what each token of it adds to the counts of a sample.

A long sample has few different changes: what is counted of each is worked out once for its adult form.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from approx.ipa.word import Word
from approx.processes.explain.derivation import Derivation, Readings, Use
from approx.processes.explain.opportunities import (
    LEAVES_OFF,
    Kind,
    OpportunityOptions,
    chances,
    kind_at,
    kinds_of,
    number_of_opportunities,
    opportunities_left,
)

WITHOUT_TRIGGER = {
    "alveolar assimilation": ("velar fronting", "alveolarization"),
    "velar assimilation": ("backing",),
    "labial assimilation": ("labialization",),
    "palatal assimilation": ("palatalization", "affrication"),
    "nasal assimilation": ("nasalization",),
}
"""What each assimilation is called where there is no trigger (process conventions 5 and 6). A liquid said as a glide is
gliding whatever else is in the word (8)."""
_WEIGHED = frozenset(WITHOUT_TRIGGER).union(*WITHOUT_TRIGGER.values())
ChangedSound = tuple[str, str]
"""A process and the adult sound it took."""
Rivals = tuple[str, str]
"""An assimilation, and the name of the same change without a trigger."""
Rivalry = tuple[int, Rivals, int]
"""Number of another reading that differs from the first in that a change has, or has not, a trigger; and the sound changed."""
Stood = tuple[str, frozenset[str]]
"""A sound, and the assimilations of which a trigger is in its word."""
WeighedSound = tuple[Stood, frozenset[str]]
"""Where a sound stood that was changed, and by which processes of those that have a rival."""


class Choice(NamedTuple):
    """A reading that a sample may bear out better than the first: its number, the changes that not all of them have, and
    in how many processes these are."""

    number: int
    own: tuple[ChangedSound, ...]
    processes: int


Parts = dict[Any, Any]
"""Equal parts of facts, each as the object first met."""


class Adds(NamedTuple):
    """What a token adds to the counts of its sample."""

    rules: tuple[tuple[int, str], ...]
    """Rules of the reading, each with the kind of opportunity it took (`kind_number`)."""
    sure: tuple[ChangedSound, ...]
    """Changes that have no other good reading."""
    lost: tuple[Stood, ...] = ()
    """Where sounds stood that were left off."""
    weighed: tuple[WeighedSound, ...] = ()
    """Where sounds stood that were changed by a process that has a rival."""


_NOTHING = Adds((), ())


class _Uses(dict[Use, Adds]):
    """What each process met in one adult form adds by itself."""

    def __init__(self, target: Word, stood: tuple[Stood, ...], parts: Parts) -> None:
        super().__init__()
        self.target, self.stood, self.parts = target, stood, parts

    def __missing__(self, use: Use) -> Adds:
        process, targets = use.process, use.targets
        number = kind_number((process, kind_at(self.target, process, targets) if kinds_of(process) else ""))
        places = [self.stood[t] for t in targets]
        changes = tuple([(process, phone) for phone, _ in places])
        lost = tuple(places) if process.endswith(LEAVES_OFF) else ()
        weighed = tuple([(place, frozenset((process,))) for place in places]) if process in _WEIGHED else ()
        found = self[use] = shared(self.parts, Adds(((number, use.rule),), changes, lost, weighed))
        return found

    def all(self, uses: Sequence[Use]) -> Adds:
        """What several processes in one production add."""
        if len(uses) < 2:
            return self[uses[0]] if uses else _NOTHING
        found = [self[use] for use in uses]
        rules = tuple([rule for each in found for rule in each.rules])
        sure = tuple([change for each in found for change in each.sure])
        return shared(self.parts, Adds(rules, sure, *self._each_once(uses, found)))

    def _each_once(
        self, uses: Sequence[Use], found: Sequence[Adds]
    ) -> tuple[tuple[Stood, ...], tuple[WeighedSound, ...]]:
        """Where sounds stood that were left off or changed by processes that have a rival, each sound once."""
        some = [(use, each) for use, each in zip(uses, found) if each.lost or each.weighed]
        if len(some) < 2:
            return (some[0][1].lost, some[0][1].weighed) if some else ((), ())
        gone = {t for use, each in some if each.lost for t in use.targets}
        processes: dict[int, frozenset[str]] = {}
        for use, each in some:
            for t, (_, names) in zip(use.targets, each.weighed):
                if t not in gone:
                    processes[t] = processes[t] | names if t in processes else names
        stood = self.stood
        return tuple([stood[t] for t in gone]), tuple([(stood[t], names) for t, names in processes.items()])


def shared(parts: Parts, adds: Adds) -> Adds:
    """The same as the object first met, and so its parts."""
    found: Adds | None = parts.get(adds)
    if found is None:
        found = Adds(*[parts.setdefault(part, part) for part in adds])
        parts[found] = found
    return found


class AdultFacts:
    """What is said and counted of an adult form: its text, where its sounds stand, the processes in it, its opportunities."""

    __slots__ = ("_could", "ipa", "stood", "target", "uses")

    def __init__(self, target: Word, parts: Parts) -> None:
        self.target, self.ipa = target, target.ipa
        could = chances(target, "all")
        near = {name: frozenset(at for place in could.get(name, ()) for at in place) for name in WITHOUT_TRIGGER}
        self.stood: tuple[Stood, ...] = tuple(
            (phone, frozenset(name for name, places in near.items() if at in places))
            for at, phone in enumerate(target.phones)
        )
        self.uses = _Uses(target, self.stood, parts)
        self._could: dict[tuple[str, str], Mapping[int, int]] = {}

    def opportunities(self, options: OpportunityOptions, gone: frozenset[int]) -> Mapping[int, int]:
        """Kind by number -> how many opportunities there are, where some sounds were left off that are none any more."""
        which, lost_r = options.weak_syllables, options.lost_r
        if gone:
            return _numbered(opportunities_left(self.target, gone, which, lost_r))
        found = self._could.get((which, lost_r))
        if found is None:
            found = self._could[which, lost_r] = _numbered(number_of_opportunities(self.target, which, lost_r))
        return found


class Weighing(NamedTuple):
    """Between which readings of a pair a sample may decide."""

    rivalries: tuple[Rivalry, ...]
    choices: tuple[Choice, ...]
    """What is weighed where nothing is a rivalry."""


@dataclass(slots=True, eq=False)  # never changed; a frozen one takes three times as long to make
class ExplainedPair:
    """A word, its adult form and how it was said, with the good readings: one object for all tokens alike. `adds`: of its
    first reading; `weighing`: None where there is one reading."""

    word: str
    target: Word
    produced: Word
    readings: Readings
    adult: AdultFacts
    adds: Adds
    weighing: Weighing | None

    @property
    def shown(self) -> str:
        """The word, or its adult form where it has no gloss."""
        return self.word or self.adult.ipa


class ExplainedPairs:
    """Makes explained pairs; what is alike in them is one object."""

    def __init__(self) -> None:
        self._adults: dict[Word, AdultFacts] = {}
        self._by_identity: dict[int, AdultFacts] = {}
        self._weighings: dict[Weighing, Weighing] = {}
        self._parts: Parts = {}

    def pair(self, word: str, target: Word, produced: Word, readings: Readings) -> ExplainedPair:
        """A pair with what is counted of it."""
        adult = self._by_identity.get(id(target))
        if adult is None:
            adult = self._adults.get(target) or AdultFacts(target, self._parts)
            self._adults[target] = adult
            if adult.target is target:  # which holds its identity
                self._by_identity[id(target)] = adult
        adds = adult.uses.all(readings[0].uses)
        if len(readings) < 2:
            return ExplainedPair(word, target, produced, readings, adult, adds, None)
        sure = _sure(readings, target.phones)
        if sure != adds.sure:
            adds = shared(self._parts, adds._replace(sure=sure))
        rivalries = tuple(_rivalries(target, readings))
        weighing = Weighing(rivalries, () if rivalries else _choices(readings, target.phones))
        weighing = self._weighings.setdefault(weighing, weighing)
        return ExplainedPair(word, target, produced, readings, adult, adds, weighing)


@cache
def _kinds() -> tuple[dict[Kind, int], list[Kind]]:
    return {}, []


def kind_number(kind: Kind) -> int:
    """The number of a kind of opportunity, given out as kinds are met."""
    numbers, kinds = _kinds()
    number = numbers.get(kind)
    if number is None:
        number = numbers[kind] = len(kinds)
        kinds.append(kind)
    return number


def numbered_kind(number: int) -> Kind:
    """The kind of opportunity with a number."""
    return _kinds()[1][number]


def _numbered(found: Mapping[Kind, int]) -> dict[int, int]:
    return {kind_number(kind): places for kind, places in found.items()}


def _sure(readings: Readings, phones: Sequence[str]) -> tuple[ChangedSound, ...]:
    """Changes of the first reading of which every other one has the process."""
    best, *others = readings
    named = [reading.names for reading in others]
    sure = [use for use in best.uses if all(use.process in names for names in named)]
    return tuple([(use.process, phones[t]) for use in sure for t in use.targets])


def _choices(readings: Readings, phones: Sequence[str]) -> tuple[Choice, ...]:
    """The readings of no more steps than the first, with what not all of them have.

    A reading with a step more is no rival: an affricate said as a stop is stopping, however often the child deaffricates
    elsewhere (process conventions 3).
    """
    first = readings[0]
    eligible = [(number, each) for number, each in enumerate(readings) if len(each.uses) <= len(first.uses)]
    if len(eligible) < 2:
        return ()
    in_all = frozenset.intersection(*[frozenset(reading.names) for _, reading in eligible])
    out: list[Choice] = []
    for number, reading in eligible:
        own = [use for use in reading.uses if use.process not in in_all]
        changes = tuple([(use.process, phones[t]) for use in own for t in use.targets])
        out.append(Choice(number, changes, max(len(own), 1)))
    return tuple(out)


def _rivalries(target: Word, readings: Readings) -> Iterator[Rivalry]:
    """Those of a sound that the assimilation takes where there is a trigger: of another, words cannot tell the two apart."""
    first = readings[0]
    for number, other in enumerate(readings[1:], 1):
        if not _any_rivals(first.names, other.names) and not _any_rivals(other.names, first.names):
            continue
        mine, others = _apart(first, other)
        names = {process for process, _ in mine}, {process for process, _ in others}
        if len(names[0]) != 1 or len(names[1]) != 1 or {t for _, t in mine} != {t for _, t in others}:
            continue
        one, two = names[0].pop(), names[1].pop()
        for pair in ((one, two), (two, one)):
            if pair[1] not in WITHOUT_TRIGGER.get(pair[0], ()):
                continue
            could = chances(target, "all").get(pair[0], ())
            for _, targets in mine:
                if len(targets) == 1 and any(targets[0] in place for place in could):
                    yield number, pair, targets[0]


def _any_rivals(processes: Sequence[str], others: Sequence[str]) -> bool:
    """True if an assimilation is among the processes, and its name without a trigger among the others."""
    return any(name in others for process in processes for name in WITHOUT_TRIGGER.get(process, ()))


Named = Counter[tuple[str, tuple[int, ...]]]


def _apart(one: Derivation, other: Derivation) -> tuple[Named, Named]:
    """Processes with their sounds that one reading has and the other has not, both ways."""
    mine = Counter((use.process, use.targets) for use in one.uses)
    others = Counter((use.process, use.targets) for use in other.uses)
    return mine - others, others - mine
