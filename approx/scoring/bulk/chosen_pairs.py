"""Pairs of a score table chosen in groups, with how often each was said: what all words of each group come to, how often each
slot was met, and the table of sounds that comes of it.

Every array that is given back holds a number a group."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from approx.scoring.bulk.different_numbers import different, told_apart
from approx.scoring.bulk.interval_arrays import MomentArrays
from approx.scoring.judging.counts import CountRow, FormKey
from approx.scoring.judging.options import ScoringOptions
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.measures.breakdown import SoundRow, instead_of

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
        self._counts = table.counts(which)
        self._numbers: dict[str, Ints] = {}
        self.tokens = self._added(times)
        self._words = self._word_forms()
        self.slots = self._slots()
        """How often each slot was met."""

    def rows_and_forms(self, at: int) -> tuple[dict[CountRow, int], dict[FormKey, int]]:
        """The rows of numbers and the forms of the words of one group, as `Counts` has them."""
        part = slice(int(self.ends[at - 1]) if at else 0, int(self.ends[at]))
        which, times = self.which[part], self.times[part].tolist()
        rows: dict[CountRow, int] = {}
        forms: dict[FormKey, int] = {}
        for row, pair, often in zip(self.table.counts(which).each(), which.tolist(), times):
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
                known[name] = self._counts.column(name)
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


class SoundColumns(NamedTuple):
    """The different rows that tables of sounds have, a column each. `kind`: of each row its place in `kinds` (vowel, sound,
    position); `said`: what was said instead and how often, row after row, those of each up to its end in `ends`."""

    kinds: list[tuple[bool, str, str]]
    kind: list[int]
    right: list[int]
    out_of: list[int]
    said: list[tuple[str, int]]
    ends: list[int]


class _Tables(NamedTuple):
    """Tables of sounds, group after group: the different rows that they have, the number of each row among these, and
    where the rows of each group end."""

    different: SoundColumns
    numbers: list[int]
    group_ends: list[int]


class GroupSlots:
    """Slots of groups, in order of groups: the group of each, its place in `names`, how often it was met there."""

    def __init__(self, names: Sequence[Slot], groups: int, group: Ints, slot: Ints, times: Ints) -> None:
        import numpy as np

        self._names, self.groups, self._group, self._slot, self._times = names, groups, group, slot, times
        self._ends = np.cumsum(np.bincount(group, minlength=groups)).tolist()

    def counts(self, at: int) -> dict[Slot, int]:
        """How often each slot was met in one group."""
        part = slice(self._ends[at - 1] if at else 0, self._ends[at])
        names = map(self._names.__getitem__, self._slot[part].tolist())
        return dict(zip(names, self._times[part].tolist()))

    def different_errors(self) -> tuple[Ints, Ints]:
        """Of each group the ways in which its consonants were said wrong, and the consonants tried, as
        `variability.error_consistency` counts them."""
        import numpy as np

        ways: dict[tuple[str, str], int] = {}
        tried: dict[str, int] = {}
        way, sound = (np.full(len(self._names), -1, np.int64) for _ in range(2))
        for at, slot in enumerate(self._names):
            if not slot.vowel:
                sound[at] = tried.setdefault(slot.target, len(tried))
                if slot.verdict != Verdict.RIGHT:
                    way[at] = ways.setdefault((slot.target, "+" if slot.said == slot.target else slot.said), len(ways))
        return self._different(way, len(ways)), self._different(sound, len(tried))

    def _different(self, kind_of: Ints, kinds: int) -> Ints:
        """How many kinds of slots each group has; -1 is none."""
        import numpy as np

        kind = kind_of[self._slot]
        there = different((self._group * kinds + kind)[kind >= 0])
        return np.bincount(there // max(1, kinds), minlength=self.groups)

    @property
    def sound_columns(self) -> SoundColumns:
        """The different rows that the tables of sounds of all groups have."""
        return self._tables.different

    @cached_property
    def different_sounds(self) -> tuple[SoundRow, ...]:
        """The different rows as objects."""
        kinds, kind, right, out_of, said, ends = self.sound_columns
        return tuple(
            SoundRow(kinds[number][1], kinds[number][2], kinds[number][0], fine, tried, tuple(said[begin:end]))
            for number, fine, tried, begin, end in zip(kind, right, out_of, (0, *ends), ends)
        )

    def sound_numbers(self, at: int) -> list[int]:
        """The table of sounds of one group, each row by its place in `different_sounds`."""
        _, numbers, ends = self._tables
        return numbers[ends[at - 1] if at else 0 : ends[at]]

    def sounds(self, at: int) -> tuple[SoundRow, ...]:
        """The table of sounds of one group, as `sounds_by_position` gives it; equal rows are one object."""
        return tuple(map(self.different_sounds.__getitem__, self.sound_numbers(at)))

    @cached_property
    def _tables(self) -> _Tables:
        """The slots in the order of the tables: consonants first, most errors first, then by sound and position; in a row
        what was right first, then what was said instead, commonest first. Slots with one label are one cell of a table."""
        import numpy as np

        cells = [(slot.vowel, slot.target, slot.position, instead_of(slot)) for slot in self._names]
        order = {cell: at for at, cell in enumerate(sorted(set(cells)))}
        kinds = {kind: at for at, kind in enumerate(dict.fromkeys(cell[:3] for cell in order))}
        kind_of = np.array([kinds[cell[:3]] for cell in order], np.int64)
        is_wrong = np.array([cell[3] != "" for cell in order], bool)
        vowel = np.array([vowel for vowel, _, _ in kinds], bool)
        cell_of = np.array([order[cell] for cell in cells], np.int64)
        found, which = told_apart(self._group * len(order) + cell_of[self._slot])
        times = np.bincount(which, self._times, len(found)).astype(np.int64)
        group, cell = np.divmod(found, max(1, len(order)))
        row = group * len(kinds) + kind_of[cell]
        starts = np.flatnonzero(np.diff(row, prepend=-1))
        ends, group, kind = np.append(starts[1:], len(row)), group[starts], kind_of[cell[starts]]
        out_of = np.add.reduceat(times, starts) if len(starts) else times
        errors = np.add.reduceat(is_wrong[cell] * times, starts) if len(starts) else times
        most = int(times.max(initial=0)) + 1
        rows, number = _different_runs(cell * most + times, ends)
        least_wrong = int(errors.max(initial=0)) - errors
        wide = int(least_wrong.max(initial=0)) + 1
        numbers = number[np.argsort(((group * 2 + vowel[kind]) * wide + least_wrong) * len(kinds) + kind)]
        # of the different rows what was said instead
        long = ends[rows] - starts[rows]
        of = np.repeat(np.arange(len(rows)), long)
        others = np.arange(len(of)) + (ends[rows] - np.cumsum(long))[of]
        wrong = is_wrong[cell[others]]
        of, others = of[wrong], others[wrong]
        others = others[np.argsort((of * most + most - times[others]) * len(order) + cell[others])]
        labels = [label for _, _, _, label in order]
        said = list(zip(map(labels.__getitem__, cell[others].tolist()), times[others].tolist()))
        last = np.cumsum(np.bincount(of, minlength=len(rows)))
        different = SoundColumns(
            list(kinds),
            kind[rows].tolist(),
            (out_of - errors)[rows].tolist(),
            out_of[rows].tolist(),
            said,
            last.tolist(),
        )
        return _Tables(different, numbers.tolist(), np.cumsum(np.bincount(group, minlength=self.groups)).tolist())


class SlotCounts(Mapping[Slot, int]):
    """How often each slot was met in one of these groups; what it holds is put together when it is asked for."""

    def __init__(self, slots: GroupSlots, at: int) -> None:
        self._slots, self._at = slots, at

    @cached_property
    def _counts(self) -> dict[Slot, int]:
        return self._slots.counts(self._at)

    def __getitem__(self, slot: Slot) -> int:
        return self._counts[slot]

    def __iter__(self) -> Iterator[Slot]:
        return iter(self._counts)

    def __len__(self) -> int:
        return len(self._counts)

    @property
    def of_all(self) -> GroupSlots:
        """The slots of all groups together with this one."""
        return self._slots

    def sounds(self) -> tuple[SoundRow, ...]:
        """The table of sounds of this group."""
        return self._slots.sounds(self._at)

    def sound_numbers(self) -> list[int]:
        """The table of sounds of this group, each row by its place in `different_sounds` of all groups."""
        return self._slots.sound_numbers(self._at)


def _different_runs(codes: Ints, ends: Ints) -> tuple[Ints, Ints]:
    """Runs of codes, one after the other, each of one code at least: of each different run the place of one that is like it,
    and the number of each run among the different ones."""
    import numpy as np

    begins = np.append(0, ends[:-1])
    long, number, used = ends - begins, np.zeros(len(ends), np.int64), 1
    known, code = told_apart(codes)
    for at in range(int(long.max(initial=0))):
        # runs that were alike so far, told apart by their next code
        more = np.flatnonzero(long > at)
        found, which = told_apart(number[more] * len(known) + code[begins[more] + at])
        number[more] = used + which
        used += len(found)
    found, which = told_apart(number)
    first = np.empty(len(found), np.int64)
    first[which[::-1]] = np.arange(len(which))[::-1]
    return first, which
