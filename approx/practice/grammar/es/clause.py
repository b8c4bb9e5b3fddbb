"""A Spanish clause and its noun groups: articles, agreement, owner with de, describing word after the thing."""

from __future__ import annotations

from dataclasses import dataclass, replace

from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.es.forms import agreeing, is_feminine, noun_lists, plural, plural_verb, takes_el, verb_form
from approx.practice.grammar.kinds import Verb, is_of, verbs
from approx.practice.grammar.phrase_words import SceneWord


@dataclass(frozen=True, slots=True)
class SpanishNounGroup:
    """A thing or person. `article`: "", el, un, plain, or a word such as mi. `numbered`: plural shown. `agrees`: the
    describing word agrees. `owner_marked`: de before the owner. `personal`: a before a person that something is done to."""

    noun: SceneWord
    article: str = ""
    numbered: bool = False
    adjective: SceneWord | None = None
    agrees: bool = False
    owner: SceneWord | None = None
    owner_marked: bool = False
    personal: bool = False

    @property
    def kind(self) -> str:
        """name, mass, many or one."""
        lists, word = noun_lists(), self.noun.word.lower()
        if self.noun.part == "name" or word in lists["names"]:
            return "name"
        if self.noun.part == "pronoun":
            return "pronoun"
        return (
            "plural"
            if word in lists["plural"]
            else "many"
            if word in lists["many"]
            else "mass"
            if word in lists["mass"]
            else "one"
        )

    @property
    def feminine(self) -> bool:
        """Whether words that agree with it are feminine."""
        word = self.noun.word
        if self.noun.pronoun:
            return self.noun.pronoun == "she"
        return word.lower() in noun_lists()["names"] and word.lower() in ("mamá", "mami") or is_feminine(word)

    @property
    def is_plural(self) -> bool:
        """Whether words that agree with it are plural."""
        return self.kind == "plural" or self.numbered and self.kind in ("many", "one")

    def full(self, article: str) -> SpanishNounGroup:
        """As in an adult sentence."""
        return replace(self, article=article, numbered=self.kind == "many", agrees=True, owner_marked=True)


@dataclass(frozen=True, slots=True)
class SpanishClause:
    """Roles and features. `marking`: "" and s (come), ing (comiendo), is (está comiendo), past (comió). `clitic`: the
    object as lo, la. `as_pronoun`: the subject as él, ella, ellos, ellas. `predicate`: what the subject is (grande), after es or está where `copula` shows it.
    `command`: nobody is named who does it, it is asked for (pon)."""

    subject: SpanishNounGroup | None = None
    verb: str = ""
    object: SpanishNounGroup | None = None
    preposition: str = ""
    place: SpanishNounGroup | None = None
    marking: str = ""
    copula: bool = False
    clitic: bool = False
    as_pronoun: bool = False
    predicate: SceneWord | None = None
    agrees: bool = False
    question: bool = False
    negative: bool = False
    command: bool = False

    @property
    def table(self) -> Verb | None:
        """What is known of the verb; None for an unknown one."""
        return verbs("es").get(self.verb)

    @property
    def subject_pronoun(self) -> str:
        """él, ella, ellos or ellas; "" for a thing, which Spanish leaves unsaid, and for a person who is called neither."""
        group = self.subject
        if group is None or group.kind == "pronoun" or group.noun.pronoun == "they":
            return ""
        if group.kind != "name" and not is_of(group.noun.thing, ("person", "animal"), "es"):
            return ""
        name = group.noun.word.lower()
        known = group.noun.pronoun or name in noun_lists()["names"] or name.endswith(("a", "o"))
        if group.noun.part == "name" and not known:
            return ""
        if group.is_plural:
            return "ellas" if group.feminine else "ellos"
        return "ella" if group.feminine else "él"

    @property
    def plural_subject(self) -> bool:
        """Whether the verb agrees with several."""
        return self.subject is not None and self.subject.is_plural


def group_words(group: SpanishNounGroup) -> tuple[SentenceWord, ...]:
    """The words of a noun group in order."""
    noun = group.noun.word
    many = group.is_plural
    spelled = noun if not many or group.kind == "plural" else plural(noun)
    thing = SentenceWord(spelled, group.noun.ipa if spelled == noun else "", "", "" if spelled == noun else noun)
    after: tuple[SentenceWord, ...] = ()
    if group.adjective is not None:
        word = group.adjective.word
        said = agreeing(word, group.feminine, many) if group.agrees else word
        after = (SentenceWord(said, group.adjective.ipa if said == word else "", "", "" if said == word else word),)
    if group.owner is not None:
        owner = SpanishNounGroup(group.owner, "el" if group.owner_marked else "")
        words = group_words(owner)
        if group.owner_marked:
            words = (SentenceWord("del"), *words[1:]) if words[0].text == "el" else (SentenceWord("de"), *words)
        after = (*after, *words)
    article = article_of(group)
    before = ("al",) if group.personal and article == "el" else ("a", article) if group.personal else (article,)
    return (*(SentenceWord(word) for word in before if word), thing, *after)


def article_of(group: SpanishNounGroup) -> str:
    """el la los las, un una unos unas, or another word; "" for names and where none stands."""
    kind, many = group.kind, group.is_plural
    if group.article == "un" and group.noun.word.lower() in noun_lists()["unique"]:
        return article_of(replace(group, article="el"))
    if group.article in ("", "plain") or kind in ("name", "pronoun") and group.article in ("el", "un"):
        return ""
    if group.article == "el":
        return (
            "los"
            if many and not group.feminine
            else "las"
            if many
            else "la"
            if group.feminine and not takes_el(group.noun.word)
            else "el"
        )
    if group.article == "un":
        if kind == "mass":
            return ""
        return "un" if takes_el(group.noun.word) and not many else agreeing("un", group.feminine, many)
    if group.article in ("mi", "tu", "su"):
        return group.article + ("s" if many else "")
    return agreeing(group.article, group.feminine, many)


