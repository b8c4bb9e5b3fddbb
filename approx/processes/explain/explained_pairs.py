"""Pairs of adult form and production with their good readings, and between which of these a sample may decide.

A long sample has a quarter of a million different pairs: they stand in columns, by number, and what is alike in them is one
object.
"""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, overload

from approx.ipa.word import Word, write
from approx.processes.explain.adult_facts import WITHOUT_TRIGGER, AdultFacts, NumberedAdds, NumberedItems
from approx.processes.explain.derivation import Derivation, GoodReadings
from approx.processes.explain.opportunities import chances

MANY_PAIRS, MANY = 3000, 200
"""Pairs of a sample, and of a group of it, from which on counting them in arrays (`group_arrays`) is over sooner; a shorter
sample loads nothing for that."""
_TOGETHER = 4096
"""Texts that are joined at once."""
Rivals = tuple[str, str]
"""An assimilation, and the name of the same change without a trigger."""
Rivalry = tuple[int, Rivals, int]
"""Number of another reading that differs from the first in that a change has, or has not, a trigger; and the sound changed."""


class Choice(NamedTuple):
    """A reading that a sample may bear out better than the first: its number, the changes that not all of them have
    (`NumberedAdds.changes`), and in how many processes these are."""

    number: int
    own: tuple[int, ...]
    processes: int


class Weighing(NamedTuple):
    """Between which readings of a pair a sample may decide."""

    rivalries: tuple[Rivalry, ...]
    choices: tuple[Choice, ...]
    """What is weighed where nothing is a rivalry."""


class ExplainedPair(NamedTuple):
    """A word, its adult form and how it was said, as it is written; with the good readings."""

    word: str
    target: Word
    produced: str
    readings: GoodReadings

    @property
    def shown(self) -> str:
        """The word, or its adult form where it has no gloss."""
        return self.word or self.target.ipa


class ExplainedPairs(Sequence[ExplainedPair]):
    """Pairs by number, a column for each of what is asked of them, as numbers: a long sample has a quarter of a million, and
    objects of each would lie all over the memory.

    `forms`: word and adult form, in `words` and `adults`. `readings`: in `all_readings`. What a token adds by its first
    reading, in `numbered`: `rules`; `sure`, changes that have no other good reading; `lost` and `weighed`, where sounds stood
    that were left off, or changed by a process that has a rival. `weighings`: what a sample decides, in `all_weighings`
    (0: nothing).
    """

    def __init__(self, size: int = 0) -> None:
        """`size`: so many pairs will be `put`; of others the number is given out as they are added."""
        self.forms, self.readings, self.lost, self.weighed, self.weighings = self._columns = [
            array("I", bytes(4 * size)) for _ in range(5)
        ]
        self.rules, self.sure = NumberLists(size), NumberLists(size)
        self.words: list[str] = []
        """The word of each form, as it is shown: its adult form where it has no gloss."""
        self.glosses: list[str] = []
        self.adults: list[AdultFacts] = []
        self.numbered = NumberedAdds()
        self.all_readings: list[GoodReadings] = []
        self.all_weighings: NumberedItems[Weighing] = NumberedItems([Weighing((), ())])
        self.failing: set[int] = set()
        """Pairs with a reading that leaves a sound unexplained."""
        self._productions = _Texts(size)
        self._forms: dict[tuple[str, AdultFacts], int] = {}
        self._adults: dict[Word, AdultFacts] = {}
        self._by_identity: dict[int, AdultFacts] = {}
        self._reading_numbers: dict[int, int] = {}

    def __len__(self) -> int:
        return len(self.forms)

    @overload
    def __getitem__(self, number: int) -> ExplainedPair: ...
    @overload
    def __getitem__(self, number: slice) -> Sequence[ExplainedPair]: ...
    def __getitem__(self, number: int | slice) -> ExplainedPair | Sequence[ExplainedPair]:
        if isinstance(number, slice):
            return [self[each] for each in range(*number.indices(len(self)))]
        form = self.forms[number]
        return ExplainedPair(
            self.glosses[form], self.adults[form].target, self.produced(number), self.readings_of(number)
        )

    def produced(self, number: int) -> str:
        """How a pair was said, as it is written."""
        return self._productions[number]

    def readings_of(self, number: int) -> GoodReadings:
        """The good readings of a pair."""
        return self.all_readings[self.readings[number]]

    def target(self, number: int) -> Word:
        """The adult form of a pair."""
        return self.adults[self.forms[number]].target

    def in_arrays(self, pairs: int) -> bool:
        """True where a group of so many pairs is counted in arrays."""
        return len(self) > MANY_PAIRS and pairs > MANY

    def add(self, word: str, target: Word, produced: Word, readings: GoodReadings) -> int:
        """One pair more; its number."""
        for column in self._columns:
            column.append(0)
        for each in (self.rules, self.sure, self._productions):
            each.longer()
        self.put(len(self) - 1, word, target, produced, readings)
        return len(self) - 1

    def put(self, number: int, word: str, target: Word, produced: Word, readings: GoodReadings) -> None:
        """The pair with a number, and what is counted of it."""
        adult = self._by_identity.get(id(target)) or self._adult(target)
        form = self._forms.get((word, adult))
        if form is None:
            form = self._forms[word, adult] = len(self.adults)
            self.adults.append(adult)
            self.words.append(word or adult.ipa)
            self.glosses.append(word)
        place = self._reading_numbers.get(id(readings))
        if place is None:
            place = self._reading_numbers[id(readings)] = len(self.all_readings)
            self.all_readings.append(readings)  # which holds their identity
        self.forms[number], self.readings[number] = form, place
        self._productions[number] = (
            produced.ipa if produced.edges else write(produced.phones, produced.starts, produced.stress)
        )
        uses, uses_of = readings[0].uses, adult.uses
        adds = [uses_of[use] for use in uses]
        self.rules[number] = [each.rule for each in adds]
        self.lost[number], self.weighed[number] = uses_of.each_once(uses, adds)
        sure = adds
        if len(readings) > 1:
            named = [reading.names for reading in readings[1:]]
            sure = [each for use, each in zip(uses, adds) if all(use.process in names for names in named)]
            self.weighings[number] = self._weighing(target, readings)
        self.sure[number] = [change for each in sure for change in each.changes]
        for reading in readings:
            if reading.unexplained:
                self.failing.add(number)

    def complete(self) -> None:
        """All pairs are there: what was only needed to put them in is let go."""
        self._reading_numbers = {}
        self._productions.join()

    def rules_of(self, number: int, reading: Derivation) -> list[int]:
        """The rules of one of the readings of a pair."""
        uses = self.adults[self.forms[number]].uses
        return [uses[use].rule for use in reading.uses]

    def _adult(self, target: Word) -> AdultFacts:
        adult = self._adults.get(target)
        if adult is None:
            adult = self._adults[target] = AdultFacts(target, self.numbered)
        if adult.target is target:  # which holds its identity
            self._by_identity[id(target)] = adult
        return adult

    def _weighing(self, target: Word, readings: GoodReadings) -> int:
        rivalries = tuple(_rivalries(target, readings))
        return self.all_weighings[Weighing(rivalries, () if rivalries else self._choices(readings, target.phones))]

    def _choices(self, readings: GoodReadings, phones: Sequence[str]) -> tuple[Choice, ...]:
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
            changes = tuple([self.numbered.changes[use.process, phones[t]] for use in own for t in use.targets])
            out.append(Choice(number, changes, max(len(own), 1)))
        return tuple(out)


