"""English noun groups: article, plural, owner, describing word; who is she, he, it; what goes by its name alone.

Lists are data: `rules/phrases/nouns_en.toml`. "an" follows from the first sound of the next word.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import NamedTuple

from approx.datafiles import read_toml, rules_path
from approx.ipa.features import is_nucleus
from approx.practice.grammar.en.forms import Inflected, inflected, possessive
from approx.practice.grammar.phrase_words import SceneWord


class SentenceWord(NamedTuple):
    """A word of a sentence: as spelled, and as said where that is not what the lexicon gives ("" = ask the lexicon).

    `ending`: sounds of a regular ending it bears. `stem`: the word without it. `verbal`: True for a form of a verb.
    """

    text: str
    ipa: str = ""
    ending: str = ""
    stem: str = ""
    verbal: bool = False


_MANY = frozenset({"i", "you", "we", "they"})
"""Pronouns after which a verb has no -s."""


@dataclass(frozen=True, slots=True)
class NounGroup:
    """A thing or person as it stands in a sentence.

    `article`: "" (telegraphic), "the", "a" (also an, some), "plain" (no article, plural) or a word such as "my", "her".
    `numbered`: plural shown where the thing is met in numbers. `owner`: whose. `adjective`: describing word.
    """

    noun: SceneWord
    article: str = ""
    numbered: bool = False
    owner: SceneWord | None = None
    owner_marked: bool = False
    adjective: SceneWord | None = None
    as_object: bool = False

    @property
    def kind(self) -> str:
        """name, pronoun, bare, unique, plural, mass, many or one."""
        return noun_kind(self.noun, self.as_object)

    @property
    def is_plural(self) -> bool:
        """Whether the verb must agree with more than one."""
        if self.kind == "pronoun":
            return self.noun.word.lower() in _MANY
        return self.kind == "plural" or self.numbered and self.kind in ("many", "one")

    def full(self, article: str) -> NounGroup:
        """As in an adult sentence: with this article, and in the number it is met in."""
        shared = self.noun.word.split()[-1] in noun_lists()["shared"]
        many = (
            self.numbered or self.kind == "many" or article in ("plain", "more") and self.kind == "one" and not shared
        )
        marked = self.owner is not None
        return replace(self, article="the" if marked else article, numbered=many and not marked, owner_marked=marked)


def noun_kind(noun: SceneWord, as_object: bool = False) -> str:
    """How a noun takes articles and number: name, pronoun, bare, unique, plural, mass, many or one."""
    if noun.part == "pronoun":
        return "pronoun"
    if noun.part == "name" or is_name(noun.word):
        return "name"
    last = noun.word.split()[-1]
    lists = noun_lists()
    for kind in ("bare", "unique", "plural", "mass", "many"):
        if last in lists[kind]:
            return kind
    return "mass" if as_object and last in lists["mass_as_object"] else "one"


def is_eaten(verb: str) -> bool:
    """Verbs after which chicken and fish are food: "eating the fish", but "seeing a fish"."""
    return verb in noun_lists()["mass_verbs"]


def is_name(word: str) -> bool:
    """Family words used as names: Mama, Grandpa."""
    return word.lower() in noun_lists()["names"]


def shown_noun(noun: SceneWord) -> str:
    """The word as written inside a sentence: names with a capital letter."""
    return noun.word[:1].upper() + noun.word[1:] if noun_kind(noun) == "name" else noun.word


def pronoun(noun: SceneWord, plural: bool = False) -> tuple[str, str, str]:
    """(she, her, her), (he, him, his), (it, it, its) or (they, them, their)."""
    lists = noun_lists()
    if noun.part == "pronoun":
        own = {"i": "my", "you": "your", "we": "our", "they": "their", "he": "his", "she": "her"}
        return noun.word, noun.word, own.get(noun.word.lower(), "its")
    name = noun.word if noun.part == "name" else noun.word.lower()
    if plural or noun.pronoun == "they":
        return "they", "them", "their"
    if noun.pronoun:
        return {"she": ("she", "her", "her"), "he": ("he", "him", "his")}[noun.pronoun]
    if name in lists["she"] or name.lower() in lists["she"]:
        return "she", "her", "her"
    if name in lists["he"] or name.lower() in lists["he"]:
        return "he", "him", "his"
    if noun.part == "name" or noun.category == "people":
        return "they", "them", "their"
    return "it", "it", "its"


def group_words(group: NounGroup) -> tuple[SentenceWord, ...]:
    """The words of a noun group in order."""
    kind, article = group.kind, group.article
    nouns = _noun_words(group)
    adjective = (SentenceWord(group.adjective.word, group.adjective.ipa),) if group.adjective else ()
    if group.owner is not None:
        return (*_owner(group), *adjective, *nouns)
    if kind in ("name", "pronoun", "bare") and not adjective and article in ("", "the", "a", "plain"):
        return nouns
    rest = (*adjective, *nouns)
    if article in ("", "plain"):
        return rest
    if kind == "unique":
        return (SentenceWord("the"), *rest)
    if article != "a":
        return (SentenceWord(article), *rest)
    if kind in ("mass", "plural", "bare", "name") or group.is_plural:
        return (SentenceWord("some"), *rest)
    return (SentenceWord("an" if begins_with_vowel(rest[0].ipa) else "a"), *rest)


def begins_with_vowel(ipa: str) -> bool:
    """Whether "an" stands before it."""
    return is_nucleus(ipa.lstrip("ˈˌ.")[:1])


def _owner(group: NounGroup) -> tuple[SentenceWord, ...]:
    owner = group.owner
    if owner is None:
        raise ValueError("nobody owns it")
    name = shown_noun(owner)
    article = (SentenceWord(group.article),) if group.article and noun_kind(owner) != "name" else ()
    if not group.owner_marked:
        return (*article, SentenceWord(name, owner.ipa))
    form = possessive(name, owner.ipa)
    return (*article, SentenceWord(form.spelled, form.ipa, form.ending, name))


def _noun_words(group: NounGroup) -> tuple[SentenceWord, ...]:
    """The noun, plural if it is met in numbers; a compound in its two words."""
    spelled = shown_noun(group.noun).split()
    said = group.noun.ipa.split()
    if len(said) != len(spelled):
        said = [group.noun.ipa, *[""] * (len(spelled) - 1)]
    words = [SentenceWord(text, ipa) for text, ipa in zip(spelled, said)]
    if group.numbered and group.kind in ("many", "one"):
        last = words[-1]
        form: Inflected = inflected(last.text, "plural", last.ipa)
        words[-1] = SentenceWord(form.spelled, form.ipa, form.ending, last.text)
    return tuple(words)


@cache
def noun_lists() -> dict[str, frozenset[str]]:
    """Lists of nouns by name."""
    table = read_toml(rules_path("phrases/nouns_en.toml"))
    return {name: frozenset(value.split()) for name, value in table.items() if isinstance(value, str)}
