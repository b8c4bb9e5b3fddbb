"""A pair with its good readings, and what each token of it adds to the counts of a sample.

A long sample has few different changes: what is counted of a pair is worked out once, and equal parts are one object.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from approx.ipa.word import Word
from approx.processes.explain.derivation import Derivation, Use
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

Readings = tuple[Derivation, ...]
"""The first reading, then the other good ones."""
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
Happened = tuple[tuple[int, int], ...]
"""Numbers of kinds of opportunities (`kind_number`), each with how often it happened."""


class Choice(NamedTuple):
    """A reading that a sample may bear out better than the first: its number, the changes that not all of them have, and
    in how many processes these are."""

    number: int
    own: tuple[ChangedSound, ...]
    processes: int


class AdultFacts:
    """What is said and counted of an adult form: its text, where its sounds stand, and its opportunities."""

    __slots__ = ("_could", "ipa", "stood", "target")

    def __init__(self, target: Word) -> None:
        self.target, self.ipa = target, target.ipa
        could = chances(target, "all")
        near = {name: frozenset(at for place in could.get(name, ()) for at in place) for name in WITHOUT_TRIGGER}
        self.stood: tuple[Stood, ...] = tuple(
            (phone, frozenset(name for name, places in near.items() if at in places))
            for at, phone in enumerate(target.phones)
        )
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


class PairFacts(NamedTuple):
    """What a token of a pair adds to the counts of its sample."""

    sure: tuple[ChangedSound, ...]
    """Changes that have no other good reading."""
    changed: tuple[tuple[Stood, frozenset[str]], ...]
    """Sounds in which a process was found that has a rival: where they stood, and the processes."""
    lost: tuple[Stood, ...]
    """Where sounds stood that were left off."""
    rivalries: tuple[Rivalry, ...]
    choices: tuple[Choice, ...]
    """What is weighed where nothing is a rivalry; () where there is one reading."""
    happened: Happened
    rules: tuple[tuple[int, str], ...]
    """Of the first reading: kinds with how often they happened, and rules, each with its kind."""


@dataclass(frozen=True, slots=True, eq=False)
class ExplainedPair:
    """A word, its adult form and how it was said, with the good readings: one object for all tokens alike."""

    word: str
    target: Word
    produced: Word
    readings: Readings
    adult: AdultFacts
    facts: PairFacts

    @property
    def shown(self) -> str:
        """The word, or its adult form where it has no gloss."""
        return self.word or self.target.ipa


class FactsOfPairs:
    """Makes explained pairs; equal facts, and equal parts of them, are one object."""

    def __init__(self) -> None:
        self._adults: dict[Word, AdultFacts] = {}
        self._by_identity: dict[int, AdultFacts] = {}
        self._kept: dict[PairFacts, PairFacts] = {}
        self._parts: dict[Any, Any] = {}

    def pair(self, word: str, target: Word, produced: Word, readings: Readings) -> ExplainedPair:
        """A pair with its facts."""
        adult = self._by_identity.get(id(target))
        if adult is None:
            adult = self._adults.get(target) or AdultFacts(target)
            self._adults[target] = adult
            if adult.target is target:  # which holds its identity
                self._by_identity[id(target)] = adult
        return ExplainedPair(word, target, produced, readings, adult, self._facts(adult, readings))

    def _facts(self, adult: AdultFacts, readings: Readings) -> PairFacts:
        target, first, several = adult.target, readings[0], len(readings) > 1
        phones = target.phones
        sure = _sure(readings) if several else first.uses
        rivalries = tuple(_rivalries(target, readings)) if several else ()
        found = PairFacts(
            tuple([(use.process, phones[t]) for use in sure for t in use.targets]),
            *_changed(first, adult.stood),
            rivalries,
            _choices(readings, phones) if several and not rivalries else (),
            *happened_in(target, first),
        )
        known = self._kept.get(found)
        if known is None:
            one = self._parts.setdefault
            known = PairFacts(*[one(part, part) for part in found])
            self._kept[known] = known
        return known


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


def happened_in(target: Word, reading: Derivation) -> tuple[Happened, tuple[tuple[int, str], ...]]:
    """The kinds of a reading with how often each happened, and its rules, each with its kind."""
    happened: dict[int, int] = {}
    rules: list[tuple[int, str]] = []
    for use in reading.uses:
        process = use.process
        number = kind_number((process, kind_at(target, process, use.targets) if kinds_of(process) else ""))
        happened[number] = happened.get(number, 0) + 1
        rules.append((number, use.rule))
    return tuple(happened.items()), tuple(rules)


def _changed(
    first: Derivation, stood: tuple[Stood, ...]
) -> tuple[tuple[tuple[Stood, frozenset[str]], ...], tuple[Stood, ...]]:
    """Where sounds stood that were changed by a process that has a rival, and sounds that were left off."""
    happened: dict[int, set[str]] = {}
    gone: set[int] = set()
    for use in first.uses:
        if use.process in _WEIGHED:
            for t in use.targets:
                happened.setdefault(t, set()).add(use.process)
        elif use.process.endswith(LEAVES_OFF):
            gone.update(use.targets)
    changed = tuple([(stood[t], frozenset(names)) for t, names in happened.items() if t not in gone])
    return changed, tuple([stood[t] for t in gone])


def _sure(readings: Readings) -> list[Use]:
    """Changes of the first reading of which every other one has the process."""
    best, *others = readings
    named = [frozenset(reading.names) for reading in others]
    return [use for use in best.uses if all([use.process in names for names in named])]


def _choices(readings: Readings, phones: Sequence[str]) -> tuple[Choice, ...]:
    """The readings of no more steps than the first, with what not all of them have.

    A reading with a step more is no rival: an affricate said as a stop is stopping, however often the child deaffricates
    elsewhere (process conventions 3).
    """
    first = readings[0]
    eligible = [
        (number, reading) for number, reading in enumerate(readings) if len(reading.uses) <= len(first.uses)
    ]
    shared = frozenset.intersection(*[frozenset(reading.names) for _, reading in eligible])
    out: list[Choice] = []
    for number, reading in eligible:
        own = [use for use in reading.uses if use.process not in shared]
        changes = tuple([(use.process, phones[t]) for use in own for t in use.targets])
        out.append(Choice(number, changes, max(len(own), 1)))
    return tuple(out)


def _rivalries(target: Word, readings: Readings) -> Iterator[Rivalry]:
    """Those of a sound that the assimilation takes where there is a trigger: of another, words cannot tell the two apart."""
    if not any(use.process in WITHOUT_TRIGGER for reading in readings for use in reading.uses):
        return
    first = readings[0]
    for number, other in enumerate(readings[1:], 1):
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


Named = Counter[tuple[str, tuple[int, ...]]]


def _apart(one: Derivation, other: Derivation) -> tuple[Named, Named]:
    """Processes with their sounds that one reading has and the other has not, both ways."""
    mine = Counter((use.process, use.targets) for use in one.uses)
    others = Counter((use.process, use.targets) for use in other.uses)
    return mine - others, others - mine
