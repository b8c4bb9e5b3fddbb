"""What is counted in one token, and how tokens add up: whole numbers only, so that any split or merge is exact.

A token gives a row of numbers (`CountRow`), one slot per target sound, and the form it had. From judging to intervals the
numbers of a word are such a row; those of many words are a matrix with the same columns (`bulk.count_matrix`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from operator import mul
from typing import NamedTuple, TypeVar

from approx.scoring.judging.options import ScoringOptions
from approx.scoring.judging.slots import Slot
from approx.scoring.judging.structure import FormKey, ProductionSummary, said_of

__all__ = ["COUNT_FIELDS", "CountRow", "Counts", "FormKey", "Scored", "TokenTally", "added", "chosen", "total"]

K = TypeVar("K")


class CountRow(NamedTuple):
    """The numbers that a word gives, or some words together. `points` are those of PMLU; `pwp_billionths` is the word's own
    proportion of them times 1e9."""

    words: int = 0
    words_right: int = 0
    consonants: int = 0
    consonants_right: int = 0
    consonants_right_a: int = 0
    consonants_right_r: int = 0
    vowels: int = 0
    vowels_right: int = 0
    vowels_right_r: int = 0
    points: int = 0
    target_points: int = 0
    wcm_produced: int = 0
    wcm_target: int = 0
    ipc_produced: int = 0
    ipc_target: int = 0
    syllables_matched: int = 0
    shapes_matched: int = 0
    stress_matched: int = 0
    early: int = 0
    early_right: int = 0
    middle: int = 0
    middle_right: int = 0
    late: int = 0
    late_right: int = 0
    pwp_billionths: int = 0


COUNT_FIELDS = CountRow._fields
"""Names of the numbers, in the order of every row."""
_PLACE = {name: at for at, name in enumerate(COUNT_FIELDS)}


def added(rows: Iterable[CountRow]) -> CountRow:
    """Rows added up; one at least.

    >>> added([CountRow(words=1, consonants=2), CountRow(words=1, consonants=3)])[:3]
    (2, 0, 5)
    """
    return CountRow._make(map(sum, zip(*rows)))


class Scored(NamedTuple):
    """One word of one token. `accepted`: the adult form that matched, where that was not the target itself."""

    row: CountRow
    slots: tuple[Slot, ...]
    key: FormKey
    accepted: str = ""

    @property
    def word(self) -> str:
        """The word's name across tokens."""
        return self.key[0]

    @property
    def form(self) -> str:
        """What was said, allophones aside."""
        return self.key[1]

    @property
    def right(self) -> bool:
        """Whether the whole word is right."""
        return self.key[2]


@dataclass(frozen=True, slots=True)
class Counts:
    """Sums over words. `Counts() + counts == counts`; the order of adding does not matter.

    `rows`: each distinct row of numbers -> tokens that gave it, which is what intervals rest on.
    `slots`: target sound, place, said sound, verdict -> how often. `forms`: (word, form, right) -> how often.
    `left_out`: reason -> tokens. `accepted`: (word, adult form that was accepted) -> how often.
    """

    rows: Mapping[CountRow, int] = field(default_factory=dict)
    slots: Mapping[Slot, int] = field(default_factory=dict)
    forms: Mapping[FormKey, int] = field(default_factory=dict)
    left_out: Mapping[str, int] = field(default_factory=dict)
    accepted: Mapping[tuple[str, str], int] = field(default_factory=dict)
    _said: list[ProductionSummary] = field(default_factory=list, init=False, compare=False, repr=False)
    """The summary of the forms once it is known."""
    _sums: list[CountRow] = field(default_factory=list, init=False, compare=False, repr=False)
    """All rows added up once one of the sums was asked for."""

    def __getitem__(self, name: str) -> int:
        """One of `COUNT_FIELDS`, of all words together."""
        return self.sums[_PLACE[name]]

    @property
    def sums(self) -> CountRow:
        """All rows added up."""
        if not self._sums:
            times = self.rows.values()
            self._sums.append(CountRow(*[sum(map(mul, column, times)) for column in zip(*self.rows)]))
        return self._sums[0]

    def __add__(self, other: Counts) -> Counts:
        return Counts(
            _merged(self.rows, other.rows),
            _merged(self.slots, other.slots),
            _merged(self.forms, other.forms),
            _merged(self.left_out, other.left_out),
            _merged(self.accepted, other.accepted),
        )

    @property
    def said(self) -> ProductionSummary:
        """What the forms come to, by word and by structure."""
        if not self._said:
            self._said.append(said_of(self.forms))
        return self._said[0]

    @property
    def tokens(self) -> int:
        """How many tokens were scored; a phrase is one, of several words."""
        return sum(self.rows.values())


def _merged(one: Mapping[K, int], other: Mapping[K, int]) -> Mapping[K, int]:
    if not one or not other:
        return one or other
    total = Counter(one)
    total.update(other)
    return total


class TokenTally:
    """Adds up tokens one by one; `counts()` is the sum so far."""

    def __init__(self) -> None:
        self.rows: dict[CountRow, int] = {}
        self.slots: dict[Slot, int] = {}
        self.forms: dict[FormKey, int] = {}
        self.left_out: dict[str, int] = {}
        self.accepted: dict[tuple[str, str], int] = {}

    def add(self, scored: Scored, times: int = 1) -> None:
        """Add one word, as often as it was said in the same way."""
        rows, slots, forms = self.rows, self.slots, self.forms
        rows[scored.row] = rows.get(scored.row, 0) + times
        forms[scored.key] = forms.get(scored.key, 0) + times
        for slot in scored.slots:
            slots[slot] = slots.get(slot, 0) + times
        if scored.accepted:
            key = scored.word, scored.accepted
            self.accepted[key] = self.accepted.get(key, 0) + times

    def counts(self) -> Counts:
        """The sum so far."""
        return Counts(dict(self.rows), dict(self.slots), dict(self.forms), dict(self.left_out), dict(self.accepted))


def total(scored: Iterable[Scored]) -> Counts:
    """Counts of some words."""
    tally = TokenTally()
    for one in scored:
        tally.add(one)
    return tally.counts()


def chosen(scored: Sequence[Scored], options: ScoringOptions) -> list[Scored]:
    """Tokens that enter the measures by the option `repeats`: every one, or of each word the first or the best.

    Best: most consonants right in proportion, then most vowels; of equals the first.
    """
    if options.repeats == "every":
        return list(scored)
    kept: dict[str, Scored] = {}
    for one in scored:
        if one.word not in kept or (options.repeats == "best" and _goodness(one) > _goodness(kept[one.word])):
            kept[one.word] = one
    return list(kept.values())


def _goodness(scored: Scored) -> tuple[float, float]:
    row = scored.row
    return row.consonants_right / max(1, row.consonants), row.vowels_right / max(1, row.vowels)
