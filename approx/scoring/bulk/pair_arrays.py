"""Slots of many pairs in rows of numbers: the verdicts of `judge.judge`, met once each and looked up after that.

A cell is one target sound in its place and what was said for it. There are few different cells in a large sample, so that
what each gives to the numbers of a word is worked out once and added up for all pairs together.
"""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING, NamedTuple

from approx.scoring.alignment.costs import VOWEL, kind_of
from approx.scoring.bulk.count_matrix import BYTE_FIELDS, byte_rows, lanes
from approx.scoring.bulk.different_numbers import different, told_apart
from approx.scoring.bulk.fast_align import LONGEST_WALK, joined, may_join, said_at, walks
from approx.scoring.bulk.form_arrays import LONGEST_FORM, LOST_H, NG_AS_N, FormTable, NumberedSymbols, SoundNumbers
from approx.scoring.judging.counts import CountRow
from approx.scoring.judging.judge import charged, heard
from approx.scoring.judging.options import primary
from approx.scoring.judging.scored_word import counts_of_slot
from approx.scoring.judging.slots import DISTORTIONS, Slot, Verdict, broad, may_be_dental

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    FormIds = NDArray[np.int32]
    Bools = NDArray[np.bool_]
    Bytes = NDArray[np.uint8]

PLACES = ("initial", "medial", "final")

SPOILS_WORD, UNUSUAL = 1, 2
"""Of a cell: with it the whole word is not right; it needs the whole word looked at."""


class JudgedSound(NamedTuple):
    """One target sound in its place with what was said for it: its slot, the verdict on the sound alone, the number of
    how it is written in a form (0 for nothing), what it adds to the numbers of a word, `SPOILS_WORD` and `UNUSUAL`."""

    slot: Slot
    plain: Verdict
    written: int
    row: CountRow
    flags: int


class CellFacts(NamedTuple):
    """Of cells by number how each is written, what it adds to the numbers of a word, and its flags."""

    written: NDArray[np.uint16]
    rows: Bytes
    flags: Bytes


