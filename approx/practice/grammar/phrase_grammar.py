"""The grammar a phrase maker asks of a language: the telegraphic word of a role, and the adult sentence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from approx.lexicon.spelling import base_language
from approx.practice.grammar.phrase_words import SceneWord
from approx.practice.grammar.recipes import Recipe


class Grammar(Protocol):
    """What every language gives."""

    def fixed(self, word: str, fill: Mapping[str, SceneWord]) -> str:
        """A fixed word beside these fillers (Spanish: otro, otra)."""
        ...

    def telegraphic(self, recipe: Recipe, role: str, fill: Mapping[str, SceneWord]) -> str:
        """How the filler of a role is written in a telegraphic phrase."""
        ...

    def filled(self, pattern: str, filler: SceneWord) -> str:
        """A pattern of a frame with its filler, in small letters at the start."""
        ...

    def sentence(self, recipe: Recipe, fill: Mapping[str, SceneWord]) -> str:
        """The adult sentence."""
        ...


def grammar_of(language: str) -> Grammar:
    """The grammar of a language with phrases."""
    if base_language(language) == "es":
        from approx.practice.grammar.es.sentence import SpanishGrammar

        return SpanishGrammar()
    return EnglishGrammar()


class EnglishGrammar:
    """English: telegraphic words are plain; sentences from patterns or from the clause of the roles."""

    def fixed(self, word: str, fill: Mapping[str, SceneWord]) -> str:
        """A fixed word of a recipe."""
        return word

    def telegraphic(self, recipe: Recipe, role: str, fill: Mapping[str, SceneWord]) -> str:
        """How a role is said in a phrase without endings."""
        from approx.practice.grammar.en.nouns import shown_noun

        word = fill[role]
        return shown_noun(word) if word.part in ("noun", "name") else word.word

    def filled(self, pattern: str, filler: SceneWord) -> str:
        """A pattern of a frame with its filler, in small letters at the start."""
        from approx.practice.grammar.en.clause import filled

        text = filled(pattern, filler)
        return text if text.startswith("I ") else text[:1].lower() + text[1:]

    def sentence(self, recipe: Recipe, fill: Mapping[str, SceneWord]) -> str:
        """The adult sentence of a filled recipe."""
        from approx.practice.grammar.en.clause import Clause, clause_words, filled, full, is_plural, sentence
        from approx.practice.grammar.en.nouns import NounGroup
        from approx.practice.grammar.kinds import verbs
        from approx.practice.grammar.recipes import preposition_of

        if recipe.adult != "clause":
            filler = next((fill[role] for role in ("slot", "entity", "compound", "object") if role in fill), None)
            many = filler is not None and is_plural(filler)
            return filled(recipe.adult_plural if many else recipe.adult, filler, fill, eaten=recipe.of_stuff)
        place = fill.get("place")
        action = fill.get("action")
        preposition = ""
        if place is not None:
            table = verbs("en").get(action.word) if action else None
            preposition = table.preposition(place.thing) if table else ""
            preposition = preposition or preposition_of(place.thing, "en", motion=action is not None)
        thing = fill.get("object") or (fill.get("entity") if "place" not in fill else None)
        doer = fill.get("agent") or (fill.get("entity") if "place" in fill else None)
        group = NounGroup(thing, owner=fill.get("possessor"), adjective=fill.get("attribute")) if thing else None
        clause = Clause(
            NounGroup(doer) if doer else None, action, group, preposition, NounGroup(place) if place else None
        )
        return sentence(clause_words(full(clause)))
