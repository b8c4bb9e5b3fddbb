"""The full sentence an adult says for a telegraphic phrase: "Bo eat pea" is "Bo is eating the peas."."""

from __future__ import annotations

from approx.lexicon.spelling import base_language
from approx.practice.grammar.phrase_words import Vocabulary
from approx.practice.grammar.recipes import in_frame, set_phrase
from approx.problems import Problem


def adult_sentence(
    telegraphic: str, language: str = "en-US", vocabulary: Vocabulary | None = None
) -> tuple[str, tuple[Problem, ...]]:
    """The adult sentence, or "" and a problem where the phrase is not of a kind known here.

    A set phrase ("all done") has its own; one that fills a frame ("more pea") takes the sentence of that frame, others that
    of their roles.
    """
    whole = set_phrase(telegraphic, language)
    if whole is not None:
        return whole.adult, ()
    if base_language(language) == "es":
        from approx.practice.grammar.es.sentence import spanish_sentence

        return spanish_sentence(telegraphic, vocabulary)
    from approx.practice.grammar.en.clause import clause_words, filled, full, is_plural, sentence
    from approx.practice.grammar.en.reader import read_clause

    framed = in_frame(telegraphic, language, vocabulary)
    clause, problems = (None, ()) if framed is not None else read_clause(telegraphic, vocabulary)
    if clause is None:
        framed = framed or in_frame(telegraphic, language, vocabulary, strict=False)
        if framed is None:
            return "", problems
        recipe, filler = framed
        return filled(recipe.adult_plural if is_plural(filler) else recipe.adult, filler, eaten=recipe.of_stuff), ()
    return sentence(clause_words(full(clause))), problems
