"""The full sentence an adult says for a telegraphic phrase ("Bo eat pea" is "Bo is eating the peas."), and what a phrase maker
asks of a language's grammar to write both.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from approx.lexicon.spelling import base_language
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary
from approx.practice.grammar.recipes import Recipe, in_frame, set_phrase
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
