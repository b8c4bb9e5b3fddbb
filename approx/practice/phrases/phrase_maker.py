"""Phrases for one child: frames and relations filled with words that make sense together and are near to sayable; of many, those
that are nearest and different from one another.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from types import MappingProxyType
from typing import TYPE_CHECKING

from approx.lexicon.frequency import everyday_words
from approx.lexicon.homophones import sounds_only
from approx.lexicon.rude import rude_sounds, rude_word
from approx.lexicon.spelling import base_language
from approx.practice.grammar.kinds import NOT_IN_BANK, Verb, is_natural, is_of, sense, verbs
from approx.practice.grammar.phrase_grammar import Grammar, grammar_of
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary, bank, compounds, plain_form
from approx.practice.grammar.recipes import RELATION, Recipe, SetPhrase, attributes, preposition_of, set_phrases
from approx.practice.phrases.child_pronouncer import ChildPronouncer, adult_word, numbers
from approx.practice.phrases.phrase_types import Phrase, PhraseWord
from approx.practice.suggest.answer import load_of
from approx.practice.suggest.clashes import rude_words
from approx.practice.words.word_bank import seldom_met
from approx.practice.words.word_weights import core_words
from approx.processes.engine.cost_bounds import closeness
from approx.processes.simplify.nearness import as_a_listener_hears
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from approx.lexicon.rude import Strength

Fill = dict[str, SceneWord]
_TWICE = 2
"""Phrases that one word may be in before those without it go first."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """Phrases of one recipe, and, where there are none, what stood in the way in plain words; `lacks`: kinds of word."""

    recipe: Recipe
    phrases: tuple[Phrase, ...]
    missing: str = ""
    lacks: tuple[str, ...] = ()


class PhraseMaker:
    """One child and the words to use: the bank, or a scene."""

    def __init__(
        self, pronouncer: ChildPronouncer, words: Vocabulary | None = None, seed: int = 0, *, is_scene: bool = False
    ) -> None:
        self.pronouncer, self.seed = pronouncer, seed
        self.language = pronouncer.language
        self.sense = sense(pronouncer.language)
        self.is_scene = is_scene
        self.words = words or bank(self.language)
        self.grammar: Grammar = grammar_of(self.language)
        self._early = frozenset() if is_scene else seldom_met(pronouncer.suggester.profile, self.language)
        self._everyday = everyday_words(base_language(self.language))
        self._likely = {role: frozenset(words.split()) for role, words in numbers()["likely"].items()}
        self._rough: dict[SceneWord, float] = {}
        self._tried: dict[str, int] = numbers()["tried"]
        self._nouns = self._easiest(self._clean(self.words.of("noun", "name")), self._tried["things"])
        self._verbs = self._easiest(self._clean(self._listed_verbs()), self._tried["verbs"])
        self._compounds = self._easiest(self._clean(self._own_compounds()), self._tried["things"])

    def phrases(self, recipe: Recipe, count: int) -> Chosen:
        """Up to `count` phrases of a frame or relation."""
        made = list(self._made(recipe))
        ready = {phrase: example for phrase, example, _ in made if phrase is not None}
        seldom = {phrase: share * numbers()["cost"]["seldom"] for phrase, _, share in made if phrase is not None}
        near = {
            phrase: example for phrase, example in ready.items() if phrase.closeness >= numbers()["least_closeness"]
        }
        own = [phrase for phrase, example in near.items() if not example]
        chosen = choose_phrases(own, count, self.seed, seldom)
        if len(chosen) < count:  # names that nobody gave fill up
            others = [phrase for phrase, example in near.items() if example]
            chosen += choose_phrases(others, count - len(chosen), self.seed, seldom)
        if chosen:
            return Chosen(recipe, chosen)
        lacks = () if made else tuple(_ROLE_WORDS[role] for role in recipe.roles if not self._any_for(recipe, role))
        return Chosen(recipe, (), self._missing(recipe, lacks, bool(made), bool(ready)), lacks)

    def set_phrases(self, count: int, length: int = 0) -> Chosen:
        """Up to `count` set phrases; of a scene those made of its words alone; `length`: of so many words, 0 for any."""
        recipe = Recipe(RELATION, (), "", "", "", "", 0, {}, RELATION)
        made = [self._set_phrase(recipe, each) for each in set_phrases(self.language) if self._has(each, length)]
        ready = [phrase for phrase in made if phrase is not None]
        near = [phrase for phrase in ready if phrase.closeness >= numbers()["least_closeness"]]
        chosen = choose_phrases(near, count, self.seed)
        return Chosen(recipe, chosen, "" if chosen else "no set phrase can be made of these words", ())

    def _has(self, phrase: SetPhrase, length: int) -> bool:
        if length and len(phrase.words) != length:
            return False
        return not self.is_scene or all(
            self.words.find(word) or self.words.find(plain_form(word, self.language)) for word in phrase.words
        )

    def _set_phrase(self, recipe: Recipe, phrase: SetPhrase) -> Phrase | None:
        parts = [self.pronouncer.say(word, "", "fixed") for word in phrase.words]
        if any(not part.today_ipa for part in parts) or clashes_within(parts) or self._never_said(parts):
            return None
        made = assembled(parts, phrase.adult, recipe, phrase.words, self.language)
        return replace(made, use=phrase.use)

    def _made(self, recipe: Recipe) -> Iterator[tuple[Phrase | None, bool, int]]:
        """Each phrase that is tried, whether a name in it is the bank's own example, and how many of its words are not said in
        most weeks or not in that role."""
        fixed = sum(self._cost_of(word) for word in recipe.fixed)
        ranked = sorted(
            ((fixed + sum(map(self.rough, fill.values())), at, fill) for at, fill in enumerate(self._fills(recipe))),
            key=lambda item: item[:2],
        )
        for fill in islice(
            self._spread(fill for _, _, fill in ranked if self._natural(recipe, fill)), self._tried["phrases"]
        ):
            seldom = sum((not self._is_everyday(word)) + self._is_unlikely(role, word) for role, word in fill.items())
            yield self.phrase(recipe, fill), any(map(_is_example_name, fill.values())), seldom

    def _is_unlikely(self, role: str, word: SceneWord) -> bool:
        """A doer, owner or place that a small child seldom names; the clinician's own words and names of the family are none."""
        likely = self._likely.get(role)
        return likely is not None and not word.own and word.word.lower() not in likely and word.category != "names"

    def _is_everyday(self, word: SceneWord) -> bool:
        """A word of the clinician's own or of most weeks; of a compound every part."""
        return word.own or word.part == "name" or all(part in self._everyday for part in word.word.split())

    def _natural(self, recipe: Recipe, fill: Fill) -> bool:
        return is_natural(recipe.id, recipe.fixed, {role: word.thing for role, word in fill.items()}, self.language)

    def _spread(self, ranked: Iterable[Fill]) -> Iterator[Fill]:
        """Not too many with one action, or the easiest action would be in all that are weighed."""
        used: Counter[SceneWord] = Counter()
        for fill in ranked:
            action = fill.get("action")
            if action is None or used[action] < self._tried["phrases_a_verb"]:
                used.update([action] if action else [])
                yield fill

    def phrase(self, recipe: Recipe, fill: Fill) -> Phrase | None:
        """A phrase; None where a word is not sayable yet or two different words would be one form."""
        parts: list[PhraseWord] = []
        for part in recipe.parts:
            if part.startswith("'"):
                fixed = self.grammar.fixed(part[1:], fill)
                parts.append(self.pronouncer.say(fixed, "", "fixed"))
            else:
                parts += self.pronouncer.say_word(fill[part], part, self.grammar.telegraphic(recipe, part, fill))
        if any(not part.today_ipa for part in parts) or clashes_within(parts) or self._never_said(parts):
            return None
        words = tuple(part.word for part in parts)
        return assembled(parts, self.grammar.sentence(recipe, fill), recipe, words, self.language)

    def _never_said(self, parts: Sequence[PhraseWord]) -> bool:
        """Whether a word, or words run together, are heard as what nobody wants a child to be heard saying."""
        return any(strength == "never" for _, strength in rude_in(parts, self.language))

    def rough(self, word: SceneWord) -> float:
        """A quick guess at how far a word is, without a search: what it asks anew, and a little for long words and those of few weeks."""
        known = self._rough.get(word)
        if known is None:
            sounds = word.ipa.split()
            asks = sum(len(self.pronouncer.asks(ipa)) for ipa in sounds)
            length = sum(len(adult_word(ipa, self.language).starts) for ipa in sounds)
            guess = numbers()["guess"]
            known = guess["example_name"] * _is_example_name(word) + guess["seldom"] * (not self._is_everyday(word))
            known += guess["ask"] * asks + guess["syllable"] * length
            self._rough[word] = known
        return known

    def _cost_of(self, fixed: str) -> float:
        return self.pronouncer.say(fixed.strip("<>")).cost

    def _easiest(self, words: Sequence[SceneWord], most: int) -> tuple[SceneWord, ...]:
        return tuple(sorted(words, key=self.rough)[:most])

    def _clean(self, words: Sequence[SceneWord]) -> tuple[SceneWord, ...]:
        """Words without those that are rude by themselves, heard as another word of need (pea), of other countries, or seldom part of a small
        child's day, unless the clinician named them."""

        def clean(word: SceneWord) -> bool:
            heard = {note.heard_as for note in rude_sounds(word.ipa, self.language)}
            early = not self._early.isdisjoint(word.word.split())
            return not early and not rude_word(word.ipa, self.language) and heard <= {word.word}

        return tuple(word for word in words if word.own or clean(word))

    def _listed_verbs(self) -> tuple[SceneWord, ...]:
        table = verbs(self.language)
        return tuple(word for word in self.words.of("verb") if word.word in table)

    def _own_compounds(self) -> tuple[SceneWord, ...]:
        if not self.is_scene:
            return compounds(self.language)
        named = {word.word.lower() for word in self.words.words}
        listed = [word for word in compounds(self.language) if set(word.word.split()) <= named]
        return tuple(dict.fromkeys([*(word for word in self.words.words if " " in word.word), *listed]))

    def _fitting(self, recipe: Recipe, role: str, words: Sequence[SceneWord]) -> tuple[SceneWord, ...]:
        return tuple(word for word in words if recipe.fits(role, word.thing, self.language))

    def _fills(self, recipe: Recipe) -> Iterator[Fill]:
        """Every sensible way to fill a recipe with the easiest words."""
        roles = recipe.roles
        if "action" in roles:
            yield from self._action_fills(recipe)
        elif roles == ("preposition", "place"):
            for place in self._fitting(recipe, "place", self._nouns):
                preposition = self.words_preposition(place)
                if preposition:
                    yield {"preposition": preposition, "place": place}
        elif "attribute" in roles:
            yield from self._attribute_fills()
        elif len(roles) == 1:
            pool = self._compounds if roles[0] == "compound" else self._nouns
            for word in self._fitting(recipe, roles[0], pool):
                yield {roles[0]: word}
        else:
            one, other = roles
            for first in self._fitting(recipe, one, self._nouns):
                for second in self._fitting(recipe, other, self._nouns)[:40]:
                    if first.word != second.word:
                        yield {one: first, other: second}

    def words_preposition(self, place: SceneWord) -> SceneWord | None:
        """The preposition that goes with a place, as a word of the bank."""
        preposition = preposition_of(place.thing, self.language)
        return bank(self.language).find(preposition, "preposition") if preposition else None

    def _attribute_fills(self) -> Iterator[Fill]:
        for spelled, kinds in attributes(self.language).items():
            word = self.words.find(spelled, "adjective")
            if word is None:
                continue
            things = (n for n in self._nouns if self._described(spelled, kinds, n))
            for thing in islice(things, 25):
                yield {"attribute": word, "entity": thing}

    def _described(self, word: str, kinds: Sequence[str], noun: SceneWord) -> bool:
        """Whether a describing word is said of a thing; of one the bank does not have, as far as kinds say."""
        if noun.category == NOT_IN_BANK:
            return is_of(noun.thing, kinds, self.language)
        return self.sense.listed("describes", word, noun.thing)

    def _action_fills(self, recipe: Recipe) -> Iterator[Fill]:
        for word in self._verbs:
            verb = verbs(self.language)[word.word]
            wanted = recipe.kinds.get("action")
            if wanted and word.word not in wanted or word.word in recipe.without:
                continue
            for fill in self._with_objects(recipe, verb):
                base = {"action": word, **fill}
                if "agent" not in recipe.roles:
                    yield base
                    continue
                taken = {filler.word for filler in fill.values()}
                for doer in islice((n for n in self._nouns if self._does(recipe, verb, n)), self._tried["doers"]):
                    if doer.word not in taken:
                        yield {"agent": doer, **base}

    def _does(self, recipe: Recipe, verb: Verb, noun: SceneWord) -> bool:
        return (verb.done_by(noun.thing) and self.sense.goes_with(verb.verb, "agent", noun.thing)) and (
            not recipe.kinds.get("agent") or recipe.fits("agent", noun.thing, self.language)
        )

    def _with_objects(self, recipe: Recipe, verb: Verb) -> Iterator[Fill]:
        """What goes after the verb in this recipe: nothing, a thing, a place, or both."""
        thing, place = "object" in recipe.roles, "place" in recipe.roles
        if recipe.with_object:
            if verb.objects and verb.marking == "is":
                yield {}
            return
        if not thing and not place:
            if verb.alone and (recipe.id != "question-who" or verb.marking == "is"):
                yield {}
            return
        needs_place = bool(verb.objects) and not verb.alone and bool(verb.places)
        objects = (
            [n for n in self._nouns if verb.takes(n.thing) and self.sense.goes_with(verb.verb, "object", n.thing)][
                : self._tried["things_a_verb"]
            ]
            if thing
            else []
        )
        places = (
            [n for n in self._nouns if verb.preposition(n.thing) and self.sense.goes_with(verb.verb, "place", n.thing)][
                : self._tried["things_a_verb"]
            ]
            if place
            else []
        )
        if thing and not place:
            if not needs_place:
                yield from ({"object": noun} for noun in objects)
        elif place and not thing:
            if verb.alone:
                yield from ({"place": noun} for noun in places)
        else:
            yield from (
                {"object": one, "place": other} for one in objects for other in places if one.word != other.word
            )

    def _missing(self, recipe: Recipe, lacks: Sequence[str], tried: bool, sayable: bool) -> str:
        """Why there is no phrase, in plain words."""
        name = f"'{recipe.text}'" if recipe.frame else f"'{recipe.id}'"
        source = "in the list of words" if self.is_scene else "in the word bank"
        if sayable:
            return worded("{name}: every phrase would be too far from the adult words today", name=name)
        if tried:
            return worded("{name}: no phrase yet in which every word has a form of its own today", name=name)
        if lacks:
            return worded(
                "{name} needs {what} {source}",
                name=name,
                what=enumerated(" and ", (_with_article(what) for what in lacks)),
                source=source,
            )
        return worded("{name} finds no words that go together {source}", name=name, source=source)

    def _any_for(self, recipe: Recipe, role: str) -> bool:
        if role == "action":
            return bool(self._verbs)
        if role == "preposition":
            return True
        if role == "attribute":
            return any(self.words.find(word, "adjective") for word in attributes(self.language))
        if role == "compound":
            return bool(self._compounds)
        if role in ("agent", "object", "place") and "action" in recipe.roles and not recipe.kinds.get(role):
            table = [verbs(self.language)[verb.word] for verb in self._verbs] or list(verbs(self.language).values())
            test = {"agent": Verb.done_by, "object": Verb.takes, "place": Verb.preposition}[role]
            return any(test(verb, noun.thing) for verb in table for noun in self._nouns)
        return bool(self._fitting(recipe, role, self._nouns))


