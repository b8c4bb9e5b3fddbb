"""How often each slot was met in each of many groups, and the table of sounds that comes of it, group by group."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from approx.scoring.bulk.different_numbers import different, told_apart
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.measures.breakdown import SoundRow, instead_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]


class _Tables(NamedTuple):
    """Tables of sounds, group after group: the different rows that they have, the number of each row among these, and
    where the rows of each group end."""

    different: tuple[SoundRow, ...]
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
    def different_sounds(self) -> tuple[SoundRow, ...]:
        """The different rows that the tables of sounds of all groups have."""
        return self._tables.different

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
        of_row, wrong = np.cumsum(np.diff(row, prepend=-1) > 0) - 1, is_wrong[cell]
        group, kind = group[starts], kind_of[cell[starts]]
        out_of = np.bincount(of_row, times, len(starts)).astype(np.int64)
        errors = np.bincount(of_row, wrong * times, len(starts)).astype(np.int64)
        sorted_rows = np.lexsort((kind, -errors, vowel[kind], group))
        place = np.empty_like(sorted_rows)
        place[sorted_rows] = np.arange(len(sorted_rows))
        most = int(times.max(initial=0)) + 1
        entries = np.argsort((place[of_row] * most + np.where(wrong, most - times, 0)) * len(order) + cell)
        ends = np.cumsum(np.bincount(place[of_row], minlength=len(starts)))
        first, numbers = _different_runs((cell * most + times)[entries], ends)
        rows = sorted_rows[first]
        begins = (ends - np.diff(ends, prepend=0))[first] + (errors[rows] < out_of[rows])
        long = ends[first] - begins
        last = np.cumsum(long)
        others = entries[np.repeat(begins - last + long, long) + np.arange(long.sum())]
        labels = [label for _, _, _, label in order]
        said = list(zip(map(labels.__getitem__, cell[others].tolist()), times[others].tolist()))
        instead = [tuple(said[begin:end]) for begin, end in zip((last - long).tolist(), last.tolist())]
        names = list(kinds)
        different = tuple(
            SoundRow(names[number][1], names[number][2], names[number][0], right, tried, others)
            for number, right, tried, others in zip(
                kind[rows].tolist(), (out_of - errors)[rows].tolist(), out_of[rows].tolist(), instead
            )
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
    _, first, number = np.unique(number, return_index=True, return_inverse=True)
    return first, number
