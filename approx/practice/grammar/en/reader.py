"""A telegraphic English phrase read as roles: "Ben dig wet mud in bed" is agent, action, object and place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from approx.lexicon.reading import OUTER, pronunciations
from approx.practice.grammar.en.clause import Clause
from approx.practice.grammar.en.nouns import NounGroup
from approx.practice.grammar.kinds import is_of, verbs
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary, bank, compound_of, may_be_a_word, singulars
from approx.practice.grammar.recipes import preposition_of
from approx.problems import Problem
from approx.wording import enumerated, worded

DETERMINERS = frozenset("a an the my your his her its our their this that these those more no some another".split())  # noqa: SIM905
_HELPERS = frozenset({"is", "are", "am"})
"""Passed over, so that a full sentence can be typed as well."""
Tokens = Sequence[str]


def read_clause(text: str, vocabulary: Vocabulary | None = None) -> tuple[Clause | None, tuple[Problem, ...]]:
    """The roles of a phrase; None with a problem where it makes no clause of the kinds known here.

    Words of `vocabulary` (a scene) come before those of the bank. Of several readings the one whose verb and object
    go together by the verb table is taken; then the one with a verb; then two things as owner and owned.
    """
    tokens = [word for word in (part.strip(OUTER) for part in text.split()) if word and word.lower() not in _HELPERS]
    if not tokens:
        return None, (Problem("phrases.empty", "the phrase is empty", 'write words, such as "dig mud"'),)
    reader = _Reader(vocabulary)
    unknown = [token for token in tokens if not reader.entries(without_s(token)) and token.lower() not in DETERMINERS]
    if unknown:
        message = worded("not read: {passed_over}", passed_over=enumerated(", ", (word[:40] for word in unknown)))
        hint = 'write plain words as the child would join them, such as "dig mud" or "Ben dig mud in tub"'
        return None, (Problem("phrases.word", message, hint, symbol=unknown[0][:40]),)
    ranked = sorted(reader.clauses(tokens), key=lambda found: found[0])
    if ranked:
        return ranked[0][1], tuple(_guessed(token, reader) for token in tokens if reader.is_guess(token))
    message = worded("'{tokens}' is not a kind of phrase known here", tokens=" ".join(tokens)[:60])
    hint = "who + action + thing + place, a describing word or an owner before a thing, or a place: dig mud, my hat, in tub"
    return None, (Problem("phrases.reading", message, hint),)


class _Reader:
    def __init__(self, vocabulary: Vocabulary | None) -> None:
        self.sources = [source for source in (vocabulary, bank("en")) if source is not None]

    def entries(self, token: str) -> tuple[SceneWord, ...]:
        for source in self.sources:
            found = source.all_of(token)
            if found:
                return found
        plain = self.plain_form(token)
        if plain is not None:
            return (plain,)
        readings = pronunciations(token, "en-US") if may_be_a_word(token) else ()
        if not readings:
            return ()
        part = "name" if token[:1].isupper() else "verb" if token in verbs("en") else "noun"
        pronoun = self.sources[0].pronoun if part == "name" else ""
        return (SceneWord(token, readings[0].ipa, part, "names" if part == "name" else "things", pronoun=pronoun),)

    def plain_form(self, token: str) -> SceneWord | None:
        """The word of a list that a plural or a form of a verb belongs to: dogs, digging."""
        low = token.lower()
        for singular in singulars(low, "en"):
            for source in self.sources:
                if (noun := source.find(singular, "noun")) is not None:
                    return noun
        return next(
            (word for verb in _plain_verbs(low) for source in self.sources if (word := source.find(verb, "verb"))), None
        )

    def is_guess(self, token: str) -> bool:
        """True for a word no list has, which is taken as a thing (or a name, by its capital letter)."""
        listed = any(source.all_of(token) for source in self.sources) or token.lower() in DETERMINERS
        return not listed and token not in verbs("en") and self.plain_form(token) is None

    def one(self, token: str, *parts: str) -> SceneWord | None:
        return next((entry for entry in self.entries(token) if entry.part in parts), None)

    def clauses(self, tokens: Tokens) -> Iterator[tuple[float, Clause]]:
        """(rank, reading) for every way to read the phrase; the lowest rank is the best."""
        for at, token in enumerate(tokens):
            verb = self.one(token, "verb")
            if verb is None or token.lower() in DETERMINERS:
                continue
            subject = self.group(tokens[:at]) if at else None
            if at and subject is None:
                continue
            for thing, preposition, place in self.rest(tokens[at + 1 :], verb):
                clause = Clause(subject, verb, thing, preposition, place)
                yield self.oddness(clause), clause
        yield from self.verbless(tokens)

    def rest(self, tokens: Tokens, verb: SceneWord) -> Iterator[tuple[NounGroup | None, str, NounGroup | None]]:
        """Object and place after a verb."""
        for at in range(len(tokens) + 1):
            thing = self.group(tokens[:at]) if at else None
            if at and thing is None:
                continue
            place = self.place(tokens[at:])
            if at == len(tokens):
                yield thing, "", None
            elif place is not None:
                yield thing, *place
            else:
                table, bare = verbs("en").get(verb.word), self.group(tokens[at:])
                preposition = table.preposition(bare.noun.thing) if table and bare else ""
                if preposition and bare:
                    yield thing, preposition, bare

    def place(self, tokens: Tokens) -> tuple[str, NounGroup | None] | None:
        """A preposition with what follows, or an adverb such as up."""
        if not tokens:
            return None
        if len(tokens) == 1:
            adverb = self.one(tokens[0], "adverb", "preposition")
            return (adverb.word, None) if adverb and adverb.category == "where words" else None
        head = self.one(tokens[0], "preposition")
        group = self.group(tokens[1:]) if head else None
        return (head.word, group) if head and group else None

    def group(self, tokens: Tokens) -> NounGroup | None:
        """Article or owner, describing word, thing (one word or a compound of two)."""
        if not tokens:
            return None
        first = tokens[0].lower()
        if first in DETERMINERS and len(tokens) > 1:
            inner = self.group(tokens[1:])
            return replace(inner, article="a" if first == "an" else first) if inner and not inner.article else None
        if len(tokens) == 1:
            noun = self.one(tokens[0], "name", "noun", "pronoun")
            return NounGroup(noun, numbered=_is_plural_of(tokens[0], noun)) if noun else None
        adjective = self.one(tokens[0], "adjective")
        if adjective is not None:
            inner = self.group(tokens[1:])
            if inner and inner.adjective is None and inner.owner is None and not inner.article:
                return replace(inner, adjective=adjective)
        head, marked = self.one(without_s(tokens[0]), "name", "noun"), without_s(tokens[0]) != tokens[0]
        if head is None:
            return None
        if marked:  # "mommy's hat"
            owned = self.group(tokens[1:])
            fits = owned is not None and owned.owner is None and not owned.article
            return replace(owned, owner=head, owner_marked=True) if owned and fits else None
        if len(tokens) == 2 and (noun := self.one(tokens[1], "noun")):
            if _owns(head):
                return NounGroup(noun, owner=head)
            return NounGroup(SceneWord(f"{head.word} {noun.word}", f"{head.ipa} {noun.ipa}", "noun", noun.category))
        inner = self.group(tokens[1:]) if _owns(head) else None
        return replace(inner, owner=head) if inner and inner.owner is None and not inner.article else None

    def verbless(self, tokens: Tokens) -> Iterator[tuple[float, Clause]]:
        """A place, a thing in a place or in a state, or a thing with its owner or description."""
        place = self.place(tokens)
        if place is not None:
            yield 3.0, Clause(preposition=place[0], place=place[1])
        for at in range(1, len(tokens)):
            subject, there = self.group(tokens[:at]), self.place(tokens[at:])
            if subject is not None and there is not None:
                yield 3.0, Clause(subject, preposition=there[0], place=there[1])
            bare = self.group(tokens[at:]) if subject is not None and there is None else None
            if subject is not None and bare is not None and self.may_be_in(subject, bare):
                yield 3.5, Clause(subject, preposition=preposition_of(bare.noun.thing, "en"), place=bare)
        state = self.one(tokens[-1], "adjective") if len(tokens) > 1 else None
        thing = self.group(tokens[:-1]) if state is not None else None
        if state is not None and thing is not None and self.one(tokens[-1], "noun") is None:
            # "dog wet" says how the dog is, as "ball up" says where the ball is
            yield 1.0, Clause(thing, preposition=state.word)
        group = self.group(tokens)
        if group is not None:
            yield 4.0, Clause(object=group)

    def may_be_in(self, thing: NounGroup, place: NounGroup) -> bool:
        """Read "bee tub": a thing and a place it can be in, unless the two are a compound or the thing's owner."""
        pair = f"{thing.noun.word} {place.noun.word}"
        small = is_of(thing.noun.thing, ("put", "small_animal", "toy"), "en")
        return (
            small
            and not _owns(thing.noun)
            and bool(preposition_of(place.noun.thing, "en"))
            and not compound_of(pair, "en")
        )

    def oddness(self, clause: Clause) -> float:
        """How far a reading is from what its verb usually goes with."""
        table = clause.table
        odd = 0.0 if clause.subject or clause.object or clause.place else 2.0
        if table is None:
            return odd + 1.5
        if clause.place is not None and clause.object is None and table.takes(clause.place.noun.thing):
            odd += 0.4  # "dig mud" is what is dug, not where
        if clause.object is not None:
            odd += 0 if table.takes(clause.object.noun.thing) else 1.0 if table.objects else 2.5
        elif not table.alone:
            odd += 1.2
        if clause.subject is not None:
            fits = clause.subject.kind == "pronoun" or table.done_by(clause.subject.noun.thing)
            odd += 0 if fits else 1.0
        if clause.object is not None and clause.object.owner is not None:
            odd += 0.5
        return odd


