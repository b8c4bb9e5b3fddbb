"""How one child says words today: each word with its adult form, form of today, cost, and what the adult form asks anew.

Choosing phrases from many: near to what the child can say, and different from one another.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from approx.child.demands import Demand, all_demands, describe
from approx.datafiles import read_toml, rules_path
from approx.ipa import read
from approx.ipa.word import Word
from approx.lexicon.homophones import sounds_only
from approx.lexicon.reading import pronunciations
from approx.lexicon.spelling import base_language
from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.phrase_words import SceneWord, may_be_a_word
from approx.practice.phrases.phrase_types import Phrase, PhraseWord
from approx.practice.suggest.input_targets import InputTarget, in_which_language, own_readings
from approx.practice.suggest.suggest import Suggester
from approx.practice.words.word_weights import core_words
from approx.processes.simplify.nearness import as_a_listener_hears
from approx.wording import worded


@cache
def numbers() -> dict[str, Any]:
    """The numbers of `rules/phrases/choice.toml`."""
    return read_toml(rules_path("phrases/choice.toml"))


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


_TWICE = 2


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


Ask = tuple[str, tuple[str, ...]]


class ChildPronouncer:
    """One child's suggester, asked word by word; a reading of the family's own wins over the bank's."""

    def __init__(self, suggester: Suggester) -> None:
        self.suggester = suggester
        self.language = suggester.language
        self.limits = suggester.limits
        self.own = own_readings(suggester.language, suggester.profile)
        self._known: dict[tuple[str, str], PhraseWord] = {}

    def say(self, spelled: str, ipa: str = "", role: str = "fixed") -> PhraseWord:
        """A word as this child says it today; `today_ipa` is "" where nothing of it is sayable or it cannot be read."""
        key = spelled, ipa
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._say(spelled, ipa)
        return PhraseWord(spelled, role, *_rest(found))

    def say_word(self, word: SceneWord, role: str, shown: str = "") -> tuple[PhraseWord, ...]:
        """A word of the scene; a compound gives its words one by one."""
        texts, sounds = (shown or word.word).split(), word.ipa.split()
        if shown and shown.lower() != word.word.lower():  # another form of the word: read anew
            sounds = [""] * len(texts)
        if len(texts) != len(sounds):
            sounds = [word.ipa] if len(texts) == 1 else [""] * len(texts)
        return tuple(self.say(text, ipa, role) for text, ipa in zip(texts, sounds))

    def say_all(self, words: Sequence[SentenceWord]) -> tuple[PhraseWord, ...]:
        """The words of a sentence; articles as said before another word."""
        return tuple(self.say(word.text, word.ipa or self.small(words, at)) for at, word in enumerate(words))

    def small(self, words: Sequence[SentenceWord], at: int) -> str:
        """A grammar word inside a sentence: articles weak, "the" ði before a vowel (English)."""
        text = words[at].text.lower()
        if self.language.lower().startswith("en") and at + 1 < len(words):
            following = words[at + 1].ipa or self.reading(words[at + 1].text)
            vowel = (
                bool(following)
                and adult_word(following, self.language).phones[:1]
                and _opens_with_vowel(following, self.language)
            )
            weak = {"a": "ə", "an": "ən", "the": "ði" if vowel else "ðə"}.get(text)
            if weak:
                return weak
        return ""

    def reading(self, spelled: str) -> str:
        """The first reading of a word, "" if there is none."""
        found = pronunciations(spelled, self.language, self.own) if may_be_a_word(spelled) else ()
        return found[0].ipa if found else ""

    def read(self, spelled: str) -> tuple[str, str]:
        """The child's other language a word is of, "" for the phrase's own, and its first reading there, "" for none."""
        if not may_be_a_word(spelled):
            return "", ""
        readings = pronunciations(spelled, self.language, self.own)
        tag, found = in_which_language(spelled, readings, self.language, self.suggester.profile)
        return tag, found[0].ipa if found else ""

    def asks(self, ipa: str) -> tuple[Ask, ...]:
        """What an adult form asks beyond what is in the inventory, as demand keys."""
        word = adult_word(ipa, self.language)
        return tuple(
            dict.fromkeys(demand.key for demand in all_demands(word.phones, word.starts, self.limits, word.stress))
        )

    def _say(self, spelled: str, ipa: str) -> PhraseWord:
        tag, sounds = "", self.own.get(spelled.lower()) or ipa
        if not sounds:
            tag, sounds = self.read(spelled)
        if not sounds:
            return PhraseWord(spelled, "", "", "", "", 9.0, ())
        adult = adult_word(sounds, tag or self.language)
        asks = self.asks(sounds)
        words, _ = self.suggester.suggestions([InputTarget(spelled, adult, "word list", True, language=tag)])
        forms = words[0].approximations
        new = tuple(dict.fromkeys(described(ask) for ask in asks))
        if not forms:
            return PhraseWord(spelled, "", adult.ipa, "", "", 9.0, new, asks)
        first = next((form for form in forms if not _is_rude(form.clashes)), forms[0])
        if forms[0].chosen:
            first = forms[0]
        cost = first.cost + (numbers()["cost"]["rude"] if _is_rude(first.clashes) else 0.0)
        emerging = self._leans_on(first.word)
        return PhraseWord(spelled, "", adult.ipa, first.ipa, first.spelled, round(cost, 2), (*new, *emerging), asks)

    def _leans_on(self, word: Word) -> tuple[str, ...]:
        """What of today's form is only emerging, where emerging sounds are let in."""
        if not self.suggester.options.emerging:
            return ()
        from approx.child.profile import NOTHING_IN_HAND

        keys = {demand.key for demand in all_demands(word.phones, word.starts, NOTHING_IN_HAND)}
        return tuple(worded("{key}, emerging", key=described(key)) for key in sorted(keys & self.limits.emerging))


def described(ask: Ask) -> str:
    """A demand key in plain words."""
    return describe(Demand(*ask, 0, 0))


@lru_cache(maxsize=16384)
def adult_word(ipa: str, language: str) -> Word:
    """IPA of one word as sounds."""
    words = read(ipa, language).words
    return words[0] if words else Word((), (), ())


def _opens_with_vowel(ipa: str, language: str) -> bool:
    from approx.ipa.features import is_nucleus

    phones = adult_word(ipa, language).phones
    return bool(phones) and is_nucleus(phones[0])


def _is_rude(clashes: Sequence[object]) -> bool:
    return any(getattr(clash, "kind", "") == "rude" for clash in clashes)


def _rest(found: PhraseWord) -> tuple[str, str, str, float, tuple[str, ...], tuple[Ask, ...]]:
    return found.adult_ipa, found.today_ipa, found.today_spelled, found.cost, found.new, found.ask
