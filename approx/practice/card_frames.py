"""Frames to print with a child's word cards: those whose open slot takes some of the words, easiest to say first."""

from __future__ import annotations

import re
from collections.abc import Sequence

from approx.lexicon.spelling import base_language
from approx.practice.kinds import Thing
from approx.practice.listening_frames import LANGUAGES, thing
from approx.practice.recipes import Recipe, frames
from approx.practice.suggest import Suggester
from approx.practice.words_in import targets_in_list

SLOT = re.compile(r"\s*_{2,}\s*|\s*…\s*|\s*\.{3}\s*")
"""How an open slot is typed: two lines or more, or three dots."""


def is_frame(text: str) -> bool:
    """Whether a typed phrase has an open slot."""
    return SLOT.search(text) is not None


def frames_for(suggester: Suggester, words: Sequence[str], most: int = 3) -> tuple[str, ...]:
    """Up to `most` frames ("more ___") that make sense with a word of the list; () in a language without frames.

    Those come first whose fixed words cost this child least, then those that take more of the words.
    """
    language = suggester.language
    if base_language(language) not in LANGUAGES:
        return ()
    known = [found for word in words if (found := thing(word, language)) is not None]
    things = [Thing(word.word, word.part, word.category) for word in known]
    ranked = []
    for recipe in frames(language):
        takes = sum(recipe.fits("slot", each, language) for each in things)
        cost = _cost(suggester, recipe)
        if takes and cost is not None:
            ranked.append((cost, -takes, recipe.order, recipe.text))
    return tuple(text for *_, text in sorted(ranked)[:most])


def _cost(suggester: Suggester, recipe: Recipe) -> float | None:
    """How far today's forms of the fixed words are from the adult ones; None where one is not sayable at all."""
    rows = [(word, "", 1) for word in recipe.fixed]
    targets, _ = targets_in_list(rows, suggester.language, suggester.profile, "")
    found, _ = suggester.suggestions(targets)
    if any(not word.approximations for word in found):
        return None
    return round(sum(word.approximations[0].cost for word in found), 2)