def plain_word(token: str) -> bool:
    """False for articles, helpers and forms of verbs: what a telegraphic phrase leaves out."""
    word = token.strip(OUTER)
    return word not in _HELPERS and word not in ("a", "an", "the") and not (word.endswith("ing") and _plain_verbs(word))


def without_s(token: str) -> str:
    """An owner without 's."""
    return token[:-2] if token[-2:] in ("'s", "’s") and len(token) > 2 else token


def _guessed(token: str, reader: _Reader) -> Problem:
    what = "a name" if reader.entries(token)[0].part == "name" else "a thing"
    message = worded("'{token}' is not in the word bank: taken as {what}", token=token[:40], what=what)
    return Problem("phrases.part", message, "check how it is said and written", symbol=token[:40], fatal=False)


def _is_plural_of(token: str, noun: SceneWord) -> bool:
    return noun.part == "noun" and token.lower() != noun.word.lower() and token.lower().endswith("s")


def _plain_verbs(form: str) -> tuple[str, ...]:
    """Plain forms a form of a verb may belong to, by the library; () for a plain form itself."""
    if not form.endswith(("s", "ing", "ed")):
        return ()
    from lemminflect import getLemma

    found: tuple[str, ...] = getLemma(form, "VERB")
    return tuple(verb for verb in found if verb != form)


def _owns(word: SceneWord) -> bool:
    return word.part == "name" or word.category in ("people", "names")
