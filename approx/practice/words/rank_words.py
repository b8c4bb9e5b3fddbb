"""Rank words for one child: those with most in the inventory first, at most one new thing unless asked, useful words first, and why.

`rank(profile)` is the whole of it for a program. Two orders are offered for what is new: what children get early first ("early"),
or what they get late first ("harder"). The field disagrees, so without one words stand by what is in the inventory and by use. Ages:
`rules/climb.toml`, the table that orders the rungs of a ladder, with its sources. They order words and are never shown as limits.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

from approx.child.demands import all_demands
from approx.child.profile import Limits, Profile
from approx.child.search_limits import limits
from approx.datafiles import read_toml, rules_path
from approx.practice.suggest.input_targets import own_readings
from approx.practice.words.word_bank import BankWord, Key, NewElement, RankedWord, load_bank, with_readings
from approx.practice.words.word_facts import NewElements, asked, cautions
from approx.practice.words.word_filters import NO_FILTERS, Candidate, Filters
from approx.practice.words.word_goals import WordGoal
from approx.practice.words.word_weights import few_words, rank_weights
from approx.wording import enumerated, worded


def order_key(things: Sequence[NewElement], order: str) -> tuple[int, int]:
    """Sorts what is new in a word: by "early" or "harder"; words with nothing new stand first and alike."""
    if not things:
        return 0, 0
    emerging = all(thing.emerging for thing in things)
    latest = max(months(key) for thing in things for key in thing.keys)
    return (int(not emerging), latest) if order == "early" else (int(emerging), -latest)


def months(key: Key) -> int:
    """The age by which children usually stop simplifying what a demand asks for."""
    kinds, sounds = _ages()
    kind, item = key
    if kind in ("consonant", "vowel"):
        return sounds.get(item[0], sounds["other"] if kind == "consonant" else kinds["vowel"])
    if kind == "cluster":
        # a cluster is as late as its latest sound
        return max(kinds["cluster"], *(sounds.get(sound, sounds["other"]) for sound in item[:-1]))
    return kinds[kind]


@cache
def _ages() -> tuple[dict[str, int], dict[str, int]]:
    table: dict[str, Any] = read_toml(rules_path("climb.toml"))
    both = {**table["consonants"], **table["vowels"]}
    return table["kinds"], {sound: age for sounds, age in both.items() for sound in sounds.split()}


def rank(
    profile: Profile,
    *,
    filters: Filters = NO_FILTERS,
    goals: Sequence[WordGoal] = (),
    order: str = "",
    language: str = "",
    emerging: bool = False,
    bank: Sequence[BankWord] | None = None,
) -> tuple[RankedWord, ...]:
    """Every word that passes the filters, best first, each spelling and sound once.

    `order`: "" (share in the inventory, and use), "early" or "harder". `emerging`: count emerging sounds and shapes as in the inventory. `bank`:
    words to choose from, else the shipped bank with the child's own readings. Today's forms are not worked out here
    (`approx.practice.words.word_facts`).
    """
    language = language or profile.language
    words = bank_for(profile, language) if bank is None else bank
    limit = limits(profile, emerging)
    return ranked(candidates(words, limit), limit, filters, goals, order)


def bank_for(profile: Profile, language: str = "") -> tuple[BankWord, ...]:
    """The shipped bank for a child, with the readings of the child's file and of this clinician; () without a bank."""
    language = language or profile.language
    bank = load_bank(language)
    return with_readings(bank, own_readings(language, profile), language) if bank else ()


def candidates(bank: Sequence[BankWord], limit: Limits) -> tuple[Candidate, ...]:
    """Every word with what it asks beyond the limits."""
    new = NewElements(limit)
    out = []
    for word in bank:
        missing = all_demands(word.adult.phones, word.adult.starts, limit, word.adult.stress)
        out.append(Candidate(word, missing, new.of(word.adult, missing)))
    return tuple(out)


def ranked(
    words: Sequence[Candidate], limit: Limits, filters: Filters, goals: Sequence[WordGoal] = (), order: str = ""
) -> tuple[RankedWord, ...]:
    """The candidates that pass, best first. A word listed twice with one sound is kept once, as it stands first."""
    few = sum(not candidate.things for candidate in words) < few_words()
    seen: set[tuple[str, tuple[str, ...]]] = set()
    out: list[RankedWord] = []
    for candidate in filters.keep(words):
        word = candidate.bank
        key = word.word.lower(), word.adult.phones
        if key not in seen:
            seen.add(key)
            out.append(_ranked(candidate, limit, goals, few))
    return in_order(out, order)


_POWER = {1: 1.0, 2: 0.5}
"""What a core word of a tier counts for a child of few words."""


def in_order(words: Iterable[RankedWord], order: str = "") -> tuple[RankedWord, ...]:
    """Words with fewest new things first; among them by the order named, then by score."""
    if not order:
        return tuple(sorted(words, key=lambda each: (len(each.things), -each.power, -each.score, each.word)))
    return tuple(
        sorted(words, key=lambda each: (len(each.things), order_key(each.things, order), -each.score, each.word))
    )


def _ranked(candidate: Candidate, limit: Limits, goals: Sequence[WordGoal], few: bool) -> RankedWord:
    word, things, w = candidate.bank, candidate.things, rank_weights()
    have, asks = asked(word, candidate.missing, limit)
    met = tuple(goal.text for goal in goals if goal.works_on(word))
    score = w.use * word.use + w.picture * word.picturable + w.simple * (1 - min(word.wcm, 10) / 10)
    score += w.in_hand * have / asks + w.goal * len(met)
    score += w.interest * bool(word.interest) + w.caution * len(cautions(word))
    if things:
        score += w.emerging * all(thing.emerging for thing in things)
        score += w.one_demand * (sum(len(thing.keys) for thing in things) == 1)
    power = _POWER.get(word.tier, 0.0) if few else 0.0
    singleton = any(goal.is_singleton_in(word) for goal in goals)
    reasons = _reasons(word, have, asks, candidate, met, power)
    return RankedWord(word, have, asks, things, round(score, 4), reasons, met, singleton, word.functions, power)


def _reasons(
    word: BankWord, have: int, asks: int, candidate: Candidate, met: Sequence[str], power: float
) -> tuple[str, ...]:
    """Why the word stands where it stands, in plain words, what counts most first."""
    out = [
        "every sound is in the inventory"
        if not candidate.things
        else worded("{have} of {asks} {asks:element|elements} in the inventory", have=have, asks=asks)
    ]
    out += [worded("new: {text}", text=thing.text) for thing in candidate.things]
    if power:
        out.append(worded("core word for a child with few words: {functions}", functions=word.functions[0]))
    if met:
        out.append(worded("works on {met}", met=enumerated(", ", met)))
    if word.interest:
        out.append(worded("what this child loves: {words}", words=word.interest))
    out.append(word.use_reason)
    if word.picturable:
        out.append("picturable")
    out += [worded("take care: {said}", said=said) for said in cautions(word)]
    return tuple(out)
