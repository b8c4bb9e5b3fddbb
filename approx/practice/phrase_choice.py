"""Choosing phrases from many: near to what the child can say, and different from one another."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.practice.phrase_types import Phrase


@cache
def numbers() -> dict[str, Any]:
    """The numbers of `rules/phrases/choice.toml`."""
    return read_toml(rules_path("phrases/choice.toml"))


def choose(phrases: Sequence[Phrase], count: int, seed: int) -> tuple[Phrase, ...]:
    """Up to `count` phrases, one after the other, each the cheapest after counting what is used already.

    No two with one form of today. The same seed gives the same phrases.
    """
    dice = random.Random(seed)
    waiting = [(phrase.cost + dice.random() * numbers()["cost"]["chance"], phrase) for phrase in phrases]
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


def mixed(lists: Sequence[tuple[Phrase, ...]], count: int) -> tuple[Phrase, ...]:
    """One phrase of each list in turn, until there are enough; no two with one form of today or one text."""
    out: list[Phrase] = []
    seen: set[str] = set()
    for turn in range(max(map(len, lists), default=0)):
        for phrases in lists:
            if turn >= len(phrases) or len(out) >= count:
                continue
            phrase = phrases[turn]
            if phrase.today_ipa not in seen and phrase.telegraphic not in seen:
                out.append(phrase)
                seen |= {phrase.today_ipa, phrase.telegraphic}
    return tuple(out)


def _price(waiting: tuple[float, Phrase], used: Counter[str]) -> float:
    cost, phrase = waiting
    again: dict[str, float] = numbers()["again"]
    return cost + sum(used[part.word.lower()] * again.get(part.role, again["other"]) for part in phrase.parts)
