"""In what order the words of a session are said: one word at a time, a few by turns, or at random."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from random import Random
from typing import Literal, get_args

from approx.practice.session.parameters import assumed

TrialOrder = Literal["blocked", "mixed", "random"]
ORDERS: tuple[TrialOrder, ...] = get_args(TrialOrder)
"""blocked: some trials of one word, then of the next. mixed: two or three words by turns. random: any word may come next.

Which is better for a child with apraxia is open: of four children two learned more with blocked, one with random, one with
neither (Maas & Farinella 2012, J Speech Lang Hear Res 55:561-578, abstract): begin blocked, mix later.
"""


def trial_runs(counts: Sequence[int], order: str, seed: int) -> tuple[tuple[int, ...], ...]:
    """Trials cut into runs with a break between: each a sequence of word numbers (from 0).

    `counts`: trials of each word. Every word comes exactly as often as its count says. The same seed gives the same order.
    """
    most = int(assumed("run")["trials"])
    if order == "blocked":
        return _cut_between(_blocked(counts), most)
    sequence = _mixed(counts) if order == "mixed" else _random(counts, seed)
    ends = list(accumulate(_shares(len(sequence), -(-len(sequence) // most)))) if sequence else []
    return tuple(tuple(sequence[start:end]) for start, end in zip([0, *ends], ends))


def _blocked(counts: Sequence[int]) -> list[list[int]]:
    """Blocks of one word each, none longer than the rule allows; a word with more trials comes back later."""
    most = int(assumed("block")["most"])
    rounds = [_shares(count, -(-count // most)) for count in counts]
    passes = max(map(len, rounds), default=0)
    return [[word] * parts[turn] for turn in range(passes) for word, parts in enumerate(rounds) if turn < len(parts)]


def _shares(total: int, parts: int) -> list[int]:
    """`total` in so many whole parts as even as can be, larger ones first."""
    return [total // parts + (number < total % parts) for number in range(parts)]


def _cut_between(blocks: Sequence[Sequence[int]], most: int) -> tuple[tuple[int, ...], ...]:
    """Runs of about `most` trials whose breaks never fall inside a block."""
    total = sum(map(len, blocks))
    wanted = -(-total // most)
    ends = list(accumulate(map(len, blocks)))
    cuts = {0, len(blocks)}
    for number in range(1, wanted):
        ideal = number * total / wanted
        cuts.add(1 + min(range(len(ends)), key=lambda at: abs(ends[at] - ideal)))
    borders = sorted(cuts)
    parts = (blocks[start:end] for start, end in zip(borders, borders[1:]))
    return tuple(tuple(word for block in part for word in block) for part in parts)


def _mixed(counts: Sequence[int]) -> list[int]:
    """Words in small sets; within a set a few trials of each by turns, until the set is done."""
    words, turn = int(assumed("mixed")["words"]), int(assumed("mixed")["trials"])
    sets = _even_sets(range(len(counts)), words)
    out: list[int] = []
    for group in sets:
        left = {word: counts[word] for word in group}
        while any(left.values()):
            for word in group:
                now = min(turn, left[word])
                out += [word] * now
                left[word] -= now
    return out


def _even_sets(words: Sequence[int], most: int) -> list[Sequence[int]]:
    """Sets of at most `most` words, sizes as even as can be: four words are two and two, not three and one."""
    if not words:
        return []
    sizes = _shares(len(words), -(-len(words) // most))
    ends = list(accumulate(sizes))
    return [words[end - size : end] for size, end in zip(sizes, ends)]


def _random(counts: Sequence[int], seed: int) -> list[int]:
    """Shuffled rounds in which each word comes once, so that no word comes more than twice in a row or stays away long."""
    chance = Random(seed)
    left = list(counts)
    out: list[int] = []
    while any(left):
        deck = [word for word, count in enumerate(left) if count]
        chance.shuffle(deck)
        out += deck
        for word in deck:
            left[word] -= 1
    return out
