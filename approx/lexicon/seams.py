"""Where a dictionary word is two words: the seam cuts syllables and keeps the second vowel full."""

from __future__ import annotations

from functools import lru_cache

from approx.lexicon.cmudict import entries
from approx.lexicon.frequency import zipf
from approx.lexicon.word_sets import word_set

SHORTEST_PART = 3
COMMON = 3.0  # zipf; rarer parts are mostly surnames and scraps


def second_part(word: str, symbols: list[str]) -> int | None:
    """Index in `symbols` where the second word of a compound begins, None if it is not one.

    Both parts must be common words whose own sounds, stress aside, make up the whole (bath + tub).
    """
    if len(word) < 5 or not word.isalpha():
        return None
    if not any(symbol[-1] == "2" for symbol in symbols) and not ends_in_full_part(word):
        return None
    bare = _bare(symbols)
    for first, second in common_splits(word):
        lengths = {len(begin) for begin in entries(first) if bare[: len(begin)] == _bare(begin)}
        for length in sorted(lengths):
            stressed = any(symbol[-1] in "12" for symbol in symbols[length:])
            if not stressed and second not in word_set("full_second_parts"):
                continue
            if any(_bare(end) == bare[length:] for end in entries(second)):
                return length
    return None


@lru_cache(maxsize=4096)
def common_splits(word: str) -> tuple[tuple[str, str], ...]:
    """Every way to cut a word into two common words of three letters or more, or "up" as the second."""
    shortest_last = 2 if word.endswith("up") else SHORTEST_PART
    places = range(SHORTEST_PART, len(word) - shortest_last + 1)
    pairs = ((word[:place], word[place:]) for place in places)
    return tuple(pair for pair in pairs if zipf(pair[1]) >= COMMON and zipf(pair[0]) >= COMMON)


def ends_in_full_part(word: str) -> bool:
    """Whether a word ends in one of the second parts that keep a full vowel (tub, brush, nut, ...)."""
    return any(word[start:] in word_set("full_second_parts") for start in range(len(word) - 6, len(word) - 2))


def _bare(symbols: list[str]) -> list[str]:
    return [symbol.rstrip("012") for symbol in symbols]
