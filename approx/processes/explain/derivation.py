"""What an explanation is made of: processes used, one reading of a pair, and the readings of a pair."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from approx.ipa.word import Word


class Use(NamedTuple):
    """One process found: its rule, and the adult sounds it took (0-based)."""

    process: str
    rule: str
    targets: tuple[int, ...]
    kind: str = ""


@lru_cache(maxsize=1 << 16)
def shared_use(process: str, rule: str, targets: tuple[int, ...], kind: str = "") -> Use:
    """A use of a process; equal ones are one object, for a long sample has few different ones, each many times."""
    return Use(process, rule, targets, kind)


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


@dataclass(frozen=True, slots=True)
class Explanation:
    """The first reading of a pair and others that are nearly as good; `target`: the adult form it was explained from."""

    target: Word
    produced: Word
    best: Derivation
    readings: tuple[Derivation, ...] = ()
