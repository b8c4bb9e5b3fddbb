"""The grammar ladder of a phrase in its language: where to begin, and which single additions are open from a rung."""

from __future__ import annotations

from approx.lexicon.spelling import base_language
from approx.practice.grammar.moves import Easiest, Ladder
from approx.practice.grammar.phrase_words import Vocabulary
from approx.problems import Problem


def ladder_of(
    text: str, language: str, vocabulary: Vocabulary | None, easiest: Easiest
) -> tuple[Ladder | None, tuple[Problem, ...]]:
    """The ladder of a phrase in its language; None with a problem where the phrase cannot be read."""
    if base_language(language) == "es":
        from approx.practice.grammar.es.steps import spanish_ladder

        return spanish_ladder(text, vocabulary, easiest)
    from approx.practice.grammar.en.steps import english_ladder

    return english_ladder(text, vocabulary, easiest)
