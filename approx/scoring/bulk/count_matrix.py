"""The numbers of many words: a row each, with the columns of `CountRow`.

A number of a usual word fits a byte, and the billionths of its points follow from two others: so a row is 24 bytes, or three
numbers of eight, which are added as one (`lanes`). A row that does not fit stands beside the matrix as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from approx.scoring.judging.counts import COUNT_FIELDS, CountRow

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Bytes = NDArray[np.uint8]
    Lanes = NDArray[np.uint64]

BILLIONTHS = "pwp_billionths"
BYTE_FIELDS = COUNT_FIELDS[:-1]
"""All but the billionths, which come last."""
COLUMN = {name: at for at, name in enumerate(BYTE_FIELDS)}


def byte_rows(size: int) -> Bytes:
    """So many rows of zeros."""
    import numpy as np

    return np.zeros((size, len(BYTE_FIELDS)), np.uint8)


def lanes(rows: Bytes) -> Lanes:
    """Rows with eight numbers in one, of one memory with `rows`: to add two of these adds all eight, as long as none goes over 255."""
    import numpy as np

    return rows.view(np.uint64)


class CountMatrix:
    """Numbers of words by place. `others`: place -> the row of a word that is not usual."""

    def __init__(self, rows: Bytes, others: Mapping[int, CountRow]) -> None:
        self._rows, self._others = rows, others

    def column(self, name: str) -> Ints:
        """One of `COUNT_FIELDS` of each word."""
        import numpy as np

        if name == BILLIONTHS:
            points, target = (self._rows[:, COLUMN[each]].astype(np.int64) for each in ("points", "target_points"))
            found = (points * 1_000_000_000 + target // 2) // np.maximum(target, 1)
        else:
            found = self._rows[:, COLUMN[name]].astype(np.int64)
        for at, row in self._others.items():
            found[at] = getattr(row, name)
        return found

    def each(self) -> list[CountRow]:
        """The row of each word."""
        return list(map(CountRow, *(self.column(name).tolist() for name in COUNT_FIELDS)))
