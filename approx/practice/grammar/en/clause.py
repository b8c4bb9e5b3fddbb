"""An English clause: who does what to what, where; from the telegraphic phrase to the sentence, one feature at a time.

A frame or relation has its adult sentence as a pattern instead: "{the} [is|are] up." with hat is "The hat is up.".
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from approx.practice.grammar.en.forms import inflected
from approx.practice.grammar.en.nouns import NounGroup, SentenceWord, group_words, is_eaten, pronoun
from approx.practice.grammar.kinds import Verb, is_of, verbs
from approx.practice.grammar.phrase_words import SceneWord, bank

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
    plural = group.full("plain" if "{plain}" in pattern else "the").is_plural if group else False

    def put(match: re.Match[str]) -> str:
        article, adjective, one, many = match.groups()
        if one is not None:
            return many if plural else one
        if article == "agent":
            return _text(NounGroup(roles["agent"]).full("the"))
        if article == "ing":
            return _text_of(Clause(verb=roles["action"], marking="ing"))
        if group is None:
            raise ValueError(f"nothing fills {match[0]}")
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


@dataclass(frozen=True, slots=True)
class Clause:
    """Roles and features of a clause. Every feature can be added by itself.

    `marking`: "" (dig), ing (digging), is (is digging), s (digs), past (dug). Without a verb it says what or where a
    thing is, and `copula` adds is or are. `lead`: a word that stands in for the subject ("it", "that"). `before` and
    `after`: fixed words of a phrase (more, no; up). `contracted`: it is, said it's. `as_pronoun`: the subject is she, he, it or they.
    """

    subject: NounGroup | None = None
    verb: SceneWord | None = None
    object: NounGroup | None = None
    preposition: str = ""
    place: NounGroup | None = None
    marking: str = ""
    copula: bool = False
    lead: str = ""
    as_pronoun: bool = False
    question: bool = False
    negative: bool = False
    contracted: bool = False

    @property
    def table(self) -> Verb | None:
        """The verb's row in the table; None for a verb that has none."""
        return verbs("en").get(self.verb.word) if self.verb else None

    @property
    def plural_subject(self) -> bool:
        """Whether the verb agrees with several."""
        if self.as_pronoun and self.subject is not None:
            return self.subject_word == "they"
        return self.subject.is_plural if self.subject else False

    @property
    def subject_word(self) -> str:
        """The pronoun of the subject."""
        return pronoun(self.subject.noun, self.subject.is_plural)[0] if self.subject else ""


_SHORT = {"it": "it's", "they": "they're"}


def clause_words(clause: Clause) -> tuple[SentenceWord, ...]:
    """The words of a clause in order, small letters at the start."""
    subject = _subject(clause)
    objects = group_words(clause.object) if clause.object else ()
    places = _places(clause)
    no = (SentenceWord("not"),) if clause.negative else ()
    if clause.verb is None:
        short = _SHORT.get(clause.lead) if clause.contracted and clause.copula else None
        if short and not (clause.question or clause.negative):
            return (SentenceWord(short), *objects, *places)
        be = (SentenceWord(be_form(clause)),) if clause.copula else ()
        head = (*be, *subject) if clause.question and be else (*subject, *be)
        return (*head, *no, *objects, *places)
    verb = _verb(clause)
    if clause.question:
        helper, rest = _inverted(clause, verb)
        return (*helper, *subject, *no, *rest, *objects, *places)
    if clause.negative:
        verb = _denied(clause, verb)
    return (*subject, *verb, *objects, *places)


def full(clause: Clause, article: str = "", marking: str = "") -> Clause:
    """The adult sentence of a telegraphic clause: articles, number and the marking its verb takes."""
    subject = clause.subject.full("the") if clause.subject else None
    if clause.verb is None:
        thing = clause.object.full(article or clause.object.article or "a") if clause.object else None
        stuff = thing is not None and thing.kind == "mass" and thing.adjective is not None
        if thing and (thing.is_plural or stuff) and thing.article == "a":
            thing = replace(thing, article="plain")
        place = clause.place.full("the") if clause.place else None
        lead = clause.lead or ("" if subject else stand_in(thing))
        return replace(clause, subject=subject, object=thing, place=place, copula=True, lead=lead)
    table = clause.table
    if subject is None and table is not None and table.marking == "s":
        # a state cannot be asked for: "need hat" is "I need a hat."
        clause = replace(clause, subject=NounGroup(SceneWord("I", "aɪ", "pronoun", "person words")))
        subject = clause.subject
    if clause.object is not None and clause.verb is not None:
        clause = replace(clause, object=replace(clause.object, as_object=is_eaten(clause.verb.word)))
    thing = clause.object.full(article or object_article(clause)) if clause.object else None
    place = clause.place.full("the") if clause.place else None
    wanted = marking or (("is" if table is None or table.marking == "is" else "s") if subject else "")
    return replace(clause, subject=subject, object=thing, place=place, marking=wanted)


