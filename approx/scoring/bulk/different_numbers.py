"""Whole numbers from 0 on, and objects, told apart: which different ones there are, and which of these each is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Whole = NDArray[np.integer]

T = TypeVar("T")

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
    found = np.flatnonzero(there)
    place = np.empty(most, np.int32)  # only what is there is written and read
    place[found] = np.arange(len(found))
    return found, place[numbers].astype(np.int64)


class NumberedObjects(Generic[T]):
    """Objects told apart by identity: `different` ones in order of first sight, and the number of `each` among these. Who has
    this keeps the objects. Arrays, for a dictionary of many objects takes much room."""

    def __init__(self, objects: Sequence[T]) -> None:
        import numpy as np

        self._ids, first, place = np.unique(_ids(objects), return_index=True, return_inverse=True)
        in_order = np.argsort(first)
        self._numbers = np.empty(len(first), np.int32)
        self._numbers[in_order] = np.arange(len(first))
        self.different = [objects[at] for at in first[in_order].tolist()]
        self.each: NDArray[np.int32] = self._numbers[place]

    def of(self, objects: Sequence[T]) -> NDArray[np.int32]:
        """The number of each of some of them."""
        import numpy as np

        return self._numbers[np.searchsorted(self._ids, _ids(objects))]


def _ids(objects: Sequence[object]) -> Ints:
    import numpy as np

    return np.fromiter(map(id, objects), np.int64, len(objects))