def _is_example_name(word: SceneWord) -> bool:
    """A name of the bank that stands for anybody; the family's own and those of kin (Mommy) are none."""
    return word.part == "name" and word.category == "names" and not word.own


_ROLE_WORDS = {
    "agent": "doer (a name, a person or an animal)", "action": "action word", "object": "thing that goes with an action word",
    "place": "place", "possessor": "person", "entity": "fitting thing", "attribute": "describing word",
    "compound": "two-part word", "preposition": "place word", "slot": "word for the open place",
}  # fmt: skip


def _with_article(what: str) -> str:
    return worded("an {role}" if what[0] in "aeiou" else "a {role}", role=what)


def assembled(parts: Sequence[PhraseWord], adult: str, recipe: Recipe, words: tuple[str, ...], language: str) -> Phrase:
    """A phrase from its words as said today."""
    said = [adult_word(part.today_ipa, language) for part in parts]
    weight = load_of(said)
    cost = sum(part.cost for part in parts) + numbers()["cost"]["jump"] * weight.jumps
    return Phrase(
        words=words,
        telegraphic=" ".join(words),
        adult_sentence=adult,
        today_ipa=" ".join(part.today_ipa for part in parts),
        today_spelled=" ".join(part.today_spelled for part in parts),
        relation=recipe.relation if recipe.frame else recipe.id,
        new=tuple(
            dict.fromkeys(worded("{ask} in '{text}'", ask=new, text=part.word) for part in parts for new in part.new)
        ),
        use=recipe.use,
        adult_ipa=" ".join(part.adult_ipa for part in parts),
        frame=recipe.id if recipe.frame else "",
        parts=tuple(parts),
        load=weight,
        closeness=round(closeness(cost / max(len(parts), 1)), 2),
        cost=round(cost, 2),
    )


