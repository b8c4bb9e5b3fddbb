"""A telegraphic Spanish phrase read as roles: "mamá come pan" is agent, action and object."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from approx.lexicon.reading import OUTER, pronunciations
from approx.practice.grammar.es.clause import SpanishClause, SpanishNounGroup
from approx.practice.grammar.es.forms import agreeing, infinitive_of, plural
from approx.practice.grammar.kinds import is_of, verbs
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary, bank, may_be_a_word
from approx.practice.grammar.recipes import preposition_of
from approx.problems import Problem
from approx.wording import worded

_ARTICLES = {"el": "el", "la": "el", "los": "el", "las": "el", "un": "un", "una": "un", "unos": "un", "unas": "un"}
_OWN = frozenset({"mi", "tu", "su"})


def read_spanish_clause(
    text: str, vocabulary: Vocabulary | None = None
) -> tuple[SpanishClause | None, tuple[Problem, ...]]:
    """The roles of a phrase; None with a problem where it makes no clause of the kinds known here."""
    tokens = [word for word in (part.strip(OUTER) for part in text.split()) if word]
    if not tokens:
        return None, (Problem("phrases.empty", "the phrase is empty", 'write words, such as "come pan"'),)
    reader = _Reader(vocabulary)
    ranked = sorted(reader.clauses(tokens), key=lambda found: found[0])
    if ranked:
        return ranked[0][1], ()
    message = worded("'{tokens}' is not a kind of phrase known here", tokens=" ".join(tokens)[:60])
    hint = "who + action + thing + place, a thing with its describing word or owner, or a place: come pan, pelota mamá, en caja"
    return None, (Problem("phrases.reading", message, hint),)


class _Reader:
    def __init__(self, vocabulary: Vocabulary | None) -> None:
        self.sources = [source for source in (vocabulary, bank("es")) if source is not None]

    def one(self, token: str, *parts: str) -> SceneWord | None:
        """A word as one of these parts of speech; plurals and agreeing forms by their plain form."""
        for source in self.sources:
            found = source.find(token, *parts)
            if found:
                return found
        return next((w for p in parts if (w := self._plain(token.lower()).get(p))), None) or self._guess(token, parts)

    def _plain(self, token: str) -> dict[str, SceneWord]:
        out: dict[str, SceneWord] = {}
        if not token.endswith(("s", "a")):
            return out
        for word in (word for source in self.sources for word in source.of("noun", "adjective")):
            if word.part == "noun" and token.endswith("s") and plural(word.word) == token:
                out.setdefault("noun", word)
            if word.part == "adjective" and token in {
                agreeing(word.word, f, m) for f in (False, True) for m in (False, True)
            }:
                out.setdefault("adjective", word)
        return out

    def _guess(self, token: str, parts: Sequence[str]) -> SceneWord | None:
        if any(source.all_of(token) for source in self.sources) or infinitive_of(token.lower()):
            return None
        part = "name" if token[:1].isupper() else "noun"
        readings = pronunciations(token, "es-419") if part in parts and may_be_a_word(token) else ()
        if not readings:
            return None
        pronoun = self.sources[0].pronoun if part == "name" else ""
        return SceneWord(token, readings[0].ipa, part, "names" if part == "name" else "things", pronoun=pronoun)

    def clauses(self, tokens: Sequence[str]) -> Iterator[tuple[float, SpanishClause]]:
        """(rank, reading) of every way to read the phrase."""
        for at, token in enumerate(tokens):
            verb = infinitive_of(token.lower()) or (token.lower() if token.lower() in verbs("es") else "")
            subject = self.group(tokens[:at]) if at else None
            if verb and (subject is not None or not at):
                for thing, preposition, place in self.rest(tokens[at + 1 :], verb):
                    clause = SpanishClause(subject, verb, thing, preposition, place)
                    yield self.oddness(clause), clause
        yield from self.verbless(tokens)

    def rest(
        self, tokens: Sequence[str], verb: str
    ) -> Iterator[tuple[SpanishNounGroup | None, str, SpanishNounGroup | None]]:
        """Object and place after a verb."""
        for at in range(len(tokens) + 1):
            thing = self.group(tokens[:at]) if at else None
            if at and thing is None:
                continue
            if at == len(tokens):
                yield thing, "", None
                continue
            place = self.place(tokens[at:])
            bare = self.group(tokens[at:]) if place is None else None
            if place is not None:
                yield thing, *place
            elif bare is not None and (preposition := verbs("es")[verb].preposition(bare.noun.thing)):
                yield thing, preposition, bare

    def place(self, tokens: Sequence[str]) -> tuple[str, SpanishNounGroup | None] | None:
        if len(tokens) == 1:
            adverb = self.one(tokens[0], "adverb")
            return (adverb.word, None) if adverb and adverb.category == "where words" else None
        head = self.one(tokens[0], "preposition") if tokens else None
        group = self.group(tokens[1:]) if head and head.word in ("en", "a", "sobre", "bajo") else None
        return (head.word, group) if head and group else None

    def group(self, tokens: Sequence[str]) -> SpanishNounGroup | None:
        """Article, thing, describing word or owner."""
        if not tokens:
            return None
        first = tokens[0].lower()
        if len(tokens) > 1 and (first in _ARTICLES or first in _OWN):
            inner = self.group(tokens[1:])
            return replace(inner, article=_ARTICLES.get(first, first)) if inner and not inner.article else None
        noun = self.one(tokens[0], "name", "noun", "pronoun")
        if noun is None or len(tokens) == 1:
            return SpanishNounGroup(noun) if noun else None
        if len(tokens) == 2:
            adjective = self.one(tokens[1], "adjective")
            if adjective is not None:
                return SpanishNounGroup(noun, adjective=adjective)
            owner = self.one(tokens[1], "name", "noun")
            return SpanishNounGroup(noun, owner=owner) if owner and _is_person(owner) and not _is_person(noun) else None
        inner = self.group(tokens[2:]) if tokens[1].lower() in ("de", "del") else None
        return SpanishNounGroup(noun, owner=inner.noun) if inner and inner.owner is None else None

    def verbless(self, tokens: Sequence[str]) -> Iterator[tuple[float, SpanishClause]]:
        """A thing with its owner or description, in a place, or a place alone."""
        group = self.group(tokens)
        if group is not None and group.adjective is not None:
            yield 3.0, SpanishClause(replace(group, adjective=None), predicate=group.adjective)
        elif group is not None:
            yield 4.0, SpanishClause(object=group)
        place = self.place(tokens)
        if place is not None:
            yield 3.0, SpanishClause(preposition=place[0], place=place[1])
        for at in range(1, len(tokens)):
            subject, there = self.group(tokens[:at]), self.place(tokens[at:])
            if subject is not None and there is not None:
                yield 3.0, SpanishClause(subject, preposition=there[0], place=there[1])
            bare = self.group(tokens[at:]) if subject is not None and there is None else None
            if subject is not None and bare is not None and not _is_person(bare.noun):
                preposition = preposition_of(bare.noun.thing, "es")
                if preposition:
                    yield 3.5, SpanishClause(subject, preposition=preposition, place=bare)

    def oddness(self, clause: SpanishClause) -> float:
        """How far a reading is from what its verb usually goes with."""
        table = clause.table
        if table is None:
            raise ValueError(f"nothing is known of the verb {clause.verb}")
        odd = 0.0
        if clause.object is not None:
            odd += 0 if table.takes(clause.object.noun.thing) else 1.0 if table.objects else 2.5
        elif not table.alone:
            odd += 1.2
        if clause.place is not None and clause.object is None and table.takes(clause.place.noun.thing):
            odd += 0.4
        if (
            clause.subject is not None
            and clause.subject.kind != "pronoun"
            and not table.done_by(clause.subject.noun.thing)
        ):
            odd += 1.0
        return odd


def _is_person(word: SceneWord) -> bool:
    return word.part == "name" or is_of(word.thing, ("person",), "es")
