"""The full Spanish sentence of a telegraphic phrase, of a frame, and of the roles of a relation."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from approx.practice.grammar.es.clause import SpanishClause, SpanishNounGroup, clause_words, full, group_words, sentence
from approx.practice.grammar.es.forms import agreeing, plural, verb_form
from approx.practice.grammar.es.reader import read_spanish_clause
from approx.practice.grammar.kinds import is_of, verbs
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary
from approx.practice.grammar.recipes import Recipe, in_frame, preposition_of
from approx.problems import Problem

_HOLE = re.compile(r"\{([a-z_]+)\}|\[([^|\]]*)\|([^\]]*)\]|<([^>]+)>")


def spanish_sentence(telegraphic: str, vocabulary: Vocabulary | None = None) -> tuple[str, tuple[Problem, ...]]:
    """The adult sentence, or "" and a problem where the phrase is not of a kind known here."""
    framed = in_frame(telegraphic, "es", vocabulary)
    clause, problems = read_spanish_clause(telegraphic, vocabulary)
    if framed is not None and not (clause is not None and clause.predicate):
        recipe, filler = framed
        many = SpanishNounGroup(filler).full("el").is_plural
        return filled(recipe.adult_plural if many else recipe.adult, filler), ()
    if clause is None:
        return "", problems
    return sentence(clause_words(full(clause))), problems


def filled(pattern: str, filler: SceneWord | None, roles: Mapping[str, SceneWord] | None = None) -> str:
    """A pattern with its filler: {el} {un} {nombre} {varios} {a_el}, [está|están], <otro>, {haciendo}."""
    group = SpanishNounGroup(filler) if filler else None
    many = group.full("el").is_plural if group else False

    def put(match: re.Match[str]) -> str:
        hole, one, more, agrees = match.groups()
        if agrees is not None:
            return agreeing(agrees, group.feminine if group else False, many)
        if one is not None:
            return more if many else one
        if hole == "haciendo":
            verb = (roles or {})["action"].word
            se = "se " if verbs("es")[verb].se == "yes" else ""
            return f"{se}está {verb_form(verb, 'gerund')}"
        if group is None or filler is None:
            raise ValueError(f"nothing fills {match[0]}")
        personal = hole == "a_el" and is_of(filler.thing, ("person",), "es")
        if hole == "varios":
            return " ".join(word.text for word in group_words(replace(group.full("plain"), numbered=True)))
        article = {"nombre": "plain", "a_el": "el"}.get(hole, hole)
        text = " ".join(word.text for word in group_words(group.full(article)))
        return re.sub(r"^a el ", "al ", f"a {text}") if personal else text

    text = _HOLE.sub(put, pattern)
    return re.sub(r"^([¿¡]?)(\w)", lambda found: found[1] + found[2].upper(), text)


class SpanishGrammar:
    """Spanish: the verb of a telegraphic phrase stands as él, ella says it; a describing word agrees from the first."""

    def fixed(self, word: str, fill: Mapping[str, SceneWord]) -> str:
        """A fixed word of a recipe; between angle brackets, it agrees with what fills the slot."""
        if not word.startswith("<"):
            return word
        filler = next(iter(fill.values()), None)
        return agreeing(word.strip("<>"), SpanishNounGroup(filler).feminine if filler else False, False)

    def telegraphic(self, recipe: Recipe, role: str, fill: Mapping[str, SceneWord]) -> str:
        """How a role is said in a phrase without endings."""
        word = fill[role]
        if word.part == "verb":
            return verb_form(word.word, "command" if _is_asked_for(recipe) else "third")
        if role == "attribute" and "entity" in fill:
            thing = SpanishNounGroup(fill["entity"])
            return agreeing(word.word, thing.feminine, thing.is_plural)
        return plural(word.word) if recipe.plural else word.word

    def filled(self, pattern: str, filler: SceneWord) -> str:
        """A pattern of a frame with its filler, in small letters at the start."""
        text = filled(pattern, filler)
        return text[:1].lower() + text[1:]

    def sentence(self, recipe: Recipe, fill: Mapping[str, SceneWord]) -> str:
        """The adult sentence of a filled recipe."""
        if recipe.adult != "clause":
            filler = next((fill[role] for role in ("slot", "entity") if role in fill), None)
            many = filler is not None and SpanishNounGroup(filler).full("el").is_plural
            return filled(recipe.adult_plural if many else recipe.adult, filler, fill)
        clause = replace(clause_of(fill), command=_is_asked_for(recipe))
        return sentence(clause_words(full(clause)))


def _is_asked_for(recipe: Recipe) -> bool:
    """An action that nobody is named for is asked for: pon, come."""
    return "action" in recipe.roles and "agent" not in recipe.roles and not recipe.fixed


def clause_of(fill: Mapping[str, SceneWord]) -> SpanishClause:
    """The clause of filled roles."""
    place, action = fill.get("place"), fill.get("action")
    preposition = ""
    if place is not None:
        table = verbs("es").get(action.word) if action else None
        preposition = table.preposition(place.thing) if table else ""
        preposition = preposition or preposition_of(place.thing, "es", motion=action is not None)
    there = SpanishNounGroup(place) if place else None
    doer = fill.get("agent") or (fill.get("entity") if place is not None or "attribute" in fill else None)
    thing = fill.get("object") or (fill.get("entity") if doer is None else None)
    owner = fill.get("possessor")
    return SpanishClause(
        SpanishNounGroup(doer) if doer else None, action.word if action else "", SpanishNounGroup(thing, owner=owner) if thing else None,
        preposition, there, predicate=fill.get("attribute"),
    )  # fmt: skip
