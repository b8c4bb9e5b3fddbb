"""Productions that share so little with their adult form that names for the changes would mean nothing: how much of such
work is done for one file.

A search among changes takes the longer the less two forms share. A child's own words are hardly ever so; a file with
its columns mixed up, or of noise, is nothing else, and would be searched for minutes.
"""

from __future__ import annotations

from collections.abc import Sequence

from approx.ipa.word import Word
from approx.processes.explain.deletions import COST_UNEXPLAINED
from approx.processes.explain.derivation import Derivation
from approx.scoring.alignment.align import Link

LEAST_SOUNDS, KEPT_ONE_IN = 6, 3
"""Both forms have so many sounds at least, and less than one in so many is said as it is."""
MOST_WORK = 50_000
"""Cells of the alignments of such pairs, in one file; some 1,400 pairs of six sounds, or 125 of twenty."""


def is_strange(target: Word, produced: Word, links: Sequence[Link], least: int = LEAST_SOUNDS) -> bool:
    """True for a pair that shares too little. `least`: sounds that both have at least."""
    one, other = target.phones, produced.phones
    if len(one) < least or len(other) < least:
        return False
    kept = sum([i is not None and j is not None and one[i] == other[j] for i, j in links])
    return KEPT_ONE_IN * kept < max(len(one), len(other))


class StrangePairs:
    """Counts the work on such pairs; those beyond it are not explained. `left`: how many those were."""

    def __init__(self) -> None:
        self.work = self.left = 0

    def too_many(self, target: Word, produced: Word, links: Sequence[Link]) -> bool:
        """True where this pair is strange, and there was enough of that."""
        if not is_strange(target, produced, links):
            return False
        self.work += len(target.phones) * len(produced.phones)
        if self.work <= MOST_WORK:
            return False
        self.left += 1
        return True


def unexplained(target: Word, produced: Word, links: Sequence[Link]) -> Derivation:
    """The reading of a pair that is not looked into: each sound that is not said as it is stays unexplained."""
    said = {i for i, j in links if i is not None and j is not None and target.phones[i] == produced.phones[j]}
    changed = tuple(at for at in range(len(target.phones)) if at not in said)
    return Derivation((), (), changed, round(COST_UNEXPLAINED * len(changed), 4))
