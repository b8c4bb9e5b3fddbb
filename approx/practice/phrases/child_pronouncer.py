"""How one child says words today: each word with its adult form, form of today, cost, and what the adult form asks anew."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Any

from approx.child.demands import Demand, all_demands, describe
from approx.datafiles import read_toml, rules_path
from approx.ipa import read
from approx.ipa.word import Word
from approx.lexicon.reading import pronunciations
from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.phrase_words import SceneWord, may_be_a_word
from approx.practice.phrases.phrase_types import PhraseWord
from approx.practice.suggest.input_targets import InputTarget, in_which_language, own_readings
from approx.practice.suggest.suggest import Suggester
from approx.wording import worded


@cache
def numbers() -> dict[str, Any]:
    """The numbers of `rules/phrases/choice.toml`."""
    return read_toml(rules_path("phrases/choice.toml"))


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
