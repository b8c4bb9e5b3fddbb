"""Phrases that fill a frame: "more pea" is the frame "more ..." with a thing in its open slot."""

from __future__ import annotations

from approx.lexicon.phrase import OUTER
from approx.practice.grammar.number import singulars
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary, bank, compound_of
from approx.practice.grammar.recipes import Recipe, frames


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
            (
                word
                for form in (spelled, *singulars(spelled, language))
                for source in sources
                if (word := source.find(form, "noun", "name"))
            ),
            None,
        )
        if found is not None and (not strict or recipe.fits("slot", found.thing, language)):
            return recipe, found
    return None
