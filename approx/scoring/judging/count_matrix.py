"""Rows of numbers of many words held in arrays, for large samples: packed into whole numbers only where one is asked for.

The numbers that a word gives to a sample.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

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
    """Each distinct packed row -> words that gave it, in the order of the packed rows. Needs numpy.

    `numbers`: (rows, COUNT_FIELDS) as unsigned 64 bits; `times`: how many words gave each. Both as given to the constructor may
    hold a row several times and in any order.
    """

    def __init__(self, numbers: Any, times: Any) -> None:
        import numpy as np

        # the last number of a packed row weighs most: rows read backwards, big end first, sort as packed ones do
        text = np.ascontiguousarray(numbers[:, ::-1].astype(">u8")).view(f"S{_SIZE}").ravel()
        order = np.argsort(text, kind="stable")
        text = text[order]
        first = np.flatnonzero(np.append(np.ones(min(1, len(text)), bool), text[1:] != text[:-1]))
        self.numbers = numbers[order[first]]
        self.times = np.add.reduceat(times[order].astype(np.int64), first) if len(first) else times[:0]
        self._packed: dict[int, int] | None = None

    def _dict(self) -> dict[int, int]:
        if self._packed is None:
            self._packed = dict(zip(packed_rows(self.numbers), self.times.tolist()))
        return self._packed

    def __getitem__(self, row: int) -> int:
        return self._dict()[row]

    def __iter__(self) -> Iterator[int]:
        return iter(self._dict())

    def __len__(self) -> int:
        return len(self.times)


def added_up(rows: Mapping[int, int]) -> int:
    """All words' numbers added up, packed."""
    if isinstance(rows, CountMatrix):
        (sums,) = packed_rows((rows.times.astype(rows.numbers.dtype) @ rows.numbers)[None])
        return sums
    return sum([row * times for row, times in rows.items()])


def words_of(rows: Mapping[int, int]) -> int:
    """How many words gave some rows."""
    return int(rows.times.sum()) if isinstance(rows, CountMatrix) else sum(rows.values())


def packed_rows(numbers: Any) -> list[int]:
    """Rows of an array as whole numbers."""
    text = numbers.astype("<u8").tobytes()
    return [int.from_bytes(text[at : at + _SIZE], "little") for at in range(0, len(text), _SIZE)]


def unpacked_rows(rows: list[int]) -> Any:
    """The opposite: an array (rows, COUNT_FIELDS)."""
    import numpy as np

    text = b"".join([row.to_bytes(_SIZE, "little") for row in rows])
    return np.frombuffer(text, "<u8").reshape(len(rows), len(COUNT_FIELDS))


def in_arrays(rows: Mapping[int, int]) -> tuple[Any, Any]:
    """Rows in order, and how many words gave each, of any mapping of packed rows."""
    import numpy as np

    if isinstance(rows, CountMatrix):
        return rows.numbers, rows.times
    kept = sorted(rows.items())
    return unpacked_rows([row for row, _ in kept]), np.array([times for _, times in kept], np.int64)