def clause_words(clause: SpanishClause) -> tuple[SentenceWord, ...]:
    """The words of a clause in order, small letters at the start."""
    subject: tuple[SentenceWord, ...] = (SentenceWord(clause.subject_pronoun),) if clause.as_pronoun else ()
    subject = group_words(clause.subject) if clause.subject and not subject else subject
    thing = group_words(clause.object) if clause.object and not clause.clitic else ()
    no = (SentenceWord("no"),) if clause.negative else ()
    be = (SentenceWord(be_form(clause)),) if clause.copula else ()
    if not clause.verb:
        return (*subject, *no, *be, *_predicate(clause), *thing, *place_words(clause))
    return (*subject, *no, *_clitics(clause), *_verb(clause), *thing, *place_words(clause))


def full(clause: SpanishClause) -> SpanishClause:
    """The adult sentence of a telegraphic clause."""
    subject = clause.subject.full("el") if clause.subject else None
    place = clause.place.full("el") if clause.place else None
    if not clause.verb:
        thing = (
            clause.object.full(clause.object.article or ("el" if clause.object.owner else "un"))
            if clause.object
            else None
        )
        return replace(clause, subject=subject, object=thing, place=place, copula=True, agrees=True)
    table = clause.table
    thing = None
    if clause.object is not None:
        article = clause.object.article or (table.article if table else "the")
        thing = clause.object.full({"the": "el", "a": "un"}.get(article, article))
        if thing.kind == "name" or is_of(thing.noun.thing, ("person",), "es"):
            thing = replace(thing, article="el", personal=True)
    marking = ("is" if table is None or table.marking == "is" else "s") if subject else ""
    return replace(clause, subject=subject, object=thing, place=place, marking=marking)


def be_form(clause: SpanishClause) -> str:
    """es or está (son, están): está for places and states, es for what a thing is."""
    group = clause.subject or clause.object
    many = group is not None and group.is_plural
    state = clause.predicate is not None and clause.predicate.word in noun_lists()["state"]
    is_somewhere = bool(clause.preposition or clause.place) or group is None
    one = "está" if state or is_somewhere else "es"
    return plural_verb(one) if many else one


def place_words(clause: SpanishClause) -> tuple[SentenceWord, ...]:
    """Preposition and place; a + el is al."""
    there = group_words(clause.place) if clause.place else ()
    if clause.preposition == "a" and there and there[0].text == "el":
        return (SentenceWord("al"), *there[1:])
    return (*((SentenceWord(clause.preposition),) if clause.preposition else ()), *there)


def with_se(clause: SpanishClause) -> bool:
    """se cae; se está lavando la mano."""
    table = clause.table
    if table is None or clause.subject is None:
        return False
    own = clause.object is not None and is_of(clause.object.noun.thing, ("body",), "es") and clause.object.owner is None
    return table.se == "yes" or table.se == "body" and own


def _predicate(clause: SpanishClause) -> tuple[SentenceWord, ...]:
    if clause.predicate is None:
        return ()
    word, group = clause.predicate.word, clause.subject
    said = agreeing(word, group.feminine, group.is_plural) if clause.agrees and group else word
    return (SentenceWord(said, clause.predicate.ipa if said == word else "", "", "" if said == word else word),)


def _clitics(clause: SpanishClause) -> tuple[SentenceWord, ...]:
    own = (SentenceWord("se"),) if with_se(clause) and clause.marking in ("is", "past", "s") else ()
    if not clause.clitic or clause.object is None:
        return own
    thing = clause.object
    form = ("las" if thing.feminine else "los") if thing.is_plural else "la" if thing.feminine else "lo"
    return (*own, SentenceWord(form))


def _verb(clause: SpanishClause) -> tuple[SentenceWord, ...]:
    if clause.command:
        return (SentenceWord(verb_form(clause.verb, "command"), verbal=True),)
    third = verb_form(clause.verb, "third")
    if clause.marking in ("", "s"):
        return (SentenceWord(plural_verb(third) if clause.plural_subject and clause.marking else third, verbal=True),)
    if clause.marking == "past":
        past = verb_form(clause.verb, "past")
        return (SentenceWord(_past_plural(clause.verb, past) if clause.plural_subject else past, verbal=True),)
    gerund = SentenceWord(verb_form(clause.verb, "gerund"), stem=third, verbal=True)
    return (SentenceWord("están" if clause.plural_subject else "está"), gerund) if clause.marking == "is" else (gerund,)


def _past_plural(verb: str, past: str) -> str:
    """comieron from comió, fueron from fue."""
    if verb in ("ir", "ser"):
        return "fueron"
    if past.endswith("ió"):
        return past[:-2] + "ieron"
    if past.endswith(("yó", "jo", "io")):
        return past[:-1] + "eron"
    return past[:-1] + ("aron" if past.endswith("ó") else "ieron")  # cantaron; pusieron


def sentence(words: tuple[SentenceWord, ...], question: bool = False) -> str:
    """Words as one written sentence."""
    text = " ".join(word.text for word in words)
    text = text[:1].upper() + text[1:]
    return f"¿{text}?" if question else text + "."
