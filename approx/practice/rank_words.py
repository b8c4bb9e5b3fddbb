"""Rank words for one child: most in hand first, at most one new thing unless asked, useful words first, and why.

`rank(profile)` is the whole of it for a program. Two orders are offered for what is new ("early", "harder"); the field
disagrees, so without one words stand by what is in hand and by use.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from approx.child.demands import all_demands
from approx.child.profile import Limits, Profile, limits
from approx.practice.new_order import order_key
from approx.practice.word_bank import BankWord, RankedWord, load_bank, with_readings
from approx.practice.word_facts import NewThings, asked, cautions
from approx.practice.word_filters import NO_FILTERS, Candidate, Filters
from approx.practice.word_goals import Goal
from approx.practice.word_weights import rank_weights
from approx.practice.words_in import own_readings


def rank(
    profile: Profile,
    *,
    filters: Filters = NO_FILTERS,
    goals: Sequence[Goal] = (),
    order: str = "",
    language: str = "",
    emerging: bool = False,
    bank: Sequence[BankWord] | None = None,
) -> tuple[RankedWord, ...]:
    """Every word that passes the filters, best first, each spelling and sound once.

    `order`: "" (in hand and use), "early" or "harder". `emerging`: count emerging sounds and shapes as in hand. `bank`:
    words to choose from, else the shipped bank with the child's own readings. Today's forms are not worked out here
    (`approx.practice.said_today`).
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
    new = NewThings(limit)
    out = []
    for word in bank:
        missing = all_demands(word.adult.phones, word.adult.starts, limit)
        out.append(Candidate(word, missing, new.of(word.adult, missing)))
    return tuple(out)


def ranked(
    words: Sequence[Candidate], limit: Limits, filters: Filters, goals: Sequence[Goal] = (), order: str = ""
) -> tuple[RankedWord, ...]:
    """The candidates that pass, best first. A word listed twice with one sound is kept once, as it stands first."""
    seen: set[tuple[str, tuple[str, ...]]] = set()
    out: list[RankedWord] = []
    for candidate in filters.keep(words):
        word = candidate.bank
        key = word.word.lower(), word.adult.phones
        if key not in seen:
            seen.add(key)
            out.append(_ranked(candidate, limit, goals))
    return in_order(out, order)


def in_order(words: Iterable[RankedWord], order: str = "") -> tuple[RankedWord, ...]:
    """Words with fewest new things first; among them by the order named, then by score."""
    if not order:
        return tuple(sorted(words, key=lambda each: (len(each.things), -each.score, each.word)))
    return tuple(
        sorted(words, key=lambda each: (len(each.things), order_key(each.things, order), -each.score, each.word))
    )


def _ranked(candidate: Candidate, limit: Limits, goals: Sequence[Goal]) -> RankedWord:
    word, things, w = candidate.bank, candidate.things, rank_weights()
    have, asks = asked(word, candidate.missing, limit)
    met = tuple(goal.text for goal in goals if goal.works_on(word))
    score = w.use * word.use + w.picture * word.picturable + w.simple * (1 - min(word.wcm, 10) / 10)
    score += w.in_hand * have / asks + w.goal * len(met)
    score += w.caution * len(cautions(word))
    if things:
        score += w.emerging * all(thing.emerging for thing in things)
        score += w.one_demand * (sum(len(thing.keys) for thing in things) == 1)
    return RankedWord(word, have, asks, things, round(score, 4), _reasons(word, have, asks, candidate, met), met)


def _reasons(word: BankWord, have: int, asks: int, candidate: Candidate, met: Sequence[str]) -> tuple[str, ...]:
    """Why the word stands where it stands, in plain words, what counts most first."""
    out = ["all of it is in hand" if not candidate.things else f"{have} of {asks} things in hand"]
    out += [f"new: {thing.text}" for thing in candidate.things]
    if met:
        out.append(f"works on {', '.join(met)}")
    out.append(word.use_reason)
    if word.picturable:
        out.append("can be drawn")
    out += [f"take care: {said}" for said in cautions(word)]
    return tuple(out)
