"""What a grammar ladder is: rungs of one phrase, and the single additions that are open from a rung."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.phrase_words import SceneWord


@dataclass(frozen=True, slots=True)
class Move:
    """One addition: the step's id, what exactly is added in plain words, and the rung it leads to."""

    step: str
    adds: str
    rung: object


Easiest = Callable[[Sequence[SceneWord]], SceneWord | None]
"""Of some words the one this child says best."""


def best_known(words: Sequence[SceneWord], is_family: Callable[[SceneWord], bool]) -> list[SceneWord]:
    """Those of some doers whom this child knows best: people named for the child, else the family, else any name."""
    own = [word for word in words if word.own and word.part == "name"]
    return own or [word for word in words if is_family(word)] or [word for word in words if word.part == "name"]


class Ladder(Protocol):
    """One phrase on its way to its sentence; rungs are the language's own clauses."""

    start: object
    sentence: str

    def moves(self, rung: object) -> list[Move]:
        """Additions open from a rung towards the sentence; [] at the top."""
        ...

    def sides(self, rungs: Sequence[object]) -> list[tuple[int, Move]]:
        """Side steps: (index of the rung each builds on, the step)."""
        ...

    def words(self, rung: object) -> tuple[SentenceWord, ...]:
        """The words of a rung."""
        ...

    def written(self, rung: object) -> str:
        """The words of a rung as text, a question with its mark."""
        ...
