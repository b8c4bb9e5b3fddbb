"""Whole numbers from 0 on told apart: which different ones there are, and which of these each is."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Whole = NDArray[np.integer]

_ROOM = 16
"""Times as many places as numbers up to which a table of all places is quicker than sorting."""


def different(numbers: Whole) -> Ints:
    """Each different number once, in order."""
    import numpy as np

    most = int(numbers.max(initial=-1)) + 1
    if most <= _ROOM * len(numbers):
        there = np.zeros(most, bool)
        there[numbers] = True
        return np.flatnonzero(there)
    ordered = np.sort(numbers).astype(np.int64)
    return ordered[np.flatnonzero(np.diff(ordered, prepend=-1))]


def told_apart(numbers: Whole) -> tuple[Ints, Ints]:
    """Each different number once, in order; and for each number its place among these."""
    import numpy as np

    most = int(numbers.max(initial=-1)) + 1
    if most > _ROOM * len(numbers):
        found, which = np.unique(numbers, return_inverse=True)
        return found.astype(np.int64), which
    there = np.zeros(most, bool)
    there[numbers] = True
    return np.flatnonzero(there), (np.cumsum(there, dtype=np.int32)[numbers] - 1).astype(np.int64)
