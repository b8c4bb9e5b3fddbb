"""Slots of many pairs in rows of numbers: the verdicts of `judge.judge`, met once each and looked up after that.

A cell is one target sound in its place and what was said for it. There are few different cells in a large sample, so that
what each gives to the numbers of a word is worked out once and added up for all pairs together.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, overload

from approx.scoring.alignment.costs import VOWEL, kind_of
from approx.scoring.bulk.different_numbers import different, told_apart
from approx.scoring.bulk.fast_align import LONGEST_WALK, SoundRows, may_join, said_at, walks
from approx.scoring.bulk.form_arrays import LOST_H, NG_AS_N, FormArrays, NumberedSymbols, SoundNumbers
from approx.scoring.judging.judge import charged, heard
from approx.scoring.judging.options import primary
from approx.scoring.judging.slots import DISTORTIONS, Slot, Verdict, broad, may_be_dental
from approx.scoring.judging.structure import class_of_eight

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Sums = NDArray[np.uint64]
    Bools = NDArray[np.bool_]

PLACES = ("initial", "medial", "final")

SUMS = (
    ("consonants", "consonants_right", "consonants_right_a", "consonants_right_r", "vowels", "vowels_right", "vowels_right_r"),
    ("early", "early_right", "middle", "middle_right", "late", "late_right", "hits", "points"),
    ("wrong", "not_right", "unusual"),
)  # fmt: skip
"""What cells add up to, eight bits each in one number a line. `hits` of `points` are the slots that count in PMLU;
`not_right` spoils the whole word; `unusual` needs the whole word looked at."""


class JudgedSound(NamedTuple):
    """One target sound in its place with what was said for it: its slot, the verdict on the sound alone, the number of
    how it is written in a form (0 for nothing), its sums."""

    slot: Slot
    plain: Verdict
    written: int
    sums: tuple[int, int, int]


@overload
def field(sums: tuple[int, int, int], name: str) -> int: ...
@overload
def field(sums: tuple[Sums, Sums, Sums], name: str) -> Sums: ...
def field(sums: tuple[int, int, int] | tuple[Sums, Sums, Sums], name: str) -> int | Sums:
    """One of the sums, out of the number (or the array of numbers) of its line."""
    for line, names in enumerate(SUMS):
        if name in names:
            found: int | Sums = (sums[line] >> (8 * names.index(name))) & 255  # type: ignore[assignment]  # unsigned stays so
            return found
    raise KeyError(name)


class Cells:
    """All cells met, numbered; each is worked out once."""

    def __init__(self, sounds: SoundNumbers) -> None:
        self.sounds, self.options = sounds, sounds.options
        self.met: list[JudgedSound] = []
        self.written = NumberedSymbols()
        """Sounds as they are written in forms, allophones aside."""
        self._numbers: dict[tuple[int, int], int] = {}
        self._wrong: dict[int, int] = {}

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
            found = self._wrong[number] = self._add(
                cell._replace(slot=slot, sums=self._sums(slot, cell.plain, bool(field(cell.sums, "unusual"))))
            )
        return found

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
        slot = Slot(phone, PLACES[place], sound, found, vowel)
        return JudgedSound(slot, plain, self.written[written], self._sums(slot, plain, unusual))

    def _sums(self, slot: Slot, plain: Verdict, unusual: bool = False) -> tuple[int, int, int]:
        """Sums of a slot; `plain` is the verdict on its sound alone."""
        options = self.options
        right, below = slot.verdict == Verdict.RIGHT, slot.verdict < Verdict.WRONG
        numbers: dict[str, int] = {"wrong": not below, "unusual": unusual}
        if slot.vowel:
            numbers |= {"vowels": 1, "vowels_right": right, "vowels_right_r": below}
        else:
            numbers |= {"consonants": 1, "consonants_right": right, "consonants_right_r": below}
            numbers["consonants_right_a"] = slot.verdict <= Verdict.COMMON
            if name := class_of_eight(slot.target, options.language):
                numbers |= {name: 1, f"{name}_right": right}
        if not slot.vowel or options.pmlu_vowels:
            limit = Verdict.DISTORTED if options.pmlu_distortions_right else Verdict.RIGHT
            numbers |= {"points": 1, "hits": plain <= limit}
        numbers["not_right"] = plain > (Verdict.DISTORTED if options.pwc_distortions_right else Verdict.RIGHT)
        one, two, three = (sum(numbers.get(name, 0) << 8 * at for at, name in enumerate(line)) for line in SUMS)
        return one, two, three


class JudgedPairs(NamedTuple):
    """Pairs judged. `slots`: the cell of each slot, `first` where those of each pair begin; `sums` by line of `SUMS`;
    `added`: sounds that no target called for; `forms`: what was said, as `Scored.form` but each sound by its number in
    `Cells.written`, pair after pair; `unusual`: pairs to judge one by one.
    """

    slots: Ints
    first: Ints
    sums: tuple[Sums, Sums, Sums]
    added: Ints
    forms: NDArray[np.uint16]
    unusual: Bools


class _Pairs:
    """Pairs of forms laid side by side: for each target sound what was said for it, for each sound said whether it was
    added."""

    def __init__(self, targets: FormArrays, produced: FormArrays, meant: Ints, heard_as: Ints) -> None:
        import numpy as np

        self.targets, self.produced = targets, produced
        left, right = (
            SoundRows(forms.role, forms.ends, forms.start, forms.length).chosen(which)
            for forms, which in ((targets, meant), (produced, heard_as))
        )
        self.target_at, self.said_at, self.wide, self.long = left.start, right.start, left.length, right.length
        self.first = np.cumsum(self.wide) - self.wide
        self.said_first = np.cumsum(self.long) - self.long
        self.unusual = may_join(left, right) | (self.wide + self.long > LONGEST_WALK)
        self.unusual |= ~(targets.plain[meant] & produced.plain[heard_as])
        self.said = np.full(int(self.wide.sum()), -1, np.int64)
        for part, m, found, which in walks(left, right):
            self.said[self.first[part][:, None] + np.arange(m)] = np.array(
                [said_at(walk, m) for walk in found], np.int64
            )[which]
        self.pair = np.repeat(np.arange(len(self.wide)), self.wide)
        self.linked = self.said >= 0
        self.said_place = (self.said_first[self.pair] + self.said)[self.linked]
        self.is_added = np.ones(int(self.long.sum()), bool)
        self.is_added[self.said_place] = False
        self.added = self.long - np.bincount(self.pair[self.linked], minlength=len(self.wide))

    def slots(self) -> tuple[Ints, Ints]:
        """Of each slot the target sound in its place, and what was said for it."""
        import numpy as np

        targets = (self.targets.phone.astype(np.int64) * 3 + self.targets.places()) * 3 + self.targets.exempt()
        inside = np.arange(len(self.pair)) - self.first[self.pair]
        phones = self.produced.phone[self.said_at[self.pair] + np.maximum(self.said, 0)].astype(np.int64)
        said = np.where(self.linked, 2 * phones + (self.said == 0), 0)
        return targets[self.target_at[self.pair] + inside], said

    def sounds_said(self) -> NDArray[np.int32]:
        """The number of every sound said, pair after pair."""
        import numpy as np

        inside = np.arange(len(self.is_added)) - np.repeat(self.said_first, self.long)
        places: Ints = np.repeat(self.said_at, self.long) + inside
        return self.produced.phone[places]


def judge_pairs(targets: FormArrays, produced: FormArrays, meant: Ints, heard_as: Ints, cells: Cells) -> JudgedPairs:
    """Each target of `targets` by its number in `meant` against the production by its number in `heard_as`."""
    import numpy as np

    pairs = _Pairs(targets, produced, meant, heard_as)
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
    forms[pairs.said_place] = np.array([cell.written for cell in cells.met], np.uint16)[slots[pairs.linked]]
    table = np.array([cell.sums for cell in cells.met], np.uint64)
    one, two, three = (np.add.reduceat(line[slots], pairs.first) for line in table.T)
    sums = one, two, three
    return JudgedPairs(slots, pairs.first, sums, pairs.added, forms, unusual | (field(sums, "unusual") > 0))


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
