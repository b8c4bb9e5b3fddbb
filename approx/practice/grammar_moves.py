"""What a grammar ladder asks of a language: where to begin, and which single additions are open from a rung."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from approx.lexicon.spelling import base_language
from approx.practice.english_nouns import Said
from approx.practice.phrase_words import SceneWord, Vocabulary
from approx.problems import Problem


@dataclass(frozen=True, slots=True)
class Move:
    """One addition: the step's id, what exactly is added in plain words, and the rung it leads to."""

    step: str
    adds: str
    rung: object


Easiest = Callable[[Sequence[SceneWord]], SceneWord | None]
"""Of some words the one this child says best."""


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

    def words(self, rung: object) -> tuple[Said, ...]:
        """The words of a rung."""
        ...

    def written(self, rung: object) -> str:
        """The same as text, a question with its mark."""
        ...


def ladder_of(
    text: str, language: str, vocabulary: Vocabulary | None, easiest: Easiest
) -> tuple[Ladder | None, tuple[Problem, ...]]:
    """The ladder of a phrase in its language; None with a problem where the phrase cannot be read."""
    if base_language(language) == "es":
        from approx.practice.spanish_steps import spanish_ladder

        return spanish_ladder(text, vocabulary, easiest)
    from approx.practice.english_steps import english_ladder

    return english_ladder(text, vocabulary, easiest)
