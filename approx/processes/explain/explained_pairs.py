"""Pairs of adult form and production with their good readings, and between which of these a sample may decide.

A long sample has a quarter of a million different pairs: they stand in columns, by number, and what is alike in them is one
object.
"""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple, overload

from approx.ipa.word import Word
from approx.processes.explain.adult_facts import WITHOUT_TRIGGER, AdultFacts, ChangedSound, NumberedAdds
from approx.processes.explain.derivation import Derivation, Readings
from approx.processes.explain.opportunities import chances

Rivals = tuple[str, str]
"""An assimilation, and the name of the same change without a trigger."""
Rivalry = tuple[int, Rivals, int]
"""Number of another reading that differs from the first in that a change has, or has not, a trigger; and the sound changed."""


class Choice(NamedTuple):
    """A reading that a sample may bear out better than the first: its number, the changes that not all of them have, and
    in how many processes these are."""

    number: int
    own: tuple[ChangedSound, ...]
    processes: int


class Weighing(NamedTuple):
    """Between which readings of a pair a sample may decide."""

    rivalries: tuple[Rivalry, ...]
    choices: tuple[Choice, ...]
    """What is weighed where nothing is a rivalry."""


class ExplainedPair(NamedTuple):
    """A word, its adult form and how it was said, with the good readings."""

    word: str
    target: Word
    produced: Word
    readings: Readings

    @property
    def shown(self) -> str:
        """The word, or its adult form where it has no gloss."""
        return self.word or self.target.ipa


_NOTHING = Word((), (), ())


class ExplainedPairs(Sequence[ExplainedPair]):
    """Pairs by number. Columns: `forms`, the number of word and adult form; `produced`; `readings`; `adds`, the number of
    what a token adds by its first reading; `weighings`, the number of what a sample decides (0: nothing)."""

    def __init__(self, size: int = 0) -> None:
        """`size`: so many pairs will be `put`; of others the number is given out as they are added."""
        self.forms, self.adds, self.weighings = (array("I", bytes(4 * size)) for _ in range(3))
        self.produced, self.readings = [_NOTHING] * size, [Readings()] * size
        self.words: list[str] = []
        """The word of each form, as it is shown: its adult form where it has no gloss."""
        self.adults: list[AdultFacts] = []
        """The adult form of each form."""
        self.numbered = NumberedAdds()
        self.weighed: list[Weighing] = [Weighing((), ())]
        self.failing: set[int] = set()
        """Pairs with a reading that leaves a sound unexplained."""
        self._glosses: list[str] = []
        self._forms: dict[tuple[str, AdultFacts], int] = {}
        self._adults: dict[Word, AdultFacts] = {}
        self._by_identity: dict[int, AdultFacts] = {}
        self._weighing_numbers: dict[Weighing, int] = {self.weighed[0]: 0}

    def __len__(self) -> int:
        return len(self.readings)

    @overload
    def __getitem__(self, number: int) -> ExplainedPair: ...
    @overload
    def __getitem__(self, number: slice) -> Sequence[ExplainedPair]: ...
    def __getitem__(self, number: int | slice) -> ExplainedPair | Sequence[ExplainedPair]:
        if isinstance(number, slice):
            return [self[each] for each in range(*number.indices(len(self)))]
        form = self.forms[number]
        return ExplainedPair(
            self._glosses[form], self.adults[form].target, self.produced[number], self.readings[number]
        )

    def add(self, word: str, target: Word, produced: Word, readings: Readings) -> int:
        """One pair more; its number."""
        for column in (self.forms, self.adds, self.weighings):
            column.append(0)
        self.produced.append(_NOTHING)
        self.readings.append(())
        self.put(len(self) - 1, word, target, produced, readings)
        return len(self) - 1

    def put(self, number: int, word: str, target: Word, produced: Word, readings: Readings) -> None:
        """The pair with a number, and what is counted of it."""
        adult = self._by_identity.get(id(target)) or self._adult(target)
        form = self._forms.get((word, adult))
        if form is None:
            form = self._forms[word, adult] = len(self.adults)
            self.adults.append(adult)
            self.words.append(word or adult.ipa)
            self._glosses.append(word)
        self.forms[number], self.produced[number], self.readings[number] = form, produced, readings
        adds = adult.uses.all(readings[0].uses)
        if len(readings) > 1:
            adds = self.numbered.with_sure(adds, _sure(readings, target.phones))
            self.weighings[number] = self._weighing(target, readings)
        self.adds[number] = adds
        for reading in readings:
            if reading.unexplained:
                self.failing.add(number)

    def _adult(self, target: Word) -> AdultFacts:
        adult = self._adults.get(target)
        if adult is None:
            adult = self._adults[target] = AdultFacts(target, self.numbered)
        if adult.target is target:  # which holds its identity
            self._by_identity[id(target)] = adult
        return adult

    def _weighing(self, target: Word, readings: Readings) -> int:
        rivalries = tuple(_rivalries(target, readings))
        weighing = Weighing(rivalries, () if rivalries else _choices(readings, target.phones))
        found = self._weighing_numbers.get(weighing)
        if found is None:
            found = self._weighing_numbers[weighing] = len(self.weighed)
            self.weighed.append(weighing)
        return found


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
    here = first.names
    for number, other in enumerate(readings[1:], 1):
        there = other.names
        if not _any_rivals(here, there) and not _any_rivals(there, here):
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
