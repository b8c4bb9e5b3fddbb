"""What an explanation is made of: processes used, one reading of a pair, and the readings of a pair."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from approx.ipa.word import Word


class Use(NamedTuple):
    """One process found: its rule, and the adult sounds it took (0-based)."""

    process: str
    rule: str
    targets: tuple[int, ...]
    kind: str = ""


class Derivation(NamedTuple):
    """One reading of a pair: processes in order, steps as forms, and adult sounds whose change no rule reaches.

    `steps`: (rule, form before, form after); left out where many pairs are explained at once.
    """

    uses: tuple[Use, ...]
    steps: tuple[tuple[str, str, str], ...]
    unexplained: tuple[int, ...]
    cost: float

    @property
    def names(self) -> tuple[str, ...]:
        """Processes in the order of use."""
        return tuple([use.process for use in self.uses])


GoodReadings = tuple[Derivation, ...]
"""The first reading, then the other good ones."""


class ReadingsFound:
    """Readings met so far, each held once, by number; and so each derivation, and each use of a process."""

    def __init__(self) -> None:
        self.all: list[GoodReadings] = []
        self._numbers: dict[GoodReadings, int] = {}
        self._derivations: dict[Derivation, Derivation] = {}
        self._uses: dict[Use, Use] = {}
        self._costs: dict[float, float] = {}

    def number(self, readings: GoodReadings) -> int:
        """The number of readings, given out as they are met."""
        number = self._numbers.get(readings)
        if number is None:
            found = tuple([self._derivations.get(each) or self._new(each) for each in readings])
            number = self._numbers[found] = len(self.all)
            self.all.append(found)
        return number

    def kept(self, readings: GoodReadings) -> GoodReadings:
        """The same readings, as the objects first met."""
        return self.all[self.number(readings)]

    def _new(self, reading: Derivation) -> Derivation:
        uses = tuple([self._uses.setdefault(use, use) for use in reading.uses])
        cost = self._costs.setdefault(reading.cost, reading.cost)
        found = self._derivations[reading] = Derivation(uses, reading.steps, reading.unexplained, cost)
        return found


@dataclass(frozen=True, slots=True)
class Explanation:
    """The first reading of a pair and others that are nearly as good; `target`: the adult form it was explained from."""

    target: Word
    produced: Word
    best: Derivation
    readings: tuple[Derivation, ...] = ()
