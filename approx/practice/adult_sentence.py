"""The full sentence an adult says for a telegraphic phrase: "Bo eat pea" is "Bo is eating the peas."."""

from __future__ import annotations

from approx.lexicon.phrase import OUTER
from approx.lexicon.spelling import base_language
from approx.practice.phrase_words import SceneWord, Vocabulary, bank, compound_of
from approx.practice.recipes import Recipe, frames
from approx.problems import Problem


def adult_sentence(
    telegraphic: str, language: str = "en-US", vocabulary: Vocabulary | None = None
) -> tuple[str, tuple[Problem, ...]]:
    """The adult sentence, or "" and a problem where the phrase is not of a kind known here.

    A phrase that fills a frame ("more pea") takes the sentence of that frame, others that of their roles.
    """
    if base_language(language) == "es":
        from approx.practice.spanish_sentence import spanish_sentence

        return spanish_sentence(telegraphic, vocabulary)
    from approx.practice.english_clause import clause_words, full, sentence
    from approx.practice.english_pattern import filled, is_plural
    from approx.practice.telegraph_reader import read_clause

    framed = in_frame(telegraphic, language, vocabulary)
    clause, problems = (None, ()) if framed is not None else read_clause(telegraphic, vocabulary)
    if clause is None:
        framed = framed or in_frame(telegraphic, language, vocabulary, strict=False)
        if framed is None:
            return "", problems
        recipe, filler = framed
        return filled(recipe.adult_plural if is_plural(filler) else recipe.adult, filler, eaten=recipe.of_stuff), ()
    return sentence(clause_words(full(clause))), problems


def in_frame(
    telegraphic: str, language: str, vocabulary: Vocabulary | None = None, *, strict: bool = True
) -> tuple[Recipe, SceneWord] | None:
    """The frame a phrase fills and its filler, if the filler is a thing or person that makes sense there.

    `strict=False` takes any thing or person: what was typed is meant.
    """
    tokens = [token.strip(OUTER) for token in telegraphic.split()]
    sources = [source for source in (vocabulary, bank(language)) if source is not None]
    for recipe in frames(language):
        at = recipe.parts.index("slot")
        head, tail = at, len(recipe.parts) - at - 1
        inner = tokens[head : len(tokens) - tail]
        fixed = [*tokens[:head], *tokens[len(tokens) - tail :]] if tail else tokens[:head]
        if not inner or tuple(word.lower() for word in fixed) != tuple(word.lower() for word in recipe.fixed):
            continue
        spelled = " ".join(inner)
        found = compound_of(spelled, language) or next(
            (word for source in sources if (word := source.find(spelled, "noun", "name"))), None
        )
        if found is not None and (not strict or recipe.fits("slot", found.thing, language)):
            return recipe, found
    return None
