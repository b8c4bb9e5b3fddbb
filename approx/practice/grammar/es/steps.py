"""Steps of Spanish grammar on one clause: agreement, articles, de, place words, está ... -ando, clitics."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.es.clause import (
    SpanishClause,
    SpanishNounGroup,
    article_of,
    be_form,
    clause_words,
    full,
    group_words,
    sentence,
)
from approx.practice.grammar.es.forms import noun_lists, verb_form
from approx.practice.grammar.es.reader import read_spanish_clause
from approx.practice.grammar.kinds import is_of, sense
from approx.practice.grammar.moves import Easiest, Move, best_known
from approx.practice.grammar.phrase_words import Vocabulary, bank
from approx.practice.grammar.recipes import attributes
from approx.problems import Problem
from approx.wording import worded


class SpanishLadder:
    """A clause from two words to its sentence, and on to a describing word and a place where they fit."""

    def __init__(
        self,
        typed: SpanishClause,
        easiest: Easiest,
        vocabulary: Vocabulary | None,
        *,
        describing: bool = True,
        given: Sequence[str] = (),
    ) -> None:
        self.describing = describing
        self.easiest, self.vocabulary = easiest, vocabulary or bank("es")
        whole = self._with_subject(typed)
        self.plain = full(whole)
        self.goal = full(self._with_extras(self._with_thing(whole)))
        self.sentence = sentence(clause_words(self.plain))
        self.start: object = _as_given(typed, given) if given and typed.verb else _stripped(typed)

    def words(self, rung: object) -> tuple[SentenceWord, ...]:
        """The words of a rung."""
        return clause_words(_clause(rung))

    def written(self, rung: object) -> str:
        """A rung as a sentence."""
        text = _text(_clause(rung))
        return f"¿{text}?" if _clause(rung).question else text

    def moves(self, rung: object) -> list[Move]:
        """What can be added next, each a rung of its own."""
        here, goal = _clause(rung), self.goal
        out: list[Move] = []
        if here.subject is None and goal.subject is not None:
            bare = SpanishNounGroup(goal.subject.noun)
            out.append(Move("subject", worded("who: {words}", words=bare.noun.word), replace(here, subject=bare)))
        if here.object is None and goal.object is not None and here.verb:
            thing = SpanishNounGroup(goal.object.noun)
            out.append(Move("thing", worded("what: {words}", words=thing.noun.word), replace(here, object=thing)))
        for role in ("subject", "object", "place"):
            group: SpanishNounGroup | None = getattr(here, role)
            aim: SpanishNounGroup | None = getattr(goal, role)
            if group is not None and aim is not None:
                out += [Move(step, adds, _with_group(here, role, more)) for step, adds, more in _on_group(group, aim)]
        out += self._on_place(here)
        if here.subject is not None and goal.subject is not None and here.subject.numbered != goal.subject.numbered:
            return out  # the verb agrees with its subject: more than one of it is shown before
        if here.verb:
            if goal.marking == "is" and here.subject is not None and here.marking != "is":
                to, step = ("is", "auxiliary") if here.marking == "ing" else ("ing", "ing")
                what = (
                    "está"
                    if step == "auxiliary"
                    else worded("the ending: {words}", words=verb_form(here.verb, "gerund"))
                )
                if here.subject.is_plural and step == "auxiliary":
                    what = "están"
                out.append(Move(step, what, replace(here, marking=to)))
        elif not here.copula:
            out.append(Move("copula", be_form(here), replace(here, copula=True)))
        return out

    def sides(self, rungs: Sequence[object]) -> list[tuple[int, Move]]:
        """Negation, question and tense, beside the rung they start from."""
        clauses = [_clause(rung) for rung in rungs]
        whole = clause_words(self.plain)
        top = next((at for at, clause in enumerate(clauses) if clause_words(clause) == whole), len(clauses) - 1)
        made = clauses[top]
        out: list[tuple[int, Move]] = []
        plain = max((at for at, c in enumerate(clauses[: top + 1]) if c.verb and not c.marking), default=-1)
        if plain >= 0 and clauses[plain].subject is not None:
            past = replace(clauses[plain], marking="past")
            out.append((plain, Move("past", worded("before now: {verb}", verb=verb_form(past.verb, "past")), past)))
        if made.verb and made.object is not None and made.subject is not None and made.object.kind != "name":
            clitic = replace(made, clitic=True)
            words = {word.text for word in clause_words(clitic)} & {"lo", "la", "los", "las"}
            said = next(iter(sorted(words)), "lo")
            out.append(
                (top, Move("clitic", worded("{said} for {object}", said=said, object=_of_group(made.object)), clitic))
            )
        if made.subject is not None and made.subject_pronoun and (made.verb or made.copula):
            text = worded("{said} for {object}", said=made.subject_pronoun, object=_of_group(made.subject))
            out.append((top, Move("pronoun", text, replace(made, as_pronoun=True))))
        if made.subject is not None:
            out.append((top, Move("question", "a question, by intonation", replace(made, question=True))))
            out.append((top, Move("negative", "no", replace(made, negative=True))))
        return out

    def _on_place(self, here: SpanishClause) -> list[Move]:
        goal = self.goal
        if here.place is not None and goal.preposition and not here.preposition:
            return [
                Move(
                    "preposition",
                    worded("the place word {words}", words=goal.preposition),
                    replace(here, preposition=goal.preposition),
                )
            ]
        if here.place is None and goal.place is not None:
            bare = SpanishNounGroup(goal.place.noun)
            more = replace(here, preposition=goal.preposition, place=bare)
            return [
                Move(
                    "place",
                    worded("where: {preposition} {word}", preposition=goal.preposition, word=bare.noun.word),
                    more,
                )
            ]
        if here.place is None and goal.preposition and not here.preposition:
            return [
                Move(
                    "place",
                    worded("where: {words}", words=goal.preposition),
                    replace(here, preposition=goal.preposition),
                )
            ]
        return []

    def _with_subject(self, typed: SpanishClause) -> SpanishClause:
        table = typed.table
        if table is None or typed.subject is not None:
            return typed
        fitting = [word for word in self.vocabulary.of("name", "noun") if table.done_by(word.thing)]
        family = noun_lists()["names"]
        doer = self.easiest(best_known(fitting, lambda word: word.word.lower() in family) or fitting)
        return replace(typed, subject=SpanishNounGroup(doer)) if doer else typed

    def _with_extras(self, whole: SpanishClause) -> SpanishClause:
        thing, table = whole.object, whole.table
        if (
            thing is not None
            and self.describing
            and thing.adjective is None
            and thing.owner is None
            and whole.verb
            and thing.kind != "name"
        ):
            fitting = [
                found
                for word, kinds in attributes("es").items()
                if is_of(thing.noun.thing, kinds, "es")
                and sense("es").listed("describes", word, thing.noun.thing)
                and (found := bank("es").find(word, "adjective"))
            ]
            best = self.easiest(fitting)
            thing = replace(thing, adjective=best) if best else thing
        whole = replace(whole, object=thing)
        if not whole.verb or table is None or whole.place is not None or whole.preposition:
            return whole
        if thing is not None and not self.describing:
            return whole  # who does what to what is enough
        groups = {"agent": whole.subject, "object": whole.object}
        roles = {role: group.noun.thing for role, group in groups.items() if group is not None}
        there = {
            word.thing: word
            for word in bank("es").of("noun")
            if table.preposition(word.thing) and word.word != (thing.noun.word if thing else "")
        }
        best = self.easiest([there[place] for place in sense("es").likely_places(whole.verb, roles, list(there))])
        if best is None:
            return whole
        return replace(whole, preposition=table.preposition(best.thing), place=SpanishNounGroup(best))

    def _with_thing(self, whole: SpanishClause) -> SpanishClause:
        """What it is done to, where the verb means some thing that the phrase leaves out."""
        table, doer = whole.table, whole.subject
        if not whole.verb or table is None or doer is None or whole.object or whole.place or whole.preposition:
            return whole
        fitting = [
            word
            for word in self.vocabulary.of("noun")
            if table.takes(word.thing)
            and word.word != doer.noun.word
            and sense("es").implies(whole.verb, doer.noun.thing, word.thing)
        ]
        thing = self.easiest(fitting)
        return replace(whole, object=SpanishNounGroup(thing)) if thing else whole


def spanish_ladder(
    text: str, vocabulary: Vocabulary | None, easiest: Easiest, *, describing: bool = True
) -> tuple[SpanishLadder | None, tuple[Problem, ...]]:
    """The ladder of a typed phrase; None with a problem if it cannot be read as a clause."""
    clause, problems = read_spanish_clause(text, vocabulary)
    if clause is None:
        return None, problems
    tokens = text.lower().split()
    given = tokens if not describing and _SMALL.isdisjoint(tokens) else ()
    return SpanishLadder(clause, easiest, vocabulary, describing=describing, given=given), problems


_SMALL = frozenset("el la los las un una unos unas es está están son".split())  # noqa: SIM905


def _as_given(typed: SpanishClause, given: Sequence[str]) -> SpanishClause:
    """The clause with no more than was typed: a place word that was only understood is left out."""
    return typed if typed.preposition in given else replace(typed, preposition="")


def _on_group(group: SpanishNounGroup, aim: SpanishNounGroup) -> list[tuple[str, str, SpanishNounGroup]]:
    out: list[tuple[str, str, SpanishNounGroup]] = []
    if aim.numbered and not group.numbered:
        more = replace(group, numbered=True)
        out.append(
            (
                "plural",
                worded(
                    "more than one: {words}", words=_of_group(replace(more, article="", adjective=None, owner=None))
                ),
                more,
            )
        )
    if aim.owner is not None and not group.owner_marked:
        more = replace(group, owner_marked=True)
        out.append(("possessive", worded("whose: {owner}", owner=" ".join(_of_group(more).split()[-2:])), more))
    if aim.personal and not group.personal:
        out.append(("preposition", "the small word a before a person", replace(group, personal=True)))
    if aim.article not in ("", "plain") and group.article != aim.article:
        more = replace(group, article=aim.article)
        if article_of(more) and article_of(more) != article_of(group):
            out.append(("article", worded("the small word {words}", words=article_of(more)), more))
    if aim.adjective is not None and group.adjective is None:
        more = replace(group, adjective=aim.adjective, agrees=True)
        out.append(("describing", worded("a describing word: {words}", words=aim.adjective.word), more))
    return out


def _with_group(clause: SpanishClause, role: str, group: SpanishNounGroup) -> SpanishClause:
    if role == "object":
        return replace(clause, object=group)
    return replace(clause, subject=group) if role == "subject" else replace(clause, place=group)


def _stripped(typed: SpanishClause) -> SpanishClause:
    """The first rung: two words."""
    thing, place = typed.object, typed.place
    doer = SpanishNounGroup(typed.subject.noun) if typed.subject else None
    if typed.verb:
        if thing is not None:
            return SpanishClause(None, typed.verb, SpanishNounGroup(thing.noun))
        if doer is None or place is not None:
            return SpanishClause(
                None,
                typed.verb,
                None,
                "" if place else typed.preposition,
                SpanishNounGroup(place.noun) if place else None,
            )
        return SpanishClause(doer, typed.verb)
    if thing is not None:
        article = thing.article if thing.article not in ("el", "un") else ""
        return SpanishClause(object=SpanishNounGroup(thing.noun, article, owner=thing.owner))
    there = SpanishNounGroup(place.noun) if place else None
    keeps = doer is None or there is None
    return SpanishClause(
        doer, "", None, typed.preposition if keeps else "", there, predicate=typed.predicate, agrees=True
    )


def _clause(rung: object) -> SpanishClause:
    if not isinstance(rung, SpanishClause):
        raise TypeError(f"a rung of this ladder is a SpanishClause, not {type(rung).__name__}")
    return rung


def _text(clause: SpanishClause) -> str:
    return " ".join(word.text for word in clause_words(clause))


def _of_group(group: SpanishNounGroup) -> str:
    return " ".join(word.text for word in group_words(group))
