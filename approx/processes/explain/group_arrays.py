"""Counts of one group of many pairs, worked out in arrays: the same as `sample_processes` finds pair by pair.

Pairs of a long sample lie all over the memory, so that looking at each of them in each group takes longer than all that is
done with it; columns of numbers do not.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, pairwise
from typing import TYPE_CHECKING, Any

from approx.processes.explain.choose_reading import AddedUp
from approx.processes.explain.explained_pairs import ExplainedPairs, NumberLists
from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Numbers = NDArray[Any]

_AT_ONCE = 1 << 16
"""Pairs whose uses are looked through at once."""


class SampleArrays:
    """The pairs of a sample, all of which are there, and what each adds to its group.

    An act is a use of a process in an adult form; `rules` and `changes` are those of each act.
    """

    def __init__(self, pairs: ExplainedPairs) -> None:
        import numpy as np

        self.pairs = pairs
        self.forms, self.readings = _array(pairs.forms), _array(pairs.readings)
        self.words = np.array(pairs.words, object)
        counted, adults = pairs.counted, pairs.adults
        self.uses, self.sure, self.places = map(_lists_of, (counted.uses, counted.sure, counted.places))
        self.stood = _lists(adult.stood for adult in adults)
        places = counted.all_places.all
        numbers: dict[frozenset[str], int] = {frozenset(): 0}
        self.place_at = np.array([t for t, _ in places], np.int64)
        self.place_processes = np.array([numbers.setdefault(each, len(numbers)) for _, each in places], np.int64)
        self.processes = list(numbers)
        self._adult = np.array([adult.number for adult in adults], np.int64)
        self._many = max(len(pairs.numbered.uses), 1)
        self._acts = self._all_acts()
        by_number = {adult.number: adult for adult in adults}
        adds = [by_number[act // self._many].adds[act % self._many] for act in self._acts.tolist()]
        self.rules = np.array([each.rule for each in adds], np.int64)
        self.changes = _lists(each.changes for each in adds)
        self._could: dict[tuple[str, str], tuple[Lists, Numbers]] = {}

    def group(self, times: Mapping[int, int]) -> GroupArrays:
        """Some of the pairs, and how often each was said."""
        return GroupArrays(self, times)

    def acts(self, form: Numbers, use: Numbers) -> Numbers:
        """The acts that uses of processes are in forms."""
        import numpy as np

        return np.searchsorted(self._acts, self._adult[form] * self._many + use)

    def could(self, options: OpportunityOptions) -> tuple[Lists, Numbers]:
        """The kinds of opportunities of each form, and how many of each there are."""
        import numpy as np

        key = options.weak_syllables, options.lost_r
        if key not in self._could:
            found = [adult.opportunities(options, frozenset()) for adult in self.pairs.adults]
            places = chain.from_iterable(each.values() for each in found)
            self._could[key] = _lists(found), np.fromiter(places, np.int64)
        return self._could[key]

    def _all_acts(self) -> Numbers:
        import numpy as np

        acts = np.zeros(0, np.int64)
        for low in range(0, len(self.forms), _AT_ONCE):
            row, use = self.uses.of(self.readings[low : low + _AT_ONCE])
            acts = np.union1d(acts, self._adult[self.forms[low + row]] * self._many + use)
        return acts


class GroupArrays:
    """The pairs of one group in the order in which they were first said, and how often each was."""

    def __init__(self, sample: SampleArrays, times: Mapping[int, int]) -> None:
        import numpy as np

        self.sample, self.times = sample, times
        numbers = np.fromiter(times.keys(), np.int64, len(times))
        self.often = np.fromiter(times.values(), np.int64, len(times))
        self.form, self.reading = sample.forms[numbers], sample.readings[numbers]

    def added(self) -> AddedUp:
        """What the group adds up to, by which readings are chosen."""
        import numpy as np

        sample, often, form = self.sample, self.often, self.form
        row, use = sample.sure.of(self.reading)
        act, change = sample.changes.of(sample.acts(form[row], use))
        support = _summed(change, often[row[act]])
        said = np.bincount(form, often)
        there = np.flatnonzero(said)
        at, sound = sample.stood.of(there)
        stood = np.bincount(sound, said[there][at])
        row, place = sample.places.of(self.reading)
        sound = sample.stood.all[sample.stood.starts[form[row]] + sample.place_at[place]]
        processes, often = sample.place_processes[place], often[row]
        lost = processes == 0
        stood -= np.bincount(sound[lost], often[lost], len(stood))
        many = len(sample.processes)
        changed = _summed(sound[~lost] * many + processes[~lost], often[~lost])
        return (
            support,
            _summed(np.arange(len(stood)), stood),
            {(key // many, sample.processes[key % many]): number for key, number in changed.items()},
        )

    def tallies(self, others: Mapping[int, Sequence[int]], options: OpportunityOptions) -> dict[int, ProcessTally]:
        """The tally of each kind of opportunity, in the order in which they were met. `others`: rules of the reading taken
        of a pair, where that is not the first."""
        import numpy as np

        sample, often = self.sample, self.often
        row, rule = self._rules(others)
        every = sample.pairs.numbered.rules.all
        kind = np.array([kind for kind, _ in every], np.int64)[rule]
        # forms by number in the order in which they were met, each with its first row
        first_row = _firsts(self.form, len(sample.words))
        met = self.form[first_row]
        group_form = np.zeros(len(sample.words), np.int64)
        group_form[met] = np.arange(len(met))
        group_form = group_form[self.form]
        said, shown = np.bincount(group_form, often), sample.words[met]
        kinds, numbers = sample.could(options)
        could_form, could_kind, places = kinds.with_values(met, numbers)
        many = 1 + max(int(kind.max(initial=0)), int(could_kind.max(initial=0)))
        could = np.zeros((len(met), many), np.int32)
        could[could_form, could_kind] = places
        # each kind once in a row, with how often it stands there
        once_row, once_kind, in_row = _each_once(row, kind, many)
        more = in_row - could[group_form[once_row], once_kind]
        surplus = more > 0  # a change the description did not foresee is an opportunity all the same
        chances = np.bincount(could_kind, places * said[could_form], many)
        chances += np.bincount(once_kind[surplus], more[surplus] * often[once_row[surplus]], many)
        occurrences = np.bincount(kind, often[row], many)
        out: dict[int, ProcessTally] = {}
        for each in _in_order(row, kind, first_row[could_form], could_kind, many):
            out[each] = ProcessTally(int(occurrences[each]), int(chances[each]))
        for each, texts in _by_kind(kind, shown[group_form[row]]):
            out[each].words = dict.fromkeys(texts)
        lacking = self._lacking(group_form, once_row, once_kind, could_form, could_kind, many)
        order = _order(lacking)
        order = order[: np.searchsorted(lacking[order], len(self.form))]
        for each, texts in _by_kind(could_kind[order], shown[could_form[order]]):
            out[each].not_in = dict.fromkeys(texts)
        used = np.bincount(rule, often[row])
        for each in rule[_firsts(rule, len(every))].tolist():
            number, name = every[each]
            out[number].rules[name] += int(used[each])
        return out

    def _rules(self, others: Mapping[int, Sequence[int]]) -> tuple[Numbers, Numbers]:
        """Each rule of the readings taken, and in which row."""
        import numpy as np

        sample = self.sample
        row, use = sample.uses.of(self.reading)
        rule = sample.rules[sample.acts(self.form[row], use)]
        if not others:
            return row, rule
        place = {number: at for at, number in enumerate(self.times) if number in others}
        replaced = np.zeros(len(self.form), bool)
        replaced[list(place.values())] = True
        kept = ~replaced[row]
        other_row = np.repeat([place[number] for number in others], [len(rules) for rules in others.values()])
        other_rule = np.fromiter(chain.from_iterable(others.values()), np.int64)
        row, rule = np.concatenate((row[kept], other_row)), np.concatenate((rule[kept], other_rule))
        order = _order(row)
        return row[order], rule[order]

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

        order = _order(group_form)
        begin = np.searchsorted(group_form[order], np.arange(group_form.max() + 2))
        rank = np.empty(len(order), np.int64)
        rank[order] = np.arange(len(order)) - begin[group_form[order]]
        form = group_form[row]
        by_key = _order(kind)
        by_key = by_key[_order(form[by_key])]  # rows of one form and kind stay in order
        keys = (form * many + kind)[by_key]
        place = np.arange(len(keys)) - np.searchsorted(keys, keys)
        unbroken = rank[row[by_key]] == place
        lead = np.bincount(keys[unbroken], minlength=(int(group_form.max()) + 1) * many)
        after = lead[could_form * many + could_kind] + begin[could_form]
        lacks = after < begin[could_form + 1]
        out = np.full(len(could_form), len(order))
        out[lacks] = order[after[lacks]]
        return out


class Lists:
    """Lists of numbers by number, in one array."""

    def __init__(self, starts: Numbers, every: Numbers) -> None:
        self.starts, self.all = starts, every

    def of(self, numbers: Numbers) -> tuple[Numbers, Numbers]:
        """All that stands in the lists of some numbers, and at which of these."""
        row, at = self._spread(numbers)
        return row, self.all[at]

    def with_values(self, numbers: Numbers, values: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """All that stands in the lists of some numbers, at which of these, and the value of each member."""
        row, at = self._spread(numbers)
        return row, self.all[at], values[at]

    def _spread(self, numbers: Numbers) -> tuple[Numbers, Numbers]:
        import numpy as np

        starts = self.starts[numbers]
        lengths = self.starts[numbers + 1] - starts
        row = np.repeat(np.arange(len(lengths)), lengths)
        return row, np.arange(len(row)) + np.repeat(starts - (np.cumsum(lengths) - lengths), lengths)


def _array(column: array[int]) -> Numbers:
    import numpy as np

    return np.frombuffer(column, np.dtype(column.typecode)) if column else np.zeros(0, np.uint32)


def _lists_of(lists: NumberLists) -> Lists:
    import numpy as np

    return Lists(_array(lists.starts).astype(np.int64), _array(lists.all))


def _lists(found: Iterable[Iterable[int]]) -> Lists:
    made = NumberLists()
    for each in found:
        made.append(list(each))
    return _lists_of(made)


def _summed(numbers: Numbers, often: Numbers) -> dict[int, int]:
    """How often each number was said."""
    import numpy as np

    found = np.bincount(numbers, often).astype(np.int64)
    there = np.flatnonzero(found)
    return dict(zip(there.tolist(), found[there].tolist()))


def _order(numbers: Numbers) -> Numbers:
    """Places by what stands there, equals in their order; small numbers are counted into place, which takes a tenth of the
    time."""
    import numpy as np

    small = int(numbers.max(initial=0)) < 1 << 16
    return np.argsort(numbers.astype(np.uint16) if small else numbers, kind="stable")


def _each_once(row: Numbers, kind: Numbers, many: int) -> tuple[Numbers, Numbers, Numbers]:
    """Each kind, of so many, once in a row, in the order of rows; and how often it stands there."""
    import numpy as np

    keys = np.sort(row * many + kind, kind="stable")  # they are nearly in order
    starts = np.flatnonzero(np.diff(keys, prepend=-1))
    return *np.divmod(keys[starts], many), np.diff(starts, append=len(keys))


def _firsts(numbers: Numbers, many: int) -> Numbers:
    """Where each different number, of so many, stands first."""
    import numpy as np

    first = np.full(many, len(numbers))
    np.minimum.at(first, numbers, np.arange(len(numbers)))
    return np.sort(first[first < len(numbers)])


def _in_order(row: Numbers, kind: Numbers, could_row: Numbers, could_kind: Numbers, many: int) -> list[int]:
    """Kinds in the order in which they are met: of each row first what happened, then what could have."""
    import numpy as np

    happened, could = _firsts(kind, many), _firsts(could_kind, many)
    rows = np.concatenate((2 * row[happened], 2 * could_row[could] + 1))
    kinds = np.concatenate((kind[happened], could_kind[could]))
    return list(dict.fromkeys(kinds[np.argsort(rows, kind="stable")].tolist()))


def _by_kind(kind: Numbers, texts: Numbers) -> Iterator[tuple[int, list[str]]]:
    """The texts of each kind, in their order."""
    import numpy as np

    if not len(kind):
        return
    order = _order(kind)
    kind, each = kind[order], texts[order].tolist()
    cuts = [0, *(np.flatnonzero(np.diff(kind)) + 1).tolist(), len(kind)]
    for low, high in pairwise(cuts):
        yield int(kind[low]), each[low:high]
