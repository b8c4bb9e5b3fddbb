"""Products of the numbers of words, added up over a sample: all that intervals need, in one pass over the words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from struct import Struct

from approx.scoring.judging.counts import COUNT_FIELDS
from approx.scoring.measures.intervals import Moments

_PLACE = {name: at for at, name in enumerate(COUNT_FIELDS)}
_NUMBERS = Struct(f"<{len(COUNT_FIELDS)}Q")


class Products:
    """Of the words of one sample: sums, sums of products of two numbers, and words where a number is not 0."""

    def __init__(self, rows: Mapping[int, int]) -> None:
        self.words = sum(rows.values())
        kept = [(_NUMBERS.unpack(row.to_bytes(_NUMBERS.size, "little")), times) for row, times in rows.items()]
        columns = list(zip(*[numbers for numbers, _ in kept])) or [()] * len(COUNT_FIELDS)
        times = [often for _, often in kept]
        self._there = lambda at: sum([often for number, often in zip(columns[at], times) if number])
        self._product = lambda at, to: sum([a * b * often for a, b, often in zip(columns[at], columns[to], times)])

    _there: Callable[[int], int]
    _product: Callable[[int, int], int]

    def words_with(self, name: str) -> int:
        """Words where a number is not 0."""
        return self._there(_PLACE[name])

    def product(self, ones: Sequence[str], others: Sequence[str]) -> int:
        """The sum over words of (ones added up) × (others added up)."""
        if len(ones) == len(others) == 1:
            return self._product(_PLACE[ones[0]], _PLACE[others[0]])
        return sum([self._product(_PLACE[one], _PLACE[other]) for one in ones for other in others])

    def moments(self, top: Sequence[str], bottom: Sequence[str], sums: Callable[[str], int]) -> Moments:
        """The moments of a ratio; a word has a chance where the first number of `bottom` is not 0, or where there are
        several, always."""
        if len(top) == len(bottom) == 1:
            one, other, product = _PLACE[top[0]], _PLACE[bottom[0]], self._product
            squares = product(one, one), product(one, other), product(other, other)
            return Moments(self._there(other), sums(top[0]), sums(bottom[0]), *squares)
        words = self.words_with(bottom[0]) if len(bottom) == 1 else self.words
        return Moments(
            words,
            sum([sums(name) for name in top]),
            sum([sums(name) for name in bottom]),
            self.product(top, top),
            self.product(top, bottom),
            self.product(bottom, bottom),
        )
