"""Counts of one group of many pairs, worked out in arrays: the same as `sample_processes` finds pair by pair.

Pairs of a long sample lie all over the memory, so that looking at each of them in each group takes longer than all that is
done with it; columns of numbers do not.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from approx.processes.explain.explained_pairs import ExplainedPairs, NumberLists
from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Numbers = NDArray[Any]


class GroupArrays:
    """The pairs of one group in the order in which they were first said, and how often each was."""

    def __init__(self, pairs: ExplainedPairs, times: Mapping[int, int]) -> None:
        import numpy as np

        self.pairs = pairs
        self.numbers = np.fromiter(times.keys(), np.int64, len(times))
        self.often = np.fromiter(times.values(), np.int64, len(times))

    def summed(self, column: array[int]) -> dict[int, int]:
        """How often each number of a column was said."""
        import numpy as np

        found = np.bincount(_array(column)[self.numbers], self.often).astype(np.int64)
        there = np.flatnonzero(found)
        return dict(zip(there.tolist(), found[there].tolist()))

    def summed_lists(self, lists: NumberLists) -> dict[int, int]:
        """How often each number in the lists of a column was said."""
        import numpy as np

        starts, ends = _array(lists.starts)[self.numbers], _array(lists.ends)[self.numbers]
        row, at = _spread(starts, ends)
        found = np.bincount(_array(lists.all)[at], self.often[row]).astype(np.int64)
        there = np.flatnonzero(found)
        return dict(zip(there.tolist(), found[there].tolist()))

    def tallies(self, others: Mapping[int, Sequence[int]], options: OpportunityOptions) -> dict[int, ProcessTally]:
        """The tally of each kind of opportunity, in the order in which they were met. `others`: rules of the reading taken
        of a pair, where that is not the first."""
        import numpy as np

        pairs, often = self.pairs, self.often
        row, rule = self._rules(others)
        kind = np.array([kind for kind, _ in pairs.numbered.rules.all], np.int64)[rule]
        form, first_row, group_form = np.unique(
            _array(pairs.forms)[self.numbers], return_index=True, return_inverse=True
        )
        said = np.bincount(group_form, often).astype(np.int64)
        shown = np.array([pairs.words[each] for each in form.tolist()], object)
        could_form, could_kind, places = self._opportunities(form, first_row, options)
        many = 1 + max(int(kind.max(initial=0)), int(could_kind.max(initial=0)))
        could = np.zeros((len(form), many), np.int64)
        could[could_form, could_kind] = places
        # each kind once in a row, with how often it stands there
        once, in_row = np.unique(row * many + kind, return_counts=True)
        once_row, once_kind = np.divmod(once, many)
        more = in_row - could[group_form[once_row], once_kind]
        surplus = more > 0  # a change the description did not foresee is a chance all the same
        chances = np.bincount(could_kind, places * said[could_form], many)
        chances += np.bincount(once_kind[surplus], more[surplus] * often[once_row[surplus]], many)
        occurrences = np.bincount(kind, often[row], many)
        out: dict[int, ProcessTally] = {}
        for each in _in_order(row, kind, first_row[could_form], could_kind):
            out[each] = ProcessTally(int(occurrences[each]), int(chances[each]))
        for each, texts in _by_kind(kind, np.arange(len(kind)), shown[group_form[row]]):
            out[each].words = dict.fromkeys(texts)
        lacking = self._lacking(group_form, once_row, once_kind, could_form, could_kind, many)
        there = lacking < len(self.numbers)
        for each, texts in _by_kind(could_kind[there], lacking[there], shown[could_form[there]]):
            out[each].not_in = dict.fromkeys(texts)
        used = np.bincount(rule, often[row]).astype(np.int64)
        for each in _firsts(rule):
            number, name = pairs.numbered.rules.all[each]
            out[number].rules[name] += int(used[each])
        return out

    def _rules(self, others: Mapping[int, Sequence[int]]) -> tuple[Numbers, Numbers]:
        """Each rule of the readings taken, and in which row."""
        import numpy as np

        lists = self.pairs.rules
        starts, ends = _array(lists.starts)[self.numbers].astype(np.int64), _array(lists.ends)[self.numbers]
        every, ends = _array(lists.all), ends.astype(np.int64)
        if others:
            place = {number: at for at, number in enumerate(self.numbers.tolist()) if number in others}
            added: list[int] = []
            for number, rules in others.items():
                starts[place[number]] = len(every) + len(added)
                added += rules
                ends[place[number]] = len(every) + len(added)
            every = np.concatenate((every, np.array(added, every.dtype)))
        row, at = _spread(starts, ends)
        return row, every[at].astype(np.int64)

    def _opportunities(
        self, form: Numbers, first_row: Numbers, options: OpportunityOptions
    ) -> tuple[Numbers, Numbers, Numbers]:
        """Place of a form, kind and number of opportunities, by the order in which the forms were met."""
        import numpy as np

        order = np.argsort(first_row)
        adults = self.pairs.adults
        could = [adults[each].opportunities(options, frozenset()) for each in form[order].tolist()]
        lengths = np.fromiter(map(len, could), np.int64, len(could))
        total = int(lengths.sum())
        kinds = np.fromiter((kind for each in could for kind in each), np.int64, total)
        places = np.fromiter((number for each in could for number in each.values()), np.int64, total)
        return np.repeat(order, lengths), kinds, places

    def _lacking(
        self,
        group_form: Numbers,
        row: Numbers,
        kind: Numbers,
        could_form: Numbers,
        could_kind: Numbers,
        many: int,
    ) -> Numbers:
        """For each form and kind it could have shown, the first row without it; beyond all rows where there is none."""
        import numpy as np

        order = np.argsort(group_form, kind="stable")
        begin = np.searchsorted(group_form[order], np.arange(group_form.max() + 2))
        rank = np.empty(len(order), np.int64)
        rank[order] = np.arange(len(order)) - begin[group_form[order]]
        key = group_form[row] * many + kind
        by_key = np.argsort(key, kind="stable")  # rows of one form and kind stay in order
        keys = key[by_key]
        place = np.arange(len(keys)) - np.searchsorted(keys, keys)
        unbroken = rank[row[by_key]] == place
        lead = np.bincount(keys[unbroken], minlength=(int(group_form.max()) + 1) * many)
        after = lead[could_form * many + could_kind] + begin[could_form]
        lacks = after < begin[could_form + 1]
        out = np.full(len(could_form), len(order))
        out[lacks] = order[after[lacks]]
        return out


def _array(column: array[int]) -> Numbers:
    import numpy as np

    return np.frombuffer(column, np.dtype(column.typecode)) if column else np.zeros(0, np.uint32)


def _spread(starts: Numbers, ends: Numbers) -> tuple[Numbers, Numbers]:
    """Rows and places of all that stands from each start to its end."""
    import numpy as np

    lengths = ends.astype(np.int64) - starts
    row = np.repeat(np.arange(len(lengths)), lengths)
    return row, np.arange(len(row)) + np.repeat(starts - (np.cumsum(lengths) - lengths), lengths)


def _firsts(numbers: Numbers) -> list[int]:
    """Different numbers in the order in which they stand first."""
    import numpy as np

    found, first = np.unique(numbers, return_index=True)
    each: list[int] = found[np.argsort(first)].tolist()
    return each


def _in_order(row: Numbers, kind: Numbers, could_row: Numbers, could_kind: Numbers) -> list[int]:
    """Kinds in the order in which they are met: of each row first what happened, then what could have."""
    import numpy as np

    rows, kinds = np.concatenate((2 * row, 2 * could_row + 1)), np.concatenate((kind, could_kind))
    return _firsts(kinds[np.argsort(rows, kind="stable")])


def _by_kind(kind: Numbers, when: Numbers, texts: Numbers) -> Iterator[tuple[int, list[str]]]:
    """The texts of each kind, in the order of when they were met."""
    import numpy as np

    if not len(kind):
        return
    order = np.lexsort((when, kind))
    kind, each = kind[order], texts[order].tolist()
    cuts = [0, *(np.flatnonzero(np.diff(kind)) + 1).tolist(), len(kind)]
    for low, high in pairwise(cuts):
        yield int(kind[low]), each[low:high]