def stand_in(thing: NounGroup | None) -> str:
    """What stands for the subject where none is named: it is a bee, they are peas, there is no bee."""
    if thing is not None and thing.article == "no":
        return "there"
    return "they" if thing is not None and thing.is_plural else "it"


def object_article(clause: Clause) -> str:
    """The article the adult sentence puts before this object: the, a, plain, or her, his, their before body parts."""
    table = clause.table
    if clause.object is None:
        raise ValueError("a clause without an object has no article before it")
    if clause.object.article:
        return clause.object.article
    if (
        is_of(clause.object.noun.thing, ("body",), "en")
        and clause.object.owner is None
        and clause.subject
        and (table is None or table.article != "plain")
    ):
        return pronoun(clause.subject.noun, clause.subject.is_plural)[2]
    if table is not None and table.article == "plain" and clause.object.noun.category == "people":
        return "the"
    return table.article if table else "the"


def sentence(words: tuple[SentenceWord, ...], mark: str = ".") -> str:
    """Words as one written sentence: capital letter, mark at the end."""
    text = " ".join(word.text for word in words)
    return text[:1].upper() + text[1:] + mark


def _subject(clause: Clause) -> tuple[SentenceWord, ...]:
    if clause.lead:
        return (SentenceWord(clause.lead),)
    if clause.subject is None:
        return ()
    return (SentenceWord(clause.subject_word),) if clause.as_pronoun else group_words(clause.subject)


def _places(clause: Clause) -> tuple[SentenceWord, ...]:
    if clause.place is None:
        return (SentenceWord(clause.preposition),) if clause.preposition else ()
    if clause.preposition == "to" and clause.place.kind == "bare":
        return group_words(clause.place)
    return (*((SentenceWord(clause.preposition),) if clause.preposition else ()), *group_words(clause.place))


def be_form(clause: Clause) -> str:
    """am, is or are for this clause's subject."""
    if clause.subject is not None and clause.subject.noun.word == "I":
        return "am"
    if clause.lead:
        many = clause.object is not None and clause.object.is_plural
        return "are" if clause.lead in ("they", "those", "these") or clause.lead == "there" and many else "is"
    return "are" if clause.plural_subject else "is"


def _bare(clause: Clause) -> SentenceWord:
    """The verb without an ending."""
    if clause.verb is None:
        raise ValueError("the clause has no verb")
    return SentenceWord(clause.verb.word, clause.verb.ipa, "", clause.verb.word, True)


def _verb(clause: Clause) -> tuple[SentenceWord, ...]:
    bare = _bare(clause)
    if clause.marking == "" or clause.marking == "s" and clause.plural_subject:
        return (bare,)
    kind = {"ing": "ing", "is": "ing", "s": "third", "past": "past"}[clause.marking]
    form = inflected(bare.text, kind, bare.ipa)
    said = SentenceWord(form.spelled, form.ipa, form.ending, bare.text, True)
    return (SentenceWord(be_form(clause)), said) if clause.marking == "is" else (said,)


def _inverted(
    clause: Clause, verb: tuple[SentenceWord, ...]
) -> tuple[tuple[SentenceWord, ...], tuple[SentenceWord, ...]]:
    if clause.marking == "is":
        return (verb[0],), verb[1:]
    helper = {"past": "did", "s": "do" if clause.plural_subject else "does"}.get(clause.marking)
    return ((SentenceWord(helper),), (_bare(clause),)) if helper else ((), verb)


def _denied(clause: Clause, verb: tuple[SentenceWord, ...]) -> tuple[SentenceWord, ...]:
    if clause.marking == "is":
        return (verb[0], SentenceWord("not"), *verb[1:])
    helper = {"past": "did", "s": "do" if clause.plural_subject else "does"}.get(clause.marking)
    return (SentenceWord(helper), SentenceWord("not"), _bare(clause)) if helper else (SentenceWord("not"), *verb)
