"""Pairs of adult form and production with their good readings, and what of these is counted.

A long sample has a quarter of a million different pairs: they stand in columns, by number, and what is alike in them is one
object. What a pair adds to its sample is looked up by its adult form and its readings, of which there are far fewer.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from typing import NamedTuple, overload

from approx.ipa.word import Word, write
from approx.processes.explain.adult_facts import WEIGHED, AdultFacts, NumberedAdds, NumberedItems
from approx.processes.explain.derivation import Derivation, GoodReadings, Use
from approx.processes.explain.opportunities import LEAVES_OFF
from approx.processes.explain.weighing import NOTHING_OPEN, NOTHING_WEIGHED, Weighing, open_between, weighing_in
from approx.scoring.alignment.align import MANY

MANY_OF_GROUP = 200
"""Pairs of a group, in a sample of `MANY`, from which on counting them in arrays (`group_arrays`) is over
sooner; a shorter sample loads nothing for that."""
_TOGETHER = 4096
"""Texts that are joined at once."""
Place = tuple[int, frozenset[str]]
"""A sound of an adult form that was left off; or changed, by which processes of those that have a rival."""


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


class CountedReadings:
    """Good readings by number, and what is counted of them, whatever the adult form is.

    Of the first reading: `uses` of processes, and those that are `sure`, being in all readings, both in `NumberedAdds.uses`;
    `places`, each sound once, in `all_places`. `failing`: 1 where it leaves a sound unexplained. `open`:
    what is open between the readings, in `all_open` (0: nothing).
    """

    def __init__(self, uses: NumberedItems[Use]) -> None:
        self.uses, self.sure, self.places, self.open = NumberLists(), NumberLists(), NumberLists(), array("I")
        self.failing = bytearray()
        self.all_places: NumberedItems[Place] = NumberedItems()
        self.all_open = NumberedItems([NOTHING_OPEN])
        self._use_numbers = uses
        self._of_use: dict[int, list[int]] = {}
        self._found: NumberedItems[GoodReadings] = NumberedItems()
        self.all = self._found.all

    def number(self, readings: GoodReadings) -> int:
        """The number of readings, given out as they are met."""
        number = self._found[readings]
        if number == len(self.open):
            self._count(self.all[number])
        return number

    def complete(self) -> None:
        """All readings are there: what was only needed to number them is let go."""
        self._found = NumberedItems()
        self.all_open = NumberedItems([NOTHING_OPEN])

    def _count(self, readings: GoodReadings) -> None:
        first, numbers = readings[0].uses, self._use_numbers
        uses = sure = [numbers[use] for use in first]
        if len(readings) > 1:
            names = [reading.names for reading in readings]
            in_all = frozenset(names[0]).intersection(*names[1:])
            sure = [n for name, n in zip(names[0], uses) if name in in_all]
            self.open.append(self.all_open[open_between(readings, names)])
        else:
            self.open.append(0)
        self.failing.append(bool(readings[0].unexplained))
        self.uses.append(uses)
        self.sure.append(sure)
        self.places.append(self._places(first, uses))

    def _places(self, uses: Sequence[Use], numbers: Sequence[int]) -> list[int]:
        known, found = self._of_use, list[list[int]]()
        for use, number in zip(uses, numbers):
            if number not in known:
                known[number] = [self.all_places[place] for place in _places((use,))]
            if known[number]:
                found.append(known[number])
        if len(found) > 1:
            return [self.all_places[place] for place in _places(uses)]
        return found[0] if found else []


def _places(uses: Sequence[Use]) -> Sequence[Place]:
    """Which sounds were left off, or changed by processes that have a rival."""
    gone = {t for use in uses if use.process.endswith(LEAVES_OFF) for t in use.targets}
    changed: dict[int, frozenset[str]] = {}
    for use in uses:
        if use.process in WEIGHED:
            for t in use.targets:
                if t not in gone:
                    changed[t] = changed.get(t, frozenset()) | {use.process}
    return [(t, frozenset()) for t in gone] + list(changed.items())


class ExplainedPairs(Sequence[ExplainedPair]):
    """Pairs by number, a column for each of what is asked of them, as numbers: a long sample has a quarter of a million, and
    objects of each would lie all over the memory.

    `forms`: word and adult form, in `words` and `adults`. `readings`: in `counted`. `weighings`: what a sample decides, in
    `all_weighings` (0: nothing).
    """

    def __init__(self, size: int = 0) -> None:
        """`size`: so many pairs will be `put`; of others the number is given out as they are added."""
        self.forms, self.readings, self.weighings = self._columns = [array("I", bytes(4 * size)) for _ in range(3)]
        self.words: list[str] = []
        """The word of each form, as it is shown: its adult form where it has no gloss."""
        self.glosses: list[str] = []
        self.adults: list[AdultFacts] = []
        self.numbered = NumberedAdds()
        self.counted = CountedReadings(self.numbered.uses)
        self.all_weighings: NumberedItems[Weighing] = NumberedItems([NOTHING_WEIGHED])
        self._productions = _Texts(size)
        self._forms: dict[tuple[str, AdultFacts], int] = {}
        self._adults: dict[tuple[Word, str], AdultFacts] = {}
        self._by_identity: dict[int, AdultFacts] = {}

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

    def productions(self, numbers: Iterable[int]) -> list[str]:
        """How each of some pairs was said, as it is written."""
        return self._productions.some(numbers)

    def readings_of(self, number: int) -> GoodReadings:
        """The good readings of a pair."""
        return self.counted.all[self.readings[number]]

    def adult(self, number: int) -> AdultFacts:
        """What is counted of the adult form of a pair."""
        return self.adults[self.forms[number]]

    def in_arrays(self, pairs: int) -> bool:
        """True where a group of so many pairs is counted in arrays."""
        return len(self) >= MANY and pairs > MANY_OF_GROUP

    def add(self, word: str, target: Word, produced: Word, readings: GoodReadings, language: str = "en-US") -> int:
        """One pair more; its number."""
        for column in self._columns:
            column.append(0)
        self._productions.longer()
        self.put(len(self) - 1, word, target, produced, self.counted.number(readings), language)
        return len(self) - 1

    def put(self, number: int, word: str, target: Word, produced: Word, readings: int, language: str) -> None:
        """The pair with a number, and what is counted of it. `readings`: their number in `counted`."""
        adult = self._by_identity.get(id(target))
        if adult is None or adult.language != language:
            adult = self._adult(target, language)
        form = self._forms.get((word, adult))
        if form is None:
            form = self._forms[word, adult] = len(self.adults)
            self.adults.append(adult)
            self.words.append(word or adult.ipa)
            self.glosses.append(word)
        self.forms[number], self.readings[number] = form, readings
        self._productions[number] = (
            produced.ipa if produced.edges else write(produced.phones, produced.starts, produced.stress)
        )
        if found := self.counted.open[readings]:
            self.weighings[number] = self._weighing(adult, found)

    def complete(self) -> None:
        """All pairs are there: what was only needed to put them in is let go."""
        self.counted.complete()
        self._productions.join()

    def rules(self, number: int) -> list[int]:
        """The rules of the first reading of a pair, in `NumberedAdds.rules`."""
        adds = self.adult(number).adds
        return [adds[use].rule for use in self.counted.uses[self.readings[number]]]

    def rules_of(self, number: int, reading: Derivation) -> list[int]:
        """The rules of one reading of a pair, in `NumberedAdds.rules`."""
        adds, uses = self.adult(number).adds, self.numbered.uses
        return [adds[uses[use]].rule for use in reading.uses]

    def _adult(self, target: Word, language: str) -> AdultFacts:
        key = target, language
        adult = self._adults.get(key)
        if adult is None:
            adult = self._adults[key] = AdultFacts(len(self._adults), target, self.numbered, language)
        if adult.target is target:  # which holds its identity
            self._by_identity[id(target)] = adult
        return adult

    def _weighing(self, adult: AdultFacts, found: int) -> int:
        found_open = self.counted.all_open.all[found]
        return self.all_weighings[weighing_in(found_open, adult.sounds, self.numbered.changes)]


class NumberLists:
    """Short lists of numbers by number, in one long one."""

    def __init__(self) -> None:
        self.starts, self.all = array("I", [0]), array("I")

    def append(self, items: list[int]) -> None:
        """One list more."""
        self.all.fromlist(items)
        self.starts.append(len(self.all))

    def __getitem__(self, number: int) -> Sequence[int]:
        return self.all[self.starts[number] : self.starts[number + 1]]


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

    def some(self, numbers: Iterable[int]) -> list[str]:
        """Some of them."""
        if self._new:
            self.join()
        text, starts, ends = self._text, self._starts, self._ends
        return [text[starts[number] : ends[number]] for number in numbers]

    def join(self) -> None:
        """Put the new ones to the others."""
        self._text += "".join(self._new)
        self._new.clear()
