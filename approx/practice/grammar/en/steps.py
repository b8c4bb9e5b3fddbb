"""Steps of English grammar on one clause: every move changes one feature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.practice.grammar.en.clause import Clause, be_form, clause_words, full, sentence
from approx.practice.grammar.en.nouns import NounGroup, SentenceWord, is_eaten, noun_lists
from approx.practice.grammar.en.reader import plain_word, read_clause
from approx.practice.grammar.kinds import is_of, sense
from approx.practice.grammar.moves import Easiest, Move, best_known
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary, bank
from approx.practice.grammar.recipes import attributes
from approx.problems import Problem
from approx.wording import worded

_I = SceneWord("I", "aɪ", "pronoun", "person words")


class EnglishLadder:
    """A clause from two words to its sentence; `goal` is the sentence with a thing or a place where they fit.

    `describing`: with a describing word as well; without it, a thing that nobody does anything to is pointed at (that big
    dog, that is a big dog; it's my hat). `given`: the words that were typed, to begin at the phrase as it is and not at two
    words of it.
    """

    def __init__(
        self,
        typed: Clause,
        easiest: Easiest,
        vocabulary: Vocabulary | None,
        *,
        describing: bool = True,
        given: Sequence[str] = (),
    ) -> None:
        self.describing = describing
        self.easiest = easiest
        self.vocabulary = vocabulary or bank("en")
        typed = _pointed(typed)
        whole = self._with_subject(_wanted(_in_its_case(typed)))
        whole = whole if describing else _pointing(whole)
        self.plain = full(whole)
        self.goal = full(self._with_extras(self._with_thing(whole)))
        self.sentence = sentence(clause_words(self.plain))
        self.start: object = _as_given(typed, given) if given else _stripped(typed)

    def words(self, rung: object) -> tuple[SentenceWord, ...]:
        """The words of a rung."""
        return clause_words(_clause(rung))

    def written(self, rung: object) -> str:
        """A rung as a sentence."""
        text = " ".join(word.text for word in self.words(rung))
        return text + "?" if _clause(rung).question else text

    def moves(self, rung: object) -> list[Move]:
        """What can be added next, each a rung of its own."""
        here, goal = _clause(rung), self.goal
        out: list[Move] = []
        if here.verb is None and goal.verb is not None:
            return [
                *self._on_groups(here),
                Move("action", worded("the action word {words}", words=goal.verb.word), replace(here, verb=goal.verb)),
            ]
        if here.subject is None and goal.subject is not None:
            bare = replace(goal.subject, article="", numbered=False, owner_marked=False, adjective=None)
            out.append(Move("subject", worded("who: {words}", words=_text(bare)), replace(here, subject=bare)))
        if here.object is None and goal.object is not None and here.verb is not None:
            bare = replace(goal.object, article="", numbered=False, owner_marked=False, adjective=None)
            out.append(Move("thing", worded("what: {words}", words=_text(bare)), replace(here, object=bare)))
        if here.subject is not None and goal.subject is not None and here.subject.noun != goal.subject.noun:
            case = worded("{said} for {object}", said=goal.subject.noun.word, object=here.subject.noun.word)
            return [Move("case", case, replace(here, subject=goal.subject))]
        out += self._on_groups(here)
        out += self._on_place(here)
        # the verb agrees with its subject: more than one of it is shown before
        if here.subject is None or goal.subject is None or here.subject.numbered == goal.subject.numbered:
            out += self._on_verb(here) if here.verb else self._on_copula(here)
        return out

    def sides(self, rungs: Sequence[object]) -> list[tuple[int, Move]]:
        """Negation, question and tense, beside the rung they start from."""
        clauses = [_clause(rung) for rung in rungs]
        whole = clause_words(self.plain)
        top = next((at for at, clause in enumerate(clauses) if clause_words(clause) == whole), len(clauses) - 1)
        out: list[tuple[int, Move]] = []
        made = clauses[top]
        plain = max(
            (at for at, clause in enumerate(clauses[: top + 1]) if clause.verb and not clause.marking), default=-1
        )
        if plain >= 0 and clauses[plain].subject is not None:
            for marking, step, what in (
                ("past", "past", "before now: {side}"),
                ("s", "third", "the ending -s on the action: {side}"),
            ):
                side = replace(clauses[plain], marking=marking)
                if made.marking != marking and clause_words(side) != clause_words(clauses[plain]):
                    out.append((plain, Move(step, worded(what, side=_verb_text(side)), side)))
        if made.subject is not None and made.subject.kind != "pronoun" and (made.marking or made.copula):
            out.append(
                (
                    top,
                    Move(
                        "pronoun",
                        worded(
                            "{subject_word} for {subject}", subject_word=made.subject_word, subject=_text(made.subject)
                        ),
                        replace(made, as_pronoun=True),
                    ),
                )
            )
        denied = made.object is not None and made.object.article == "no"
        if not denied and (made.marking in ("is", "s") and made.subject is not None or made.copula):
            question = replace(made, question=True)
            out.append(
                (
                    top,
                    Move(
                        "question", worded("a question: {words} first", words=clause_words(question)[0].text), question
                    ),
                )
            )
            out.append((top, Move("negative", "not", replace(made, negative=True))))
        return out

    def _on_groups(self, here: Clause) -> list[Move]:
        out: list[Move] = []
        for role in ("object", "subject", "place"):
            group: NounGroup | None = getattr(here, role)
            aim: NounGroup | None = getattr(self.goal, role)
            if group is not None and aim is not None:
                found = _on_group(group, aim)
                if role == "object" and here.lead and not here.copula:
                    found = [each for each in found if each[0] != "article"]
                out += [Move(step, adds, _with_group(here, role, more)) for step, adds, more in found]
        return out

    def _on_place(self, here: Clause) -> list[Move]:
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
            bare = replace(goal.place, article="", numbered=False)
            more = replace(here, preposition=goal.preposition, place=bare)
            return [
                Move(
                    "place", worded("where: {preposition} {bare}", preposition=goal.preposition, bare=_text(bare)), more
                )
            ]
        if here.place is None and goal.place is None and goal.preposition and not here.preposition:
            return [
                Move(
                    "place",
                    worded("where: {words}", words=goal.preposition),
                    replace(here, preposition=goal.preposition),
                )
            ]
        return []

    def _on_verb(self, here: Clause) -> list[Move]:
        goal = self.goal
        if goal.marking == here.marking or goal.subject is not None and here.subject is None:
            return []
        if goal.marking == "is":
            if here.marking == "":
                side = replace(here, marking="ing")
                return [Move("ing", worded("the ending -ing: {side}", side=_verb_text(side)), side)]
            return [Move("auxiliary", be_form(here), replace(here, marking="is"))]
        side = replace(here, marking=goal.marking)
        if clause_words(side) == clause_words(here):
            return []
        return [Move("third", worded("the ending -s on the action: {side}", side=_verb_text(side)), side)]

    def _on_copula(self, here: Clause) -> list[Move]:
        goal = self.goal
        pending = here.place is not None and goal.place is not None and here.place.article != goal.place.article
        if pending and here.subject is None and here.object is None and not self.describing:
            return []  # "in the car" before "it's in the car"
        if here.subject is None and not here.lead:
            bare = here.object is not None and not (here.object.article or here.object.owner)
            if goal.lead in _POINTING and bare and not self.describing:
                words = worded("a word that points: {words}", words=goal.lead)
                return [Move("stand-in", words, replace(here, lead=goal.lead))]
            # "it my turn" would teach an error: the word that points brings its is or are along
            pointed = replace(here, lead=goal.lead, copula=True, contracted=goal.contracted)
            if goal.contracted:
                words = worded("a word that points: {words}", words=clause_words(pointed)[0].text)
                return [Move("stand-in", words, pointed)]
            return [
                Move(
                    "stand-in",
                    worded("a word that points: {lead} {pointed}", lead=goal.lead, pointed=be_form(pointed)),
                    pointed,
                )
            ]
        if here.copula:
            return []
        thing, aim = here.object, self.goal.object
        if here.lead and thing is not None and aim is not None and aim.article not in ("", "plain", thing.article):
            # neither "that a hat" nor "that is hat" is English: the two come together
            made = replace(here, copula=True, object=replace(thing, article=aim.article), contracted=goal.contracted)
            return [
                Move("copula", worded("verb and article together: '{words}'", words=" ".join(_fresh(here, made))), made)
            ]
        made = replace(here, copula=True, contracted=goal.contracted)
        return [Move("copula", be_form(here), made)]

    def _with_subject(self, typed: Clause) -> Clause:
        """Who does it, where the phrase does not say: of those the verb goes with, whom this child names best."""
        table = typed.table
        if typed.verb is None or typed.subject is not None or table is None or table.marking == "s":
            return typed
        fitting = [word for word in self.vocabulary.of("name", "noun") if table.done_by(word.thing)]
        doer = self.easiest(best_known(fitting, lambda word: word.word.lower() in noun_lists()["nearest"]) or fitting)
        return replace(typed, subject=NounGroup(doer)) if doer else typed

    def _with_thing(self, whole: Clause) -> Clause:
        """What it is done to, where the verb means some thing that the phrase leaves out: of those it goes with, what this
        child says best."""
        table, doer = whole.table, whole.subject
        if whole.verb is None or table is None or doer is None or whole.object or whole.place or whole.preposition:
            return whole
        fitting = [
            word
            for word in self.vocabulary.of("noun")
            if table.takes(word.thing)
            and word.word != doer.noun.word
            and sense("en").implies(whole.verb.word, doer.noun.thing, word.thing)
        ]
        thing = self.easiest(fitting)
        return replace(whole, object=NounGroup(thing)) if thing else whole

    def _with_extras(self, whole: Clause) -> Clause:
        """A describing word for the thing something is done to, and a place, where the phrase has none and some make sense."""
        thing = whole.object
        bare = thing is not None and not (thing.article or thing.adjective or thing.owner)
        if thing is not None and bare and self.describing and whole.verb and thing.kind not in ("name", "pronoun"):
            fitting = [
                found
                for word, kinds in attributes("en").items()
                if is_of(thing.noun.thing, kinds, "en")
                and sense("en").listed("describes", word, thing.noun.thing)
                and (found := self.vocabulary.find(word, "adjective") or bank("en").find(word, "adjective"))
            ]
            best = self.easiest(fitting)
            thing = replace(thing, adjective=best) if best else thing
        whole = replace(whole, object=thing)
        table = whole.table
        if whole.verb is None or table is None or whole.place is not None or whole.preposition:
            return whole
        asks_where = bool(table.objects) and not table.alone  # nobody only puts a hat
        if thing is not None and not self.describing and not asks_where:
            return whole  # who does what to what is enough
        groups = {"agent": whole.subject, "object": whole.object}
        roles = {role: group.noun.thing for role, group in groups.items() if group is not None}
        there = {
            word.thing: word
            for word in bank("en").of("noun")
            if table.preposition(word.thing) and word.word != (thing.noun.word if thing else "")
        }
        likely = sense("en").likely_places(whole.verb.word, roles, list(there))
        best = self.easiest([there[place] for place in likely])
        if best is None:
            return whole
        return replace(whole, preposition=table.preposition(best.thing), place=NounGroup(best))


def english_ladder(
    text: str, vocabulary: Vocabulary | None, easiest: Easiest, *, describing: bool = True
) -> tuple[EnglishLadder | None, tuple[Problem, ...]]:
    """The ladder of a typed phrase; None with a problem if it cannot be read as a clause."""
    clause, problems = read_clause(text, vocabulary)
    if clause is None:
        return None, problems
    # who types small words or endings has a sentence, which begins at two of its words
    tokens = text.lower().split()
    given = tokens if not describing and all(map(plain_word, tokens)) else ()
    return EnglishLadder(clause, easiest, vocabulary, describing=describing, given=given), problems


def _fresh(below: Clause, made: Clause) -> list[str]:
    """The words of a clause that the clause below does not have, in order."""
    had = [word.text for word in clause_words(below)]
    return [word.text for word in clause_words(made) if word.text not in had]


def _with_group(clause: Clause, role: str, group: NounGroup) -> Clause:
    if role == "object":
        return replace(clause, object=group)
    return replace(clause, subject=group) if role == "subject" else replace(clause, place=group)


def _on_group(group: NounGroup, aim: NounGroup) -> list[tuple[str, str, NounGroup]]:
    """Additions to one noun group: plural, 's, article, describing word."""
    out: list[tuple[str, str, NounGroup]] = []
    if aim.numbered and not group.numbered:
        more = replace(group, numbered=True)
        out.append(
            ("plural", worded("more than one: {words}", words=_text(replace(more, article="", adjective=None))), more)
        )
    if aim.owner_marked and not group.owner_marked:
        more = replace(group, owner_marked=True)
        owner = next(word.text for word in _words(more) if word.text.endswith("'s"))
        out.append(("possessive", worded("whose: {owner}", owner=owner), more))
    if aim.article not in ("", "plain") and group.article != aim.article:
        more = replace(group, article=aim.article)
        added = [word.text for word in _words(more) if word.text not in [w.text for w in _words(group)]]
        if added:
            out.append(("article", worded("the small word {words}", words=added[0]), more))
    if aim.adjective is not None and group.adjective is None:
        more = replace(group, adjective=aim.adjective)
        out.append(("describing", worded("a describing word: {words}", words=aim.adjective.word), more))
    return out


def _stripped(typed: Clause) -> Clause:
    """The first rung: two words, action and thing, or who and action; owner or describing word and thing; thing and place."""
    thing, place = typed.object, typed.place
    if typed.verb is not None:
        bare = NounGroup(thing.noun, numbered=thing.numbered, as_object=is_eaten(typed.verb.word)) if thing else None
        doer = (
            NounGroup(typed.subject.noun, numbered=typed.subject.numbered)
            if typed.subject and thing is None and (place is None or place.noun is None)
            else None
        )
        if thing is not None:
            return Clause(None, typed.verb, bare)
        if place is not None and doer is None:
            return Clause(None, typed.verb, None, "", NounGroup(place.noun, numbered=place.numbered))
        return Clause(doer, typed.verb, None, typed.preposition if doer is None else "", None)
    if thing is not None:
        kept = "" if thing.article in ("the", "a") else thing.article
        return Clause(object=replace(thing, article=kept), lead=typed.lead)
    doer = NounGroup(typed.subject.noun) if typed.subject else None
    there = NounGroup(place.noun) if place else None
    keeps = doer is None or there is None
    return Clause(doer, None, None, typed.preposition if keeps else "", there)


def _as_given(typed: Clause, given: Sequence[str]) -> Clause:
    """The clause with no more than was typed: a place word that was only understood is left out."""
    return typed if typed.preposition in given else replace(typed, preposition="")


def _in_its_case(typed: Clause) -> Clause:
    """I for me where it is who does it."""
    if typed.verb is None or typed.subject is None or typed.subject.noun.word != "me":
        return typed
    return replace(typed, subject=NounGroup(_I))


_POINTING = ("that", "those", "this", "these")


def _pointing(whole: Clause) -> Clause:
    """A thing by itself is pointed at: "big dog" is on its way to "that is a big dog"; what is somebody's is named: "it's my hat"."""
    thing = whole.object
    if whole.verb is not None or whole.subject is not None or thing is not None and thing.article == "no":
        return whole
    if thing is None:
        return replace(whole, contracted=True)
    many = thing.full("a" if not thing.article else thing.article).is_plural
    if thing.article or thing.owner:
        return replace(whole, contracted=True)
    return replace(whole, lead=whole.lead or ("those" if many else "that"))


def _wanted(typed: Clause) -> Clause:
    """More of a thing is asked for: the sentence of "more pea" has I want."""
    want = bank("en").find("want", "verb")
    if typed.verb is None and typed.object is not None and typed.object.article == "more" and want is not None:
        return replace(typed, subject=NounGroup(_I), verb=want)
    return typed


def _pointed(typed: Clause) -> Clause:
    """This and that before a thing point at it: "that hat" is on its way to "that is a hat"."""
    thing = typed.object
    if typed.verb is None and typed.subject is None and thing is not None and thing.article in ("this", "that"):
        return replace(typed, lead=thing.article, object=replace(thing, article=""))
    return typed


def _clause(rung: object) -> Clause:
    if not isinstance(rung, Clause):
        raise TypeError(f"a rung of this ladder is a Clause, not {type(rung).__name__}")
    return rung


def _words(group: NounGroup) -> tuple[SentenceWord, ...]:
    return clause_words(Clause(group))


def _text(group: NounGroup) -> str:
    return " ".join(word.text for word in _words(group))


def _verb_text(clause: Clause) -> str:
    return next((word.text for word in clause_words(clause) if word.verbal), "")
