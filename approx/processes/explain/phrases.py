"""Phrases are explained word by word: their words, and the readings of these put together."""

from __future__ import annotations

from collections.abc import Sequence

from approx.ipa.word import UNINTELLIGIBLE, Word
from approx.processes.explain.derivation import Derivation, GoodReadings
from approx.scoring.alignment.align import WordPair, word_pairs

MOST_OTHERS = 6
"""Good readings beside the first one."""


def parts_of(target: Word, produced: Word) -> list[WordPair]:
    """The words of a phrase, each with what was said for it. A word left out whole is a matter of syntax, not of sounds, and
    of one that nobody understood no process can be told."""
    whole = list(word_pairs(target, produced))
    said = [pair for pair in whole if pair.produced.phones]
    return (
        [pair for pair in said if not nothing_understood(pair.target) and not nothing_understood(pair.produced)]
        or said
        or whole
    )


def nothing_understood(word: Word) -> bool:
    """Whether a word is one mark for what nobody understood."""
    return word.phones == (UNINTELLIGIBLE,)


def phrase_readings(parts: Sequence[WordPair], found: Sequence[GoodReadings]) -> GoodReadings:
    """The readings of a phrase from those of its words: the first of each, then one other at a time."""
    first = [_shifted(readings[0], part.at[0]) for part, readings in zip(parts, found)]
    out = [_together(first)]
    for number, (part, readings) in enumerate(zip(parts, found)):
        for other in readings[1:]:
            out.append(_together([*first[:number], _shifted(other, part.at[0]), *first[number + 1 :]]))
    return (out[0], *sorted(out[1:], key=lambda each: each.cost)[:MOST_OTHERS])


def _shifted(reading: Derivation, by: int) -> Derivation:
    """The reading of a word as part of a phrase in which its first sound stands at `by`."""
    uses = tuple([use._replace(targets=tuple([t + by for t in use.targets])) for use in reading.uses])
    return reading._replace(uses=uses, unexplained=tuple([t + by for t in reading.unexplained]))


def _together(readings: Sequence[Derivation]) -> Derivation:
    return Derivation(
        tuple([use for each in readings for use in each.uses]),
        tuple([step for each in readings for step in each.steps]),
        tuple([t for each in readings for t in each.unexplained]),
        round(sum(each.cost for each in readings), 4),
    )