class NumberLists:
    """Short lists of numbers by number, in one long one."""

    def __init__(self, size: int) -> None:
        self.starts, self.ends, self.all = array("I", bytes(4 * size)), array("I", bytes(4 * size)), array("I")

    def longer(self) -> None:
        """Room for one more."""
        self.starts.append(0)
        self.ends.append(0)

    def __setitem__(self, number: int, items: list[int]) -> None:
        self.starts[number] = len(self.all)
        self.all.fromlist(items)
        self.ends[number] = len(self.all)

    def of(self, numbers: Iterable[int]) -> Iterator[Sequence[int]]:
        """The lists of some numbers."""
        starts, ends, every = self.starts, self.ends, self.all
        for number in numbers:
            yield every[starts[number] : ends[number]]


class _Texts:
    """Short texts by number, in few long ones."""

    def __init__(self, size: int) -> None:
        self._starts, self._ends = (array("I", bytes(4 * size)) for _ in range(2))
        self._text, self._new, self._long = "", list[str](), 0

    def longer(self) -> None:
        """Room for one more."""
        self._starts.append(0)
        self._ends.append(0)

    def __setitem__(self, number: int, text: str) -> None:
        self._starts[number] = self._long
        self._long += len(text)
        self._ends[number] = self._long
        self._new.append(text)
        if len(self._new) > _TOGETHER:
            self._new = ["".join(self._new)]

    def __getitem__(self, number: int) -> str:
        if self._new:
            self.join()
        return self._text[self._starts[number] : self._ends[number]]

    def join(self) -> None:
        """Put the new ones to the others."""
        self._text += "".join(self._new)
        self._new.clear()


def _rivalries(target: Word, readings: GoodReadings) -> Iterator[Rivalry]:
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
    for process in processes:
        for name in WITHOUT_TRIGGER.get(process, ()):
            if name in others:
                return True
    return False


Named = Counter[tuple[str, tuple[int, ...]]]


def _apart(one: Derivation, other: Derivation) -> tuple[Named, Named]:
    """Processes with their sounds that one reading has and the other has not, both ways."""
    mine = Counter((use.process, use.targets) for use in one.uses)
    others = Counter((use.process, use.targets) for use in other.uses)
    return mine - others, others - mine