def clashes_within(parts: Sequence[PhraseWord]) -> tuple[str, ...]:
    """Words of one phrase that are one form today though the adult says them apart."""
    seen: dict[str, PhraseWord] = {}
    out = []
    for part in parts:
        other = seen.setdefault(part.today_ipa, part)
        if other.adult_ipa != part.adult_ipa:
            out.append(worded("{word} and {words} sound alike today", word=other.word, words=part.word))
    return tuple(out)


def rude_in(parts: Sequence[PhraseWord], language: str) -> tuple[tuple[str, Strength], ...]:
    """What today's form of a phrase is heard as, word by word and run together, with its strength."""
    today = " ".join(part.today_ipa for part in parts)
    return rude_words(today, language, " ".join(part.adult_ipa for part in parts))


def with_clashes(phrases: Sequence[Phrase], language: str) -> tuple[Phrase, ...]:
    """Each phrase with what it is heard as, where that is rude, and the words of the other phrases that sound like one of
    its own today."""
    by_form: dict[str, dict[str, str]] = {}
    for phrase in phrases:
        for part in phrase.parts:
            by_form.setdefault(part.today_ipa, {}).setdefault(part.adult_ipa, part.word)
    out = []
    for phrase in phrases:
        told = [worded("careful: sounds like {words}", words=name) for name, _ in rude_in(phrase.parts, language)]
        for part in dict.fromkeys(phrase.parts):
            own = {other.adult_ipa for other in phrase.parts}  # said already: "it and is sound alike today"
            others = [word for adult, word in by_form[part.today_ipa].items() if adult not in own]
            if others:
                told.append(worded("{word} sounds like {words} today", word=part.word, words=enumerated(", ", others)))
        out.append(replace(phrase, clashes=tuple(dict.fromkeys((*phrase.clashes, *told)))))
    return tuple(out)


