"""How often each slot was met in each of many groups, and the table of sounds that comes of it, group by group."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from approx.scoring.bulk.different_numbers import different, told_apart
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.measures.breakdown import SoundRow, sound_row

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
        """The slots in the order of the tables: consonants first, most errors first, then by sound and position."""
        import numpy as np

        kinds = [(slot.vowel, slot.target, slot.position) for slot in self._names]
        order = {kind: at for at, kind in enumerate(sorted(set(kinds)))}
        kind_of = np.array([order[kind] for kind in kinds], np.int64)
        vowel = np.array([vowel for vowel, _, _ in order], bool)
        wrong = np.array([slot.verdict != Verdict.RIGHT for slot in self._names], np.int64)[self._slot]
        row, row_of = told_apart(self._group * len(order) + kind_of[self._slot])
        group, kind = np.divmod(row, max(1, len(order)))
        errors = np.bincount(row_of, wrong * self._times, len(row)).astype(np.int64)
        sorted_rows = np.lexsort((kind, -errors, vowel[kind], group))
        place = np.empty_like(sorted_rows)
        place[sorted_rows] = np.arange(len(sorted_rows))
        slots = np.argsort(place[row_of], kind="stable")
        most = int(self._times.max(initial=0)) + 1
        codes = self._slot[slots] * most + self._times[slots]
        ends = np.cumsum(np.bincount(place[row_of], minlength=len(row)))
        first, numbers = _different_runs(codes, ends)
        begins = np.append(0, ends[:-1])[first].tolist()
        in_order = codes.tolist()
        runs = (in_order[start:end] for start, end in zip(begins, ends[first].tolist()))
        rows = tuple(sound_row([(self._names[code // most], code % most) for code in run]) for run in runs)
        return _Tables(rows, numbers.tolist(), np.cumsum(np.bincount(group, minlength=self.groups)).tolist())


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
