"""Many words scored at once: the same numbers as `scored_word.score_word`, worked out in arrays.

Numbers of many distinct pairs in few bytes each: the same as `scored_word.score_word` gives, worked out in arrays.

Pairs of the common kind go through `pair_arrays`; the others are scored one by one. Tokens are counts of pairs, so that a
group of tokens is a choice of pairs with how often each was said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from approx.ipa.word import Word
from approx.scoring.alignment.costs import prepare
from approx.scoring.bulk.fast_align import align_many
from approx.scoring.bulk.form_arrays import FormArrays, Sounds, is_usual
from approx.scoring.bulk.pair_arrays import SUMS, Cells, Judged, field, judge_pairs
from approx.scoring.judging.complexity import ipc, wcm
from approx.scoring.judging.count_matrix import CountMatrix, packed_rows, unpacked_rows
from approx.scoring.judging.counts import COUNT_FIELDS, Counts, FormKey, Scored
from approx.scoring.judging.options import Options
from approx.scoring.judging.scored_word import aimed_at, score_word
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.judging.structure import NO_TRUE_CONSONANT, NUCLEUS, ProductionSummary, SaidWord, structure_kind

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

_AT_ONCE = 8_000
_EIGHT_BITS, _FORTY_BITS = (1 << 8) - 1, (1 << 40) - 1
_MOST = (1 << 15) - 1
_OWN = (("points", 0), ("target_points", 8), ("wcm_produced", 16), ("wcm_target", 24), ("ipc_produced", 32),
        ("ipc_target", 40))  # fmt: skip
_POINTS = (("wcm_target", wcm), ("ipc_target", ipc))
_YES = (("syllables_matched", 48), ("shapes_matched", 49), ("stress_matched", 50), ("words_right", 51))
"""Where the numbers of the word itself stand in its third number; the first two are those of its slots."""


class ScoreTable:
    """Scores of distinct pairs by their place: targets, productions, and names of the words across tokens ("" for the
    target's form). `instead`: place -> the target itself, where another adult form is scored for it. Needs numpy."""

    def __init__(
        self,
        targets: Sequence[Word],
        said: Sequence[Word],
        names: Sequence[str],
        options: Options,
        instead: Mapping[int, Word] | None = None,
    ) -> None:
        import numpy as np

        size = len(targets)
        self.options, self._instead = options, instead or {}
        self.wrong = np.zeros(size, np.int32)
        """Slots judged wrong."""
        self.right = np.zeros(size, bool)
        self._lines = tuple(np.zeros(size, np.int64) for _ in range(3))
        self._slots = dict[Slot, int]()
        self._flat, self._first, self._wide = np.zeros(0, np.int32), np.zeros(size, np.int64), np.zeros(size, np.int32)
        self._forms, self._form = dict[bytes, int](), np.zeros(size, np.int32)
        self._words, self._word = dict[str, int](), np.zeros(size, np.int32)
        words = self._words
        self._word[:] = [
            words.setdefault(name or target.ipa, len(words)) for name, target in zip(names, targets, strict=True)
        ]
        self._cells = Cells(Sounds(options))
        self._alone: dict[int, Scored] = {}
        self._score(targets, said)
        self._slot_list = list(self._slots)
        self._word_list, self._form_list = list(self._words), list(self._forms)
        self._levels = self._levels_of_forms()
        del self._slots, self._words, self._forms

    def _score(self, targets: Sequence[Word], said: Sequence[Word]) -> None:
        import numpy as np

        known = {number: is_usual(target) for number, target in {id(target): target for target in targets}.items()}
        usual = np.array([known[id(target)] and is_usual(form) for target, form in zip(targets, said)], bool)
        usual &= self.options.final_voicing_errors and self.options.syllabic == "consonant"
        places, flat, held = np.flatnonzero(usual), list[Any](), 0
        for start in range(0, len(places), _AT_ONCE):
            part = places[start : start + _AT_ONCE]
            judged = self._judged([targets[at] for at in part], [said[at] for at in part], part)
            usual[part[judged.unusual]] = False
            numbers = [self._slots.setdefault(cell.slot, len(self._slots)) for cell in self._cells.met]
            self._first[part] = judged.first + held
            flat.append(np.array(numbers, np.int32)[judged.slots])
            held += len(judged.slots)
        self._flat = np.concatenate(flat) if flat else self._flat
        names, written, alone = list(self._words), self._cells.written, np.flatnonzero(~usual).tolist()
        aligned = align_many([prepare(targets[at]) for at in alone], [prepare(said[at]) for at in alone])
        for at, made in zip(alone, aligned):
            name = names[self._word[at]]
            links = None if targets[at].edges or said[at].edges else made
            scored = score_word(targets[at], said[at], self.options, name, alignment=links)
            if at in self._instead:
                scored = aimed_at(scored, targets[at], self._instead[at], self.options)
            self._alone[at] = scored
            self._wide[at] = 0
            form = np.array([written[sound] for sound in scored.form.split()], np.uint16).tobytes()
            self._form[at], self.right[at] = self._forms.setdefault(form, len(self._forms)), scored.right
            self.wrong[at] = sum(slot.verdict == Verdict.WRONG for slot in scored.slots)

    def _judged(self, meant: Sequence[Word], said: Sequence[Word], places: Ints) -> Judged:
        """Judge usual pairs and keep their numbers; those of unusual ones are written over later."""
        import numpy as np

        distinct = {id(target): target for target in meant}
        number = {key: at for at, key in enumerate(distinct)}
        which = np.array([number[id(target)] for target in meant], np.int64)
        targets, produced = (FormArrays(words, self._cells.sounds) for words in (list(distinct.values()), said))
        judged = judge_pairs(targets, produced, which, np.arange(len(said)), self._cells)
        own, right = self._own_numbers(targets, produced, which, judged)
        lines = judged.sums[0].astype(np.int64), judged.sums[1].astype(np.int64) & ((1 << 48) - 1), own
        for kept, line in zip(self._lines, lines):
            kept[places] = line
        if self._instead:
            self._aim_at_targets(meant, places)
        self._wide[places] = targets.length[which]
        self.wrong[places] = field(judged.sums, "wrong")
        self.right[places] = right
        text, forms = judged.forms.tobytes(), self._forms
        ends = np.cumsum(2 * produced.length)
        borders = zip((ends - 2 * produced.length).tolist(), ends.tolist())
        self._form[places] = [forms.setdefault(text[start:end], len(forms)) for start, end in borders]
        return judged

    def _aim_at_targets(self, meant: Sequence[Word], places: Ints) -> None:
        """How complex the target is does not depend on the adult form that was scored for it."""
        known: dict[tuple[int, int], int] = {}
        bits = dict(_OWN)
        for form, at in zip(meant, places.tolist()):
            target = self._instead.get(at)
            if target is None:
                continue
            key = id(target), id(form)
            if key not in known:
                more = ((name, points(target, self.options) - points(form, self.options)) for name, points in _POINTS)
                known[key] = sum(points << bits[name] for name, points in more)
            self._lines[2][at] += known[key]

    def _own_numbers(self, targets: FormArrays, produced: FormArrays, meant: Ints, judged: Judged) -> tuple[Any, Any]:
        """The third number of each word, and whether the word is right."""
        import numpy as np

        wide, long = targets.length[meant], produced.length
        points = np.minimum(long, wide) if self.options.pmlu_cap else long
        right = (judged.added == 0) & (field(judged.sums, "not_right") == 0)
        (wcm, ipc), (wcm_said, ipc_said) = targets.complexity(), produced.complexity()
        own = {
            "points": points + field(judged.sums, "hits").astype(np.int64),
            "target_points": wide + field(judged.sums, "points").astype(np.int64),
            "wcm_produced": wcm_said, "wcm_target": wcm[meant], "ipc_produced": ipc_said, "ipc_target": ipc[meant],
        }  # fmt: skip
        matched = [one[meant] == other for one, other in zip(targets.structure(), produced.structure())]
        number = sum(own[name].astype(np.int64) << at for name, at in _OWN)
        return number + sum(one.astype(np.int64) << at for one, (_, at) in zip((*matched, right), _YES)), right

    def _levels_of_forms(self) -> Any:
        """The syllable structure level of each form, 0 for none, as `structure.level_of_kinds` says."""
        import numpy as np

        symbols = self._cells.written.symbols
        of_sound = np.array([structure_kind(symbol) if symbol else 0 for symbol in symbols], np.int16)
        kinds = of_sound.take(np.frombuffer(b"".join(self._form_list), np.uint16))
        length = np.array([len(form) // 2 for form in self._form_list], np.int64)
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
        form = " ".join([symbols[sound] for sound in memoryview(self._form_list[self._form[at]]).cast("H")])
        return self._word_list[self._word[at]], form, bool(self.right[at])

    def name(self, at: int) -> str:
        """The name of the word."""
        word: str = self._word_list[self._word[at]]
        return word

    def scored(self, at: int) -> Scored:
        """One pair as `score_word` gives it."""
        if at in self._alone:
            return self._alone[at]
        first = int(self._first[at])
        slots = tuple([self._slot_list[number] for number in self._flat[first : first + self._wide[at]].tolist()])
        (row,) = packed_rows(_unfolded([line[at : at + 1] for line in self._lines]))
        return Scored(row, slots, self.key(at))

    def __iter__(self) -> Iterator[Scored]:
        return map(self.scored, range(len(self._word)))

    def counts_of(
        self,
        which: Ints,
        times: Ints,
        sizes: Ints,
        with_forms: bool = True,
        accepted: Mapping[int, Mapping[tuple[str, str], int]] | None = None,
    ) -> Iterator[Counts]:
        """Counts of groups that stand one after the other: their pairs, how often each was said, and the pairs of each
        group. `accepted`: of some groups what was accepted. Without forms, only what they come to is there."""
        import numpy as np

        ends = np.cumsum(sizes)
        group = np.repeat(np.arange(len(sizes)), sizes)
        numbers, sums = self._numbers_of(which, times, sizes)
        slots = self._slots_of(which, times, group, len(sizes))
        said = self._said(which, times, group, len(sizes))
        for at, (start, end) in enumerate(zip((ends - sizes).tolist(), ends.tolist())):
            forms: dict[FormKey, int] = {}
            pairs = zip(which[start:end].tolist(), times[start:end].tolist()) if with_forms else ()
            for one, count in pairs:
                key = self.key(one)
                forms[key] = forms.get(key, 0) + count
            rows = CountMatrix(numbers[start:end], times[start:end], sums[at])
            yield Counts(rows, slots[at], forms, {}, (accepted or {}).get(at, {}), [said[at]])

    def _numbers_of(self, which: Ints, times: Ints, sizes: Ints) -> tuple[Any, list[int]]:
        """The numbers of each pair, and of each group all of them added up, packed."""
        import numpy as np

        usual = self._wide[which] > 0
        numbers = np.zeros((len(which), len(COUNT_FIELDS)), np.uint64)
        numbers[usual] = _unfolded([line[which[usual]] for line in self._lines])
        if not usual.all():
            numbers[~usual] = unpacked_rows([self._alone[at].packed for at in which[~usual].tolist()])
        sums = np.zeros((len(sizes), len(COUNT_FIELDS)), np.uint64)
        there = sizes > 0
        if there.any():
            starts = (np.cumsum(sizes) - sizes)[there]
            sums[there] = np.add.reduceat(numbers * times.astype(np.uint64)[:, None], starts, axis=0)
        return numbers, packed_rows(sums)

    def _slots_of(self, which: Ints, times: Ints, group: Ints, groups: int) -> list[dict[Slot, int]]:
        """How often each slot was met in each group."""
        import numpy as np

        wide, number = self._wide[which], len(self._slot_list)
        inside = np.arange(int(wide.sum())) - np.repeat(np.cumsum(wide) - wide, wide)
        slots = self._flat[np.repeat(self._first[which], wide) + inside]
        found, often = _added_up(np.repeat(group, wide) * number + slots, np.repeat(times, wide), groups * number)
        out = [dict[Slot, int]() for _ in range(groups)]
        if number:
            name = self._slot_list.__getitem__
            borders = np.searchsorted(found, np.arange(groups + 1) * number).tolist()
            listed, counted = (found % number).tolist(), often.tolist()
            out = [dict(zip(map(name, listed[a:b]), counted[a:b])) for a, b in zip(borders, borders[1:])]
        alone = wide == 0
        for at, one, count in zip(group[alone].tolist(), which[alone].tolist(), times[alone].tolist()):
            slots_here = out[at]
            for slot in self._alone[one].slots:
                slots_here[slot] = slots_here.get(slot, 0) + count
        return out

    def _said(self, which: Ints, times: Ints, group: Ints, groups: int) -> list[ProductionSummary]:
        """What the forms of each group come to."""
        import numpy as np

        forms, number = self._form[which].astype(np.int64), len(self._form_list) + 1
        there, word = np.unique(group * len(self._word_list) + self._word[which], return_inverse=True)
        shapes = np.bincount(np.unique(word * number + forms) // number, minlength=len(there))
        tokens = np.bincount(word, times, len(there)).astype(np.int64)
        right = np.bincount(word, self.right[which], len(there)) > 0
        alike, kind = np.unique((shapes << 40) + (tokens << 1) + right, return_inverse=True)
        words = [SaidWord(one >> 40, (one & _FORTY_BITS) >> 1, bool(one & 1)) for one in alike.tolist()]
        met, often = np.unique(there // max(1, len(self._word_list)) * len(words) + kind, return_counts=True)
        said = [dict[SaidWord, int]() for _ in range(groups)]
        for one, count in zip(met.tolist(), often.tolist()):
            said[one // len(words)][words[one % len(words)]] = count
        different = np.unique(group * number + forms)
        levels = np.bincount(different // number * 4 + self._levels[different % number], minlength=4 * groups)
        return [
            ProductionSummary(words_of_group, (one, two, three))
            for words_of_group, (_, one, two, three) in zip(said, levels.reshape(-1, 4).tolist())
        ]


def _added_up(keys: Any, times: Any, most: int) -> tuple[Any, Any]:
    """Each key below `most` that is there, in order, and its times added up."""
    import numpy as np

    if most <= 4 * len(keys):
        often = np.bincount(keys, times, most).astype(np.int64)
        found = np.flatnonzero(often)
        return found, often[found]
    found, which = np.unique(keys, return_inverse=True)
    return found, np.bincount(which, times, len(found)).astype(np.int64)


def _unfolded(lines: Sequence[Any]) -> Any:
    """The numbers of words from their three: (words, COUNT_FIELDS)."""
    import numpy as np

    numbers = {"words": np.ones(len(lines[0]), np.int64)}
    for line, names in zip(lines, (SUMS[0], SUMS[1][:6])):
        numbers |= {name: (line >> 8 * at) & _EIGHT_BITS for at, name in enumerate(names)}
    numbers |= {name: (lines[2] >> at) & _EIGHT_BITS for name, at in _OWN}
    numbers |= {name: (lines[2] >> at) & 1 for name, at in _YES}
    points, target = numbers["points"], numbers["target_points"]
    numbers["pwp_billionths"] = (points * 1_000_000_000 + target // 2) // target
    return np.stack([numbers[name] for name in COUNT_FIELDS], axis=1).astype(np.uint64)