class Cells:
    """All cells met, numbered; each is worked out once."""

    def __init__(self, sounds: SoundNumbers) -> None:
        self.sounds, self.options = sounds, sounds.options
        self.met: list[JudgedSound] = []
        self.written = NumberedSymbols()
        """Sounds as they are written in forms, allophones aside."""
        self._numbers: dict[tuple[int, int], int] = {}
        self._wrong: dict[int, int] = {}
        self._of_all: CellFacts | None = None

    def numbers(self, targets: Ints, said: Ints) -> Ints:
        """The number of the cell of each target sound in its place with what was said for it."""
        import numpy as np

        wide, known = int(said.max(initial=0)) + 1, self._numbers
        codes, which = told_apart(targets * wide + said)
        found = list(zip((codes // wide).tolist(), (codes % wide).tolist()))
        for code in found:
            if code not in known:
                known[code] = self._add(self._new(*code))
        return np.array([known[code] for code in found], np.int64)[which]

    def made_wrong(self, number: int) -> int:
        """The number of this cell with the verdict WRONG, as a sound added to a consonant makes it."""
        found = self._wrong.get(number)
        if found is None:
            cell = self.met[number]
            slot = cell.slot._replace(verdict=Verdict.WRONG)
            found = self._wrong[number] = self._add(cell._replace(slot=slot, row=self._row(slot, cell.plain)))
        return found

    def of_all(self) -> CellFacts:
        """The facts of all cells so far."""
        import numpy as np

        known = self._of_all or CellFacts(np.zeros(0, np.uint16), byte_rows(0), np.zeros(0, np.uint8))
        new = self.met[len(known.written) :]
        if new:
            known = CellFacts(
                np.append(known.written, np.array([cell.written for cell in new], np.uint16)),
                np.append(known.rows, np.array([cell.row[: len(BYTE_FIELDS)] for cell in new], np.uint8), axis=0),
                np.append(known.flags, np.array([cell.flags for cell in new], np.uint8)),
            )
        self._of_all = known
        return known

    def _add(self, cell: JudgedSound) -> int:
        self.met.append(cell)
        return len(self.met) - 1

    def _new(self, target: int, said: int) -> JudgedSound:
        options, symbols = self.options, self.sounds.symbols
        rest, rule = divmod(target, 3)
        number, place = divmod(rest, 3)
        phone, vowel = symbols[number], kind_of(symbols[number]) == VOWEL
        sound, found, written = "", Verdict.WRONG, ""
        if said:
            sound = symbols[said >> 1]
            found, written = heard(phone, sound, primary(options.language), options.lisp_is_distortion, bool(said & 1))
        exempt = options.unstressed_h_and_ng_right and primary(options.language) == "en"
        if exempt and ((rule == LOST_H and sound == "") or (rule == NG_AS_N and sound == "n")):
            found = Verdict.RIGHT
        plain = found
        unusual = said > 0 and (not written or (plain in DISTORTIONS and may_be_dental(phone, sound)))
        spoils = plain > (Verdict.DISTORTED if options.pwc_distortions_right else Verdict.RIGHT)
        slot = Slot(phone, PLACES[place], sound, found, vowel)
        flags = SPOILS_WORD * spoils | UNUSUAL * unusual
        return JudgedSound(slot, plain, self.written[written], self._row(slot, plain), flags)

    def _row(self, slot: Slot, plain: Verdict) -> CountRow:
        """What a slot adds to the numbers of a word; `plain` is the verdict on its sound alone, which points of PMLU go by."""
        options, row = self.options, counts_of_slot(slot, self.options.language)
        if slot.vowel and not options.pmlu_vowels:
            return row
        limit = Verdict.DISTORTED if options.pmlu_distortions_right else Verdict.RIGHT
        return row._replace(points=int(plain <= limit), target_points=1)


class JudgedPairs(NamedTuple):
    """Pairs judged. `slots`: the cell of each slot, `first` where those of each pair begin; `rows`: what these add to the
    numbers of the word; `right`: whether the whole word is; `forms`: what was said, as `Scored.form` but each sound by its
    number in `Cells.written`, pair after pair; `unusual`: pairs to judge one by one.
    """

    slots: Ints
    first: Ints
    rows: Bytes
    right: Bools
    forms: NDArray[np.uint16]
    unusual: Bools


class AlignedPairs:
    """Pairs of plain forms, by their numbers in two tables: what was said for each target sound. All are aligned together,
    a number each is kept."""

    def __init__(self, targets: FormTable, produced: FormTable, meant: FormIds, heard_as: FormIds) -> None:
        import numpy as np

        self.targets, self.produced, self.meant, self.heard_as = targets, produced, meant, heard_as
        left, right = targets.rows.chosen(meant), produced.rows.chosen(heard_as)
        self.may_join = may_join(left, right)
        said, starts, held = [_UNALIGNED], [0], len(_UNALIGNED)
        self._walk = np.zeros(len(meant), np.int32)
        for part, m, found, which in walks(left, right):
            self._walk[part] = len(starts) + which
            said += [said_at(walk, m) for walk in found]
            starts += range(held, held + m * len(found), m)
            held += m * len(found)
        self._said, self._starts = np.fromiter(chain.from_iterable(said), np.int8, held), np.array(starts, np.int64)

    def said(self, part: slice, inside: Ints, pair: Ints) -> Ints:
        """Of some of the pairs, for each target sound the place of what was said for it, -1 for nothing. By target sound:
        its place in the target, and which of these pairs it is of."""
        import numpy as np

        places: Ints = self._starts[self._walk[part]][pair] + inside
        return self._said[places].astype(np.int64)


_UNALIGNED = (-1,) * LONGEST_FORM


class _Pairs:
    """Some of the pairs laid side by side: for each target sound what was said for it, for each sound said whether it was
    added."""

    def __init__(self, aligned: AlignedPairs, part: slice) -> None:
        import numpy as np

        self.targets, self.produced = targets, produced = aligned.targets, aligned.produced
        meant, heard_as = aligned.meant[part], aligned.heard_as[part]
        self.target_at, self.said_at = targets.start[meant], produced.start[heard_as]
        self.wide, self.long = targets.length[meant], produced.length[heard_as]
        self.first = np.cumsum(self.wide) - self.wide
        self.said_first = np.cumsum(self.long) - self.long
        self.unusual = self.wide + self.long > LONGEST_WALK
        self.unusual |= ~(targets.plain[meant] & produced.plain[heard_as])
        self.pair = np.repeat(np.arange(len(self.wide)), self.wide)
        self.inside = np.arange(len(self.pair)) - self.first[self.pair]
        self.said = aligned.said(part, self.inside, self.pair)
        self.linked = self.said >= 0
        self.unusual |= self._joined(aligned.may_join[part])
        self.said_place = (self.said_first[self.pair] + self.said)[self.linked]
        self.is_added = np.ones(int(self.long.sum()), bool)
        self.is_added[self.said_place] = False
        self.added = self.long - np.bincount(self.pair[self.linked], minlength=len(self.wide))

    def _joined(self, may_be: Bools) -> Bools:
        """Pairs where a sound said may stand for two neighbours of the target, one of which was lost."""
        import numpy as np

        pair, linked, out = self.pair, self.linked, np.zeros(len(self.wide), bool)
        at = np.flatnonzero((pair[1:] == pair[:-1]) & (linked[1:] != linked[:-1]) & may_be[pair[1:]])
        pair = pair[at]
        first = self.target_at[pair] + self.inside[at]
        said = self.said_at[pair] + np.maximum(self.said[at], self.said[at + 1])
        meant = self.targets.role
        out[pair[joined(meant[first], meant[first + 1], self.produced.role[said])]] = True
        return out

    def slots(self) -> tuple[Ints, Ints]:
        """Of each slot the target sound in its place, and what was said for it."""
        import numpy as np

        phones = self.produced.phone[self.said_at[self.pair] + np.maximum(self.said, 0)].astype(np.int64)
        said = np.where(self.linked, 2 * phones + (self.said == 0), 0)
        places = self.target_at[self.pair] + self.inside
        return self.targets.phone[places].astype(np.int64) * 9 + self.targets.where[places], said

    def sounds_said(self) -> NDArray[np.int32]:
        """The number of every sound said, pair after pair."""
        import numpy as np

        inside = np.arange(len(self.is_added)) - np.repeat(self.said_first, self.long)
        places: Ints = np.repeat(self.said_at, self.long) + inside
        return self.produced.phone[places]


def judge_pairs(aligned: AlignedPairs, part: slice, cells: Cells) -> JudgedPairs:
    """Some of the pairs judged."""
    import numpy as np

    pairs = _Pairs(aligned, part)
    slots = cells.numbers(*pairs.slots())
    said = pairs.sounds_said()
    unusual = pairs.unusual
    if cells.options.metathesis == "slots":
        unusual = unusual | (pairs.added > 0)
    if cells.options.additions_wrong:
        charged = pairs.is_added
        if not cells.options.vowel_epenthesis_is_addition:
            charged = charged & (cells.sounds.known().kind.take(said) != VOWEL)
        of_pair = np.repeat(np.arange(len(pairs.long)), pairs.long)
        for at in different(of_pair[charged]).tolist():
            if not unusual[at]:
                _charge(pairs, at, said, slots, cells)
    alone = np.array([cells.written[broad(symbol)] for symbol in cells.sounds.symbols], np.uint16)
    forms = alone[said]
    written, rows, flags = cells.of_all()
    forms[pairs.said_place] = written[slots[pairs.linked]]
    added = byte_rows(len(pairs.first))
    for here, there in zip(lanes(added).T, lanes(rows).T):
        np.add.reduceat(there[slots], pairs.first, out=here)
    met = np.bitwise_or.reduceat(flags[slots], pairs.first)
    right = (pairs.added == 0) & (met & SPOILS_WORD == 0)
    return JudgedPairs(slots, pairs.first, added, right, forms, unusual | (met & UNUSUAL > 0))


def _charge(pairs: _Pairs, at: int, said: NDArray[np.int32], slots: Ints, cells: Cells) -> None:
    """Charge the consonants added in one pair to those beside them, as `judge.charged` says."""
    first, size = int(pairs.first[at]), int(pairs.wide[at])
    begin, long = int(pairs.said_first[at]), int(pairs.long[at])
    of_target = pairs.said[first : first + size].tolist()
    here = [cells.met[number].slot for number in slots[first : first + size].tolist()]
    sounds = [cells.sounds.symbols[number] for number in said[begin : begin + long].tolist()]
    meant_by: list[list[int]] = [[] for _ in sounds]
    for i, j in enumerate(of_target):
        if j >= 0:
            meant_by[j].append(i)
    for i in charged([slot.target for slot in here], sounds, meant_by, here, cells.options):
        slots[first + i] = cells.made_wrong(int(slots[first + i]))
