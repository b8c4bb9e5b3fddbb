"""The grammar ladder of a phrase in its language: where to begin, and which single additions are open from a rung."""

from __future__ import annotations

from approx.lexicon.spelling import base_language
from approx.practice.grammar.adult_sentence import adult_sentence
from approx.practice.grammar.framed import in_frame
from approx.practice.grammar.moves import Easiest, Ladder
from approx.practice.grammar.phrase_grammar import grammar_of
from approx.practice.grammar.phrase_words import Vocabulary
from approx.practice.grammar.set_phrases import WholeLadder, set_phrase
from approx.problems import Problem


def ladder_of(
    text: str, language: str, vocabulary: Vocabulary | None, easiest: Easiest
) -> tuple[Ladder | None, tuple[Problem, ...]]:
    """The ladder of a phrase in its language; None with a problem where the phrase cannot be read.

    A set phrase ("all done") goes by its own rungs. A phrase that makes no clause but fills a frame ("where ball") goes
    by those of the frame; one that is its own sentence ("hi Mama") has none.
    """
    whole = set_phrase(text, language)
    if whole is not None:
        return WholeLadder(text, whole.rungs, whole.adult), ()
    ladder, problems = _of_clause(text, language, vocabulary, easiest)
    if ladder is None and (framed := in_frame(text, language, vocabulary)) is not None:
        recipe, filler = framed
        sentence, _ = adult_sentence(text, language, vocabulary)
        between = [grammar_of(language).filled(rung, filler) for rung in recipe.rungs]
        start = between.pop(0) if recipe.plural else text  # "dos gato" begins as "dos gatos"
        climb = WholeLadder(start, between, sentence)
        if climb.is_flat:
            message = f"'{text[:60]}' takes no further steps here; its full sentence is: {sentence}"
            return None, (Problem("phrases.steps", message, "give a phrase with an action, a thing or a place"),)
        return climb, ()
    return ladder, problems


def _of_clause(
    text: str, language: str, vocabulary: Vocabulary | None, easiest: Easiest
) -> tuple[Ladder | None, tuple[Problem, ...]]:
    if base_language(language) == "es":
        from approx.practice.grammar.es.steps import spanish_ladder

        return spanish_ladder(text, vocabulary, easiest)
    from approx.practice.grammar.en.steps import english_ladder

    return english_ladder(text, vocabulary, easiest)