def choose_phrases(
    phrases: Sequence[Phrase], count: int, seed: int, more: Mapping[Phrase, float] = MappingProxyType({})
) -> tuple[Phrase, ...]:
    """Up to `count` phrases, one after the other, each the cheapest after counting what is used already; `more`: what is
    added to the cost of some.

    No two with one form of today. The same seed gives the same phrases.
    """
    dice = random.Random(seed)
    waiting = [
        (phrase.cost + more.get(phrase, 0.0) + dice.random() * numbers()["cost"]["chance"], phrase)
        for phrase in phrases
    ]
    used: Counter[str] = Counter()
    forms: set[str] = set()
    out: list[Phrase] = []
    while waiting and len(out) < count:
        waiting = [(cost, phrase) for cost, phrase in waiting if phrase.today_ipa not in forms]
        if not waiting:
            break
        at = min(range(len(waiting)), key=lambda number: _price(waiting[number], used))
        _, phrase = waiting.pop(at)
        out.append(phrase)
        forms.add(phrase.today_ipa)
        used.update(part.word.lower() for part in phrase.parts)
    return tuple(out)


def mixed(
    lists: Sequence[tuple[Phrase, ...]], count: int, language: str
) -> tuple[tuple[Phrase, ...], tuple[tuple[str, str], ...]]:
    """Phrases, and pairs of words of which one asks and the other refuses though both are one form: phrases with the first are
    left out. One phrase of each list in turn, until there are enough; no two with one form of today or one text; of a list the
    first whose words are not in two of those taken already, where there is one.

    A phrase with a word that sounds like another word of those taken waits until there is no better one; one that refuses where
    the other asks (no, more) is left out, for nobody could tell which is meant.
    """
    out: list[Phrase] = []
    waiting: list[Phrase] = []
    seen: set[str] = set()
    heard: dict[str, list[PhraseWord]] = {}
    used: Counter[str] = Counter()
    rest = [list(phrases) for phrases in lists]

    def is_fresh(phrase: Phrase) -> bool:
        return all(used[part.word.lower()] < _TWICE for part in phrase.parts if part.role != "fixed")

    def alike(phrase: Phrase) -> list[tuple[PhraseWord, PhraseWord]]:
        pairs = ((part, other) for part in phrase.parts for other in heard.get(_heard(part, language), ()))
        return [(part, other) for part, other in pairs if sounds_only(part.adult_ipa) != sounds_only(other.adult_ipa)]

    def take(phrase: Phrase) -> None:
        seen.update((phrase.today_ipa, phrase.telegraphic))
        out.append(phrase)
        used.update(part.word.lower() for part in phrase.parts)
        for part in phrase.parts:
            heard.setdefault(_heard(part, language), []).append(part)

    while any(rest) and len(out) < count:
        for phrases in (each for each in rest if each):
            if len(out) >= count:
                break
            phrase = next(filter(is_fresh, phrases), phrases[0]) if len(rest) > 1 else phrases[0]
            phrases.remove(phrase)
            if phrase.today_ipa in seen or phrase.telegraphic in seen:
                continue
            if alike(phrase):
                waiting.append(phrase)
            else:
                take(phrase)
    left: dict[tuple[str, str], None] = {}
    for phrase in waiting:
        opposed = [(part.word, other.word) for part, other in alike(phrase) if _opposed(part, other, language)]
        left |= dict.fromkeys(opposed)
        if len(out) < count and not {phrase.today_ipa, phrase.telegraphic} & seen and not opposed:
            take(phrase)
    return tuple(out), tuple(left)


def _heard(part: PhraseWord, language: str) -> str:
    return as_a_listener_hears(adult_word(part.today_ipa, language))


def _opposed(one: PhraseWord, other: PhraseWord, language: str) -> bool:
    """Whether one of two words refuses first of all and the other asks, directs or agrees."""
    core = core_words(base_language(language))
    first = [
        (core[word].functions or ("",))[0] if word in core else "" for word in (one.word.lower(), other.word.lower())
    ]
    return "refuse" in first and not {"request", "direct", "answer"}.isdisjoint(first)


def _price(waiting: tuple[float, Phrase], used: Counter[str]) -> float:
    cost, phrase = waiting
    again: dict[str, float] = numbers()["again"]
    return cost + sum(used[part.word.lower()] * again.get(part.role, again["other"]) for part in phrase.parts)
