"""Counts and figures of many words at once, worked out in arrays. `counted_groups` is the way in: the number of pairs decides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from approx.scoring.alignment.align import MANY, one_by_one

if TYPE_CHECKING:
    from approx.scoring.alignment.align import Linker


def linker_for(pairs: int) -> Linker:
    """What aligns so many pairs soonest: in arrays where they are many, else one by one."""
    if pairs < MANY:
        return one_by_one
    from approx.scoring.bulk.word_links import link_words

    return link_words
