"""How far a form is from the adult word, whoever says it and by whatever rules: what the ear hears of the difference."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from approx.datafiles import read_toml, rules_path
from approx.ipa.features import distance, is_nucleus
from approx.ipa.word import Word
from approx.processes.engine.form import Form
from approx.scoring.alignment.align import align_forms


@dataclass(frozen=True, slots=True)
class _Prices:
    """The numbers of [apart] in `rules/search.toml`."""

    lost_consonant: float
    lost_vowel: float
    added_consonant: float
    added_vowel: float
    consonant_base: float
    consonant_per: float
    consonant_most: float
    vowel_base: float
    vowel_per: float
    vowel_most: float
    one_to_the_ear: str
    one_at_the_end: str


@cache
def _prices() -> _Prices:
    return _Prices(**read_toml(rules_path("search.toml"))["apart"])


@cache
def _one_sound() -> dict[str, str]:
    """Vowels that stress alone tells apart, by the one they are written as here."""
    pairs = (pair.split() for pair in _prices().one_to_the_ear.split(","))
    return {sound: first for first, *others in pairs for sound in (first, *others)}


def same_to_the_ear(one: str, other: str) -> bool:
    """True for one sound in two symbols: ʌ and ə, which are told apart by stress alone."""
    return one == other or _one_sound().get(one, one) == _one_sound().get(other, other)


def sounds_like_it(one: Word, other: Word) -> bool:
    """True for two words without a difference that an ear hears; stress is left out of account."""
    if one.phones == other.phones:
        return True
    return len(one.phones) == len(other.phones) and all(map(same_to_the_ear, one.phones, other.phones))


def as_a_listener_hears(word: Word | Form) -> str:
    """The sounds of a form as one hears them who listens for words: as `as_heard`, and ɑ, ʌ and ə are one in a weak syllable at
    the end of a longer word (baba, bye-bye said as [ˈbɑˌbɑ])."""
    last = word.phones[-1] if word.phones else ""
    weak = len(word.starts) > 1 and word.stress[-1] != 1 and last in _weak_at_the_end()
    return _heard((*word.phones[:-1], "ə")) if weak else _heard(word.phones)


@cache
def _weak_at_the_end() -> frozenset[str]:
    return frozenset(_prices().one_at_the_end.split())


def as_heard(word: Word | Form) -> str:
    """The sounds of a word (a form) as one text that is the same for words no ear tells apart; stress is left out of account."""
    return _heard(word.phones)


@lru_cache(maxsize=65536)
def _heard(phones: tuple[str, ...]) -> str:
    known = _one_sound()
    return " ".join([known.get(phone, phone) for phone in phones])


def apart(adult: Word, form: Word) -> float:
    """0 for the adult word itself, more with every sound lost, added or changed. Numbers: `rules/search.toml`, [apart]."""
    p, found = _prices(), align_forms(adult, form)
    total = 0.0
    for at, said_at in found.links:
        if said_at is None and at is not None:
            total += p.lost_vowel if is_nucleus(found.target[at]) else p.lost_consonant
        elif at is None and said_at is not None:
            total += p.added_vowel if is_nucleus(found.produced[said_at]) else p.added_consonant
        elif at is not None and said_at is not None:
            total += _between(found.target[at], found.produced[said_at])
    return round(total, 6)


@cache
def _between(sound: str, said: str) -> float:
    p = _prices()
    if same_to_the_ear(sound, said):
        return 0.0
    if is_nucleus(sound) and is_nucleus(said):
        return min(p.vowel_base + p.vowel_per * distance(sound, said), p.vowel_most)
    return min(p.consonant_base + p.consonant_per * distance(sound, said), p.consonant_most)
