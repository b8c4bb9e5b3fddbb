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


class ReadingsFound(dict[GoodReadings, int]):
    """Readings by number, given out as they are met; each is held once, in `all`, and so each use of a process."""

    def __init__(self) -> None:
        super().__init__()
        self.all: list[GoodReadings] = []
        self._uses: dict[Use, Use] = {}
        self._costs: dict[float, float] = {}

    def __missing__(self, readings: GoodReadings) -> int:
        uses, costs = self._uses, self._costs
        found = tuple(
            [
                Derivation(
                    tuple([uses.setdefault(use, use) for use in each.uses]),
                    each.steps,
                    each.unexplained,
                    costs.setdefault(each.cost, each.cost),
                )
                for each in readings
            ]
        )
        number = self[found] = len(self.all)
        self.all.append(found)
        return number

    def kept(self, readings: GoodReadings) -> GoodReadings:
        """Readings equal to these, as the objects first met."""
        return self.all[self[readings]]


@dataclass(frozen=True, slots=True)
class Explanation:
    """The first reading of a pair and others that are nearly as good; `target`: the adult form it was explained from."""

    target: Word
    produced: Word
    best: Derivation
    readings: tuple[Derivation, ...] = ()
