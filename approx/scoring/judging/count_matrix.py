"""Rows of numbers of many words held in arrays, for large samples: packed into whole numbers only where one is asked for.

The numbers that a word gives to a sample.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

COUNT_FIELDS = (
    "words", "words_right",
    "consonants", "consonants_right", "consonants_right_a", "consonants_right_r",
    "vowels", "vowels_right", "vowels_right_r",
    "points", "target_points", "pwp_billionths",
    "wcm_produced", "wcm_target", "ipc_produced", "ipc_target",
    "syllables_matched", "shapes_matched", "stress_matched",
    "early", "early_right", "middle", "middle_right", "late", "late_right",
)  # fmt: skip
"""Names of the numbers a word gives. `points` are those of PMLU; `pwp_billionths` is its own proportion times 1e9."""


_SIZE = 8 * len(COUNT_FIELDS)


class CountMatrix(Mapping[int, int]):
    """Each distinct packed row -> words that gave it. Needs numpy.

    `numbers`: (rows, COUNT_FIELDS) as unsigned 64 bits; `times`: how many words gave each. A row may be there several times,
    and in any order; the mapping has it once. `sums`: all words' numbers added up, packed, where that is known.
    """

    def __init__(self, numbers: NDArray[np.uint64], times: NDArray[np.int64], sums: int | None = None) -> None:
        self.numbers, self.times = numbers, times
        self._sums = sums
        self._packed: dict[int, int] | None = None

    def _dict(self) -> dict[int, int]:
        if self._packed is None:
            self._packed = {}
            for row, times in zip(packed_rows(self.numbers), self.times.tolist()):
                self._packed[row] = self._packed.get(row, 0) + times
        return self._packed

    def __getitem__(self, row: int) -> int:
        return self._dict()[row]

    def __iter__(self) -> Iterator[int]:
        return iter(self._dict())

    def __len__(self) -> int:
        return len(self._dict())

    @property
    def sums(self) -> int:
        """All words' numbers added up, packed."""
        if self._sums is None:
            (self._sums,) = packed_rows((self.times.astype(self.numbers.dtype) @ self.numbers)[None])
        return self._sums

    def there(self) -> list[int]:
        """Of each number how many words have it other than 0."""
        found: list[int] = ((self.numbers != 0).T @ self.times).tolist()
        return found

    def products(self) -> list[list[float]]:
        """Each number multiplied with each, added up over words: exact up to 2**53."""
        import numpy as np

        floats = self.numbers.astype(np.float64)
        found: list[list[float]] = ((floats * self.times[:, None]).T @ floats).tolist()
        return found


def added_up(rows: Mapping[int, int]) -> int:
    """All words' numbers added up, packed."""
    if isinstance(rows, CountMatrix):
        return rows.sums
    return sum([row * times for row, times in rows.items()])


def words_of(rows: Mapping[int, int]) -> int:
    """How many words gave some rows."""
    return int(rows.times.sum()) if isinstance(rows, CountMatrix) else sum(rows.values())


def packed_rows(numbers: NDArray[np.uint64]) -> list[int]:
    """Rows of an array as whole numbers."""
    text = numbers.astype("<u8").tobytes()
    return [int.from_bytes(text[at : at + _SIZE], "little") for at in range(0, len(text), _SIZE)]


def unpacked_rows(rows: list[int]) -> NDArray[np.uint64]:
    """The opposite: an array (rows, COUNT_FIELDS)."""
    import numpy as np

    text = b"".join([row.to_bytes(_SIZE, "little") for row in rows])
    return np.frombuffer(text, "<u8").reshape(len(rows), len(COUNT_FIELDS))
