"""Groups of pairs, each distinct pair scored once: one by one where they are few, in arrays where they are many.

The number of pairs alone decides (`MANY`), so that the same sample always goes the same way; both give the same counts and
the same measures.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property, partial
from itertools import chain, count
from sys import intern
from typing import TYPE_CHECKING, NamedTuple, Protocol

from approx.ipa.word import Word
from approx.samples.token import Pair
from approx.scoring.alignment.align import MANY, Linker, aimed_apart, as_aimed, one_by_one
from approx.scoring.bulk.different_numbers import NumberedObjects
from approx.scoring.judging.counts import Counts, Scored, TokenTally
from approx.scoring.judging.options import ScoringOptions
from approx.scoring.judging.scored_word import left_out_reason, score_word
from approx.scoring.measures.bands import Setting
from approx.scoring.measures.catalogue import Score, evaluate

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from approx.scoring.bulk.chosen_pairs import ChosenPairs
    from approx.scoring.bulk.score_table import ScoreTable

    Ints = NDArray[np.int64]

Accepting = Callable[[Sequence[Word], Sequence[Word], Sequence[str], str, Linker], Sequence[Sequence[Word]]]
"""Adult forms, what was said for each with its sounds told apart (`as_aimed`), the words as spelled, their language, what
aligns many pairs -> of each the other adult forms that are as right (accent, casual speech)."""
GroupPairs = Sequence[Mapping[Pair, int]]
"""Pairs of a group with how often each was said, in one part or several."""
_AT_ONCE = 1 << 17
"""Pairs whose other adult forms are asked for together."""
_COUNTED_AT_ONCE = 1 << 17
"""Pairs of groups that are counted together."""


class GroupResult(NamedTuple):
    """One group: how many tokens it has, how many of them are scored and how many words that is, their counts, and what
    makes the measures of them for what is known of the sample."""

    tokens: int
    scored: int
    words: int
    counts: Counts
    measures: Callable[[Setting], Mapping[str, Score]]


class CountedGroups(Protocol):
    """Groups whose pairs are scored."""

    def each(self) -> Iterator[GroupResult]:
        """Each group, in order."""

    def scored(self, pair: Pair) -> Scored:
        """One of the pairs that are scored. KeyError for another."""


def counted_groups(
    groups: Sequence[GroupPairs],
    options: ScoringOptions,
    accepting: Accepting | None = None,
    keep_counts: bool = True,
    many: int = MANY,
) -> CountedGroups:
    """The results of groups of one language. Without `keep_counts` their counts hold slots and accepted forms only."""
    if sum(len(part) for group in groups for part in group) < many:
        return _OneByOne(groups, options, accepting, keep_counts)
    return _InArrays(groups, options, accepting, keep_counts)


def name_of(pair: Pair) -> str:
    """What a word is called across its tokens: as it was written, or its adult form."""
    return intern(
        (pair.target_word or (pair.target.ipa if pair.target else "")).lower()
    )  # one object for all its pairs


def reason_left_out(pair: Pair, options: ScoringOptions) -> str:
    """Why tokens of this pair are not scored, "" if they are; what was not wholly understood, only where the options say so."""
    if pair.kind == "scored":
        return ""
    if pair.kind in ("no gloss", "no response"):
        return pair.kind
    reason = left_out_reason(pair.target, pair.produced, options)
    return "unintelligible" if pair.kind == "unintelligible" and reason else reason


_LEFT_OUT = "a token without adult form or production is left out, not scored"


class _OneByOne:
    def __init__(
        self, groups: Sequence[GroupPairs], options: ScoringOptions, accepting: Accepting | None, keep_counts: bool
    ) -> None:
        self._groups, self._options, self._accepting, self._keep_counts = groups, options, accepting, keep_counts
        self._known: dict[Pair, Scored] = {}

    def each(self) -> Iterator[GroupResult]:
        for group in self._groups:
            tally, tokens = TokenTally(), 0
            for part in group:
                for pair, times in part.items():
                    tokens += times
                    if not reason_left_out(pair, self._options):
                        tally.add(self.scored(pair), times)
            counts = tally.counts()
            kept = counts if self._keep_counts else Counts(slots=counts.slots, accepted=counts.accepted)
            yield GroupResult(tokens, counts.tokens, counts["words"], kept, partial(evaluate, counts, self._options))

    def scored(self, pair: Pair) -> Scored:
        found = self._known.get(pair)
        if found is None:
            if pair.target is None or pair.produced is None:
                raise ValueError(_LEFT_OUT)
            target, produced = pair.target, as_aimed(pair.target, pair.produced)
            others: Sequence[Word] = ()
            if self._accepting:
                (others,) = self._accepting([target], [produced], [pair.target_word], pair.language, one_by_one)
            found = self._known[pair] = score_word(target, produced, self._options, name_of(pair), others)
        return found


class _InArrays:
    def __init__(
        self, groups: Sequence[GroupPairs], options: ScoringOptions, accepting: Accepting | None, keep_counts: bool
    ) -> None:
        import numpy as np

        self._options, self._keep_counts = options, keep_counts
        parts = [part for group in groups for part in group]
        size = sum(map(len, parts))
        numbers = NumberedObjects(list(chain.from_iterable(parts)))
        self._pairs, self._which = numbers.different, numbers.each
        self._times = np.fromiter(chain.from_iterable([part.values() for part in parts]), np.int32, size)
        self._ends = np.cumsum([sum(map(len, group)) for group in groups])
        self._counted = np.array([not reason_left_out(pair, options) for pair in self._pairs], bool)
        self._place = np.cumsum(self._counted) - 1
        scored = [pair for pair, counted in zip(self._pairs, self._counted.tolist()) if counted]
        self._table, self._best, self._accepted = _scored_table(scored, options, accepting)

    def each(self) -> Iterator[GroupResult]:
        ends, first = self._ends.tolist(), 0
        for number, end in enumerate(ends, 1):
            if end - (ends[first - 1] if first else 0) >= _COUNTED_AT_ONCE or number == len(ends):
                yield from self._together(first, number)
                first = number

    def _together(self, first: int, last: int) -> Iterator[GroupResult]:
        """Some groups, from one to another (excluded), counted together."""
        import numpy as np

        from approx.scoring.bulk.chosen_pairs import ChosenPairs
        from approx.scoring.bulk.group_measures import GroupMeasures, MeasuredGroups

        sizes = np.diff(self._ends, prepend=0)[first:last]
        begin, end, groups = int(self._ends[first] - sizes[0]), int(self._ends[last - 1]), last - first
        which, times = self._which[begin:end], self._times[begin:end].astype(np.int64)
        of_group = np.repeat(np.arange(groups), sizes)
        tokens = np.bincount(of_group, times, groups).astype(np.int64).tolist()
        counted = self._counted[which]
        which, times, of_group = self._place[which[counted]], times[counted], of_group[counted]
        accepted = self._accepted_in(which, times, of_group)
        chosen = ChosenPairs(self._table, self._best[which], times, np.bincount(of_group, minlength=groups))
        measured = MeasuredGroups(chosen, self._options)
        scored, words = chosen.tokens.tolist(), chosen.sums(("words",)).tolist()
        for at, in_all in enumerate(tokens):
            counts = self._counts(chosen, at, accepted.get(at, {}))
            yield GroupResult(in_all, scored[at], words[at], counts, partial(GroupMeasures, measured, at))

    def _counts(self, chosen: ChosenPairs, at: int, accepted: Mapping[tuple[str, str], int]) -> Counts:
        """The counts of one of some groups, as far as they are kept."""
        from approx.scoring.bulk.chosen_pairs import SlotCounts

        slots = SlotCounts(chosen.slots, at)
        if not self._keep_counts:
            return Counts(slots=slots, accepted=accepted)
        rows, forms = chosen.rows_and_forms(at)
        return Counts(rows, slots, forms, {}, accepted)

    def _accepted_in(self, which: Ints, times: Ints, group: Ints) -> dict[int, dict[tuple[str, str], int]]:
        """What was accepted in each group that has any of it, and how often."""
        out: dict[int, dict[tuple[str, str], int]] = {}
        some = self._best[which] != which
        for at, pair, often in zip(group[some].tolist(), which[some].tolist(), times[some].tolist()):
            here, key = out.setdefault(at, {}), (self._table.name(pair), self._accepted[pair])
            here[key] = here.get(key, 0) + often
        return out

    @cached_property
    def _numbers(self) -> dict[Pair, int]:
        return dict(zip(self._pairs, count()))

    def scored(self, pair: Pair) -> Scored:
        number = self._numbers[pair]
        if not self._counted[number]:
            raise KeyError(pair)
        at = int(self._place[number])
        return self._table.scored(int(self._best[at]))._replace(accepted=self._accepted.get(at, ""))


def _scored_table(
    pairs: Sequence[Pair], options: ScoringOptions, accepting: Accepting | None
) -> tuple[ScoreTable, Ints, dict[int, str]]:
    """Distinct pairs scored, and what `_best` says of them. After them the table has the other adult forms that are as
    right."""
    import numpy as np

    from approx.scoring.bulk.form_arrays import FormTable, SoundNumbers
    from approx.scoring.bulk.score_table import ScoreTable
    from approx.scoring.bulk.word_links import link_words

    targets, said = _forms_of(pairs)
    glosses = [pair.target_word for pair in pairs]
    known = {gloss: intern(gloss.lower()) for gloss in dict.fromkeys(glosses)}
    names = [known[gloss] or name_of(pair) for gloss, pair in zip(glosses, pairs)]
    instead: dict[int, Word] = {}
    rivals: list[tuple[int, Word]] = []
    numbers = NumberedObjects(said)
    heard = FormTable(numbers.different, SoundNumbers(options)) if pairs else None
    linker = partial(link_words, heard=(numbers, heard)) if heard else link_words
    for start in range(0, len(pairs), _AT_ONCE) if accepting else ():
        part = slice(start, start + _AT_ONCE)
        asked = accepting(targets[part], said[part], glosses[part], options.language, linker) if accepting else ()
        rivals += [(at, other) for at, others in enumerate(asked, start) for other in others]
    for at, other in rivals:
        instead[len(targets)] = targets[at]
        targets.append(other)
        said.append(said[at])
        names.append(names[at])
    forms = np.concatenate((numbers.each, numbers.of(said[len(pairs) :])))
    table = ScoreTable(targets, said, names, options, instead, heard, forms)
    return table, *_best(table, len(pairs), rivals)


def _forms_of(pairs: Sequence[Pair]) -> tuple[list[Word], list[Word]]:
    """The targets of pairs, and what was said for each as `as_aimed` has it."""
    targets = [pair.target for pair in pairs if pair.target is not None]
    said = [pair.produced for pair in pairs if pair.produced is not None]
    if not len(targets) == len(said) == len(pairs):
        raise ValueError(_LEFT_OUT)
    for at in aimed_apart(said):
        said[at] = as_aimed(targets[at], said[at])
    return targets, said


def _best(table: ScoreTable, size: int, rivals: Sequence[tuple[int, Word]]) -> tuple[Ints, dict[int, str]]:
    """For each pair the row of the adult form with the fewest wrong sounds, and which form that is if not the target."""
    import numpy as np

    best, wrong, right = np.arange(size), table.wrong.tolist(), table.right.tolist()
    accepted: dict[int, str] = {}
    for row, (at, form) in enumerate(rivals, size):
        now = int(best[at])
        if (wrong[row], not right[row]) < (wrong[now], not right[now]):
            best[at], accepted[at] = row, form.ipa
    return best, accepted
