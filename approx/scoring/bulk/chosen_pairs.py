"""Pairs of a score table chosen in groups, with how often each was said: what all words of each group come to.

Every array that is given back holds a number a group.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from approx.scoring.bulk.different_numbers import different, told_apart
from approx.scoring.bulk.group_slots import GroupSlots
from approx.scoring.bulk.interval_arrays import MomentArrays
from approx.scoring.judging.counts import FormKey
from approx.scoring.judging.options import ScoringOptions

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from approx.scoring.bulk.score_table import ScoreTable

    Ints = NDArray[np.int64]

FieldNames = Sequence[str]
"""Names of `COUNT_FIELDS` that are added up."""


class ChosenPairs:
    """Groups that stand one after the other: their pairs, how often each was said, and how many pairs each group has."""

    def __init__(self, table: ScoreTable, which: Ints, times: Ints, sizes: Ints) -> None:
        import numpy as np

        self.table, self.which, self.times = table, which, times
        self.groups = len(sizes)
        self.ends = np.cumsum(sizes)
        self._there = sizes > 0
        self._starts = (self.ends - sizes)[self._there]
        self._group = np.repeat(np.arange(self.groups), sizes)
        self._rows = table.chosen(which)
        self._numbers: dict[str, Ints] = {}
        self.tokens = self._added(times)
        self._words = self._word_forms()
        self.slots = self._slots()
        """How often each slot was met."""

    def rows_and_forms(self, at: int) -> tuple[dict[int, int], dict[FormKey, int]]:
        """The packed numbers and the forms of the words of one group, as `Counts` has them."""
        part = slice(int(self.ends[at - 1]) if at else 0, int(self.ends[at]))
        which, times = self.which[part], self.times[part].tolist()
        rows: dict[int, int] = {}
        forms: dict[FormKey, int] = {}
        for row, pair, often in zip(self.table.rows(which), which.tolist(), times):
            key = self.table.key(pair)
            rows[row] = rows.get(row, 0) + often
            forms[key] = forms.get(key, 0) + often
        return rows, forms

    def sums(self, names: FieldNames) -> Ints:
        """Numbers of words added up."""
        return self._added(self._of_words(names) * self.times)

    def words_with(self, name: str) -> Ints:
        """Words where a number is not 0."""
        return self._added(self.times * (self._of_words((name,)) != 0))

    def product(self, one: str, other: str) -> Ints:
        """Two numbers of each word multiplied, added up."""
        return self._added(self._of_words((one,)) * self._of_words((other,)) * self.times)

    def moments(self, top: FieldNames, bottom: FieldNames, bounded: bool = True) -> MomentArrays:
        """The moments of a ratio, as `Products.moments` has them. Not `bounded`: where products do not fit 64 bits."""
        one, other, times = self._of_words(top), self._of_words(bottom), self.times
        if not bounded:
            one, other, times = (numbers.astype(object) for numbers in (one, other, times))
        many, few = one * times, other * times
        words = self.words_with(bottom[0]) if len(bottom) == 1 else self.tokens
        products = (many * one, many * other, few * other)
        return MomentArrays(words, self._added(many), self._added(few), *map(self._added, products))

    def inconsistency(self, options: ScoringOptions) -> tuple[Ints, Ints]:
        """Words not said alike every time, and words said often enough, as `variability.inconsistency` counts them."""
        group, forms, tokens, right = self._words
        counted = tokens >= options.tokens_a_word
        if options.variability != "every difference":
            counted = counted & ~((forms == 2) & right)
        return self._number_of(group[counted & (forms > 1)]), self._number_of(group[counted])

    def variability(self, options: ScoringOptions) -> MomentArrays:
        """The moments of what `variability.shapes_and_tokens` gives."""
        group, forms, tokens, _ = self._words
        again = tokens > 1
        group, forms, tokens = group[again], forms[again], tokens[again]
        if options.pwv == "shapes less one over tokens less one":
            forms, tokens = forms - 1, tokens - 1
        elif options.pwv == "zero when all alike":
            forms = forms * (forms > 1)
        products = (forms, tokens, forms * forms, forms * tokens, tokens * tokens)
        return MomentArrays(self._number_of(group), *(self._number_of(group, numbers) for numbers in products))

    def structure_levels(self) -> MomentArrays:
        """The moments of what `whole_word.levels_of_forms` gives: of each different form with a vowel its level, and 1."""
        import numpy as np

        levels, number = self.table.levels, len(self.table.forms) + 1
        found = different(self._group * number + self.table.form[self.which])
        group, level = found // number, levels[found % number].astype(np.int64)
        group, level = group[level > 0], level[level > 0]
        forms, sums = self._number_of(group), self._number_of(group, level)
        return MomentArrays(forms, sums, forms, self._number_of(group, level * level), sums, forms)

    def _slots(self) -> GroupSlots:
        import numpy as np

        slots, wide = self.table.slots_of(self.which)
        number = len(self.table.slots)
        keys = np.repeat(self._group, wide) * number + slots
        found, times = _added_up(keys, np.repeat(self.times, wide), self.groups * number)
        return GroupSlots(self.table.slots, self.groups, found // max(1, number), found % max(1, number), times)

    def _of_words(self, names: FieldNames) -> Ints:
        """For each pair some of its numbers added up."""
        known = self._numbers
        for name in names:
            if name not in known:
                known[name] = self._rows.numbers(name)
        total = known[names[0]]
        for name in names[1:]:
            total = total + known[name]
        return total

    def _added(self, numbers: Ints) -> Ints:
        """Numbers of pairs added up by group."""
        import numpy as np

        out = np.zeros(self.groups, numbers.dtype)
        if len(self._starts):
            out[self._there] = np.add.reduceat(numbers, self._starts)
        return out

    def _number_of(self, group: Ints, numbers: Ints | None = None) -> Ints:
        """How many items each group has, or some number of theirs added up (below 2**53)."""
        import numpy as np

        return np.bincount(group, numbers, self.groups).astype(np.int64)

    def _word_forms(self) -> tuple[Ints, Ints, Ints, NDArray[np.bool_]]:
        """Of each word of a group (a word by its name): the group, its different forms, its tokens, whether it was ever
        right."""
        import numpy as np

        table, number = self.table, len(self.table.forms) + 1
        forms = table.form[self.which].astype(np.int64)
        words = max(1, len(table.words))
        there, word = told_apart(self._group * words + table.word[self.which])
        differently = np.bincount(different(word * number + forms) // number, minlength=len(there))
        tokens = np.bincount(word, self.times, len(there)).astype(np.int64)
        right = np.bincount(word, table.right[self.which], len(there)) > 0
        return there // words, differently, tokens, right


def _added_up(keys: Ints, times: Ints, most: int) -> tuple[Ints, Ints]:
    """Each key below `most` that is there, in order, and its times added up."""
    import numpy as np

    if most <= 4 * len(keys):
        often = np.bincount(keys, times, most).astype(np.int64)
        found = np.flatnonzero(often)
        return found, often[found]
    found, which = told_apart(keys)
    return found, np.bincount(which, times, len(found)).astype(np.int64)
