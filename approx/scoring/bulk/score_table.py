"""Many distinct pairs scored at once: the same numbers as `scored_word.score_word`, in few bytes each.

Pairs of the common kind go through `pair_arrays`; the others are scored one by one. What is asked is asked of a choice of
pairs by their places, so that a group of tokens is such a choice with how often each was said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, count
from typing import TYPE_CHECKING

from approx.ipa.word import Word
from approx.scoring.alignment.costs import prepare
from approx.scoring.bulk.count_matrix import COLUMN, CountMatrix, byte_rows
from approx.scoring.bulk.different_numbers import NumberedObjects
from approx.scoring.bulk.fast_align import align_many
from approx.scoring.bulk.form_arrays import FormTable, SoundNumbers
from approx.scoring.bulk.form_keys import FormKeys
from approx.scoring.bulk.pair_arrays import AlignedPairs, Cells, JudgedPairs, judge_pairs
from approx.scoring.judging.complexity import ipc, wcm
from approx.scoring.judging.counts import FormKey, Scored
from approx.scoring.judging.options import ScoringOptions
from approx.scoring.judging.scored_word import aimed_at, score_word
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.judging.structure import NO_TRUE_CONSONANT, NUCLEUS, structure_kind

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]
    Bytes = NDArray[np.uint8]
    FormIds = NDArray[np.int32]

_AT_ONCE = 1 << 14
_MOST = (1 << 15) - 1


class ScoreTable:
    """Scores of distinct pairs by their place: targets, productions, and names of the words across tokens ("" for the
    target's form). `instead`: place -> the target itself, where another adult form is scored for it. `heard`,
    `forms`: what was said laid out, and of each pair its place there, where that is known. Needs numpy."""

    def __init__(
        self,
        targets: Sequence[Word],
        said: Sequence[Word],
        names: Sequence[str],
        options: ScoringOptions,
        instead: Mapping[int, Word] | None = None,
        heard: FormTable | None = None,
        forms: FormIds | None = None,
    ) -> None:
        import numpy as np

        size = len(targets)
        self.options, self._instead = options, instead or {}
        self.wrong = np.zeros(size, np.int32)
        """Slots judged wrong."""
        self.right = np.zeros(size, bool)
        self._rows = byte_rows(size)
        self._slot_numbers = dict[Slot, int]()
        self._flat, self._first, self._wide = np.zeros(0, np.int32), np.zeros(size, np.int64), np.zeros(size, np.int32)
        self._usual = np.zeros(size, bool)
        self._form_keys = FormKeys(size)
        self.word = np.zeros(size, np.int32)
        named = [name or target.ipa for name, target in zip(names, targets, strict=True)]
        words = dict(zip(dict.fromkeys(named), count()))
        self.word[:] = np.fromiter(map(words.__getitem__, named), np.int32, size)
        self.words = list(words)
        self._cells = Cells(heard.sounds if heard else SoundNumbers(options))
        self._alone: dict[int, Scored] = {}
        if size:
            if heard is None or forms is None:
                numbers = NumberedObjects(said)
                heard, forms = FormTable(numbers.different, self._cells.sounds), numbers.each
            self._score(targets, said, heard, forms)
        self.slots = list(self._slot_numbers)
        self.form, self.forms = self._form_keys.numbered()
        self.levels = self._levels_of_forms()
        del self._slot_numbers, self._form_keys

    def _score(self, targets: Sequence[Word], said: Sequence[Word], heard: FormTable, form: FormIds) -> None:
        import numpy as np

        meant_by, numbers = NumberedObjects(targets), list[int]()
        meant, target = FormTable(meant_by.different, self._cells.sounds), meant_by.each
        self._usual = usual = meant.plain[target] & heard.plain[form]
        usual &= self.options.final_voicing_errors and self.options.syllabic == "consonant"
        places, flat, held = np.flatnonzero(usual), list["NDArray[np.int32]"](), 0
        pairs = AlignedPairs(meant, heard, target[places], form[places])
        for start in range(0, len(places), _AT_ONCE):
            part = places[start : start + _AT_ONCE]
            judged = self._judged(pairs, slice(start, start + _AT_ONCE), part)
            usual[part[judged.unusual]] = False
            numbers += [
                self._slot_numbers.setdefault(cell.slot, len(self._slot_numbers))
                for cell in self._cells.met[len(numbers) :]
            ]
            self._first[part] = judged.first + held
            flat.append(np.array(numbers, np.int32)[judged.slots])
            held += len(judged.slots)
        self._aim_at_targets()
        written, alone = self._cells.written, np.flatnonzero(~usual).tolist()
        aligned = align_many([prepare(targets[at]) for at in alone], [prepare(said[at]) for at in alone])
        spoken = list[list[int]]()
        for at, made in zip(alone, aligned):
            name = self.name(at)
            links = None if targets[at].edges or said[at].edges else made
            scored = score_word(targets[at], said[at], self.options, name, alignment=links)
            if at in self._instead:
                scored = aimed_at(scored, targets[at], self._instead[at], self.options)
            self._alone[at] = scored
            self._first[at], self._wide[at] = held, len(scored.slots)
            flat.append(
                np.array(
                    [self._slot_numbers.setdefault(slot, len(self._slot_numbers)) for slot in scored.slots], np.int32
                )
            )
            held += len(scored.slots)
            spoken.append([written[sound] for sound in scored.form.split()])
            self.right[at] = scored.right
            self.wrong[at] = sum(slot.verdict == Verdict.WRONG for slot in scored.slots)
        sounds, length = np.array([*chain.from_iterable(spoken)], np.uint16), np.array([*map(len, spoken)], np.int64)
        self._form_keys.put(np.array(alone, np.int64), sounds, length)
        self._flat = np.concatenate(flat) if flat else self._flat

    def _judged(self, pairs: AlignedPairs, part: slice, places: Ints) -> JudgedPairs:
        """Judge some plain pairs and keep their numbers by their places; those of unusual ones are written over later."""
        judged = judge_pairs(pairs, part, self._cells)
        rows = judged.rows
        self.wrong[places] = _wrong_sounds(rows)
        self.right[places] = judged.right
        self._wide[places] = pairs.targets.length[pairs.meant[part]]
        self._form_keys.put(places, judged.forms, pairs.produced.length[pairs.heard_as[part]])
        self._add_own(rows, pairs, part, judged.right)
        self._rows[places] = rows
        return judged

    def _add_own(self, rows: Bytes, pairs: AlignedPairs, part: slice, right: Bools) -> None:
        """Add the numbers of each word itself to those of its slots."""
        import numpy as np

        meant, target, heard, form = pairs.targets, pairs.meant[part], pairs.produced, pairs.heard_as[part]
        wide, long = meant.length[target], heard.length[form]
        (wcm_meant, ipc_meant, *structure), (wcm_said, ipc_said, *structure_said) = (
            meant.facts[:, target], heard.facts[:, form]
        )  # fmt: skip
        matched = [one == other for one, other in zip(structure, structure_said)]
        own = {
            "words": 1,
            "words_right": right,
            "points": np.minimum(long, wide) if self.options.pmlu_cap else long,
            "target_points": wide,
            "wcm_produced": wcm_said,
            "wcm_target": wcm_meant,
            "ipc_produced": ipc_said,
            "ipc_target": ipc_meant,
            **dict(zip(("syllables_matched", "shapes_matched", "stress_matched"), matched)),
        }
        for name, numbers in own.items():
            rows[:, COLUMN[name]] += np.asarray(numbers, np.uint8)

    def _aim_at_targets(self) -> None:
        """How complex the target is does not depend on the adult form that was scored for it."""
        different = {id(target): target for target in self._instead.values()}
        for name, points in (("wcm_target", wcm), ("ipc_target", ipc)):
            of_target = {number: points(target, self.options) for number, target in different.items()}
            self._rows[list(self._instead), COLUMN[name]] = [of_target[id(each)] for each in self._instead.values()]

    def _levels_of_forms(self) -> NDArray[np.int8]:
        """The syllable structure level of each form, 0 for none, as `structure.level_of_kinds` says."""
        import numpy as np

        symbols = self._cells.written.symbols
        of_sound = np.array([structure_kind(symbol) if symbol else 0 for symbol in symbols], np.int16)
        sounds, length = self.forms.rows()
        kinds = of_sound.take(sounds)
        levels = np.zeros(len(length), np.int8)
        if not len(kinds):
            return levels
        start = (np.cumsum(length) - length)[length > 0]
        least, most = np.minimum.reduceat(kinds, start), np.maximum.reduceat(kinds, start)
        least_true = np.minimum.reduceat(np.where(kinds > NO_TRUE_CONSONANT, kinds, _MOST), start)
        level = np.where(most <= NO_TRUE_CONSONANT, 1, np.where(least_true == most, 2, 3))
        levels[length > 0] = np.where(least == NUCLEUS, level, 0)
        return levels

    def key(self, at: int) -> FormKey:
        """Word, form and whether it is right, as `Scored.key`."""
        symbols = self._cells.written.symbols
        form = " ".join([symbols[sound] for sound in self.forms.sounds(int(self.form[at]))])
        return self.words[self.word[at]], form, bool(self.right[at])

    def name(self, at: int) -> str:
        """The name of the word."""
        word: str = self.words[self.word[at]]
        return word

    def scored(self, at: int) -> Scored:
        """One pair as `score_word` gives it."""
        if at in self._alone:
            return self._alone[at]
        import numpy as np

        first = int(self._first[at])
        slots = tuple([self.slots[number] for number in self._flat[first : first + self._wide[at]].tolist()])
        (row,) = self.counts(np.array([at])).each()
        return Scored(row, slots, self.key(at))

    def __iter__(self) -> Iterator[Scored]:
        return map(self.scored, range(len(self.word)))

    def counts(self, which: Ints) -> CountMatrix:
        """The numbers of some pairs."""
        import numpy as np

        others = {at: self._alone[int(which[at])].row for at in np.flatnonzero(~self._usual[which]).tolist()}
        return CountMatrix(self._rows.take(which, axis=0), others)

    def slots_of(self, which: Ints) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        """The slots of some pairs, one pair after the other, by their place in `slots`; and how many each pair has."""
        import numpy as np

        wide = self._wide[which]
        inside = np.arange(int(wide.sum())) - np.repeat(np.cumsum(wide) - wide, wide)
        return self._flat[np.repeat(self._first[which], wide) + inside], wide


def _wrong_sounds(rows: Bytes) -> Ints:
    """How many slots are wrong: no sound that is right or distorted was said for them."""
    import numpy as np

    consonants, heard, vowels, vowels_heard = (
        rows[:, COLUMN[name]].astype(np.int64)
        for name in ("consonants", "consonants_right_r", "vowels", "vowels_right_r")
    )
    return consonants - heard + vowels - vowels_heard
