"""What is new, in two orders: what children get early first, or what they get late first. The field disagrees.

Ages: `rules/climb.toml`, the table that orders the rungs of a ladder, with its sources. They order words and are never
shown as limits.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.practice.word_bank import Key, NewThing


def order_key(things: Sequence[NewThing], order: str) -> tuple[int, int]:
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
