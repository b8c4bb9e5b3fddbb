"""The adult sentence of a frame or relation from its pattern: "{the} [is|are] up." with hat is "The hat is up."."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from approx.practice.english_clause import Clause, clause_words
from approx.practice.english_nouns import NounGroup, group_words
from approx.practice.phrase_words import SceneWord, bank

_HOLE = re.compile(r"\{([a-z]+)(?::([a-z]+))?\}|\[([^|\]]*)\|([^\]]*)\]")


def filled(
    pattern: str, filler: SceneWord | None, roles: Mapping[str, SceneWord] | None = None, *, eaten: bool = False
) -> str:
    """A pattern with its filler in place.

    {the} {a} {plain}: the filler with that article; {noun}: in its number, without article; {a:big}: with a
    describing word; {agent}, {ing}: other roles. [is|are] agrees with the filler. `eaten`: chicken and fish are
    food here, not animals.
    """
    roles = roles or {}
    group = NounGroup(filler, as_object=eaten) if filler else None
    plural = group.full("the").is_plural if group else False

    def put(match: re.Match[str]) -> str:
        article, adjective, one, many = match.groups()
        if one is not None:
            return many if plural else one
        if article == "agent":
            return _text(NounGroup(roles["agent"]).full("the"))
        if article == "ing":
            return _text_of(Clause(verb=roles["action"], marking="ing"))
        assert group is not None
        word = bank("en").find(adjective, "adjective") if adjective else None
        made = group.full("the" if article == "noun" else article)
        return _text(replace(made, article="" if article == "noun" else article, adjective=word))

    text = _HOLE.sub(put, pattern)
    return text[:1].upper() + text[1:]


def is_plural(filler: SceneWord) -> bool:
    """Whether a filler stands in the plural in an adult sentence."""
    return NounGroup(filler).full("the").is_plural


def _text(group: NounGroup) -> str:
    return " ".join(word.text for word in group_words(group))


def _text_of(clause: Clause) -> str:
    return " ".join(word.text for word in clause_words(clause))
