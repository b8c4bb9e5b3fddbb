"""What is counted in one token, and how tokens add up: whole numbers only, so that any split or merge is exact.

A token gives a fixed row of numbers, one slot per target sound, and the form it had. The row of numbers is held as one
large whole number with 64 bits for each: adding two tokens is one addition.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from struct import Struct
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from approx.scoring.judging.options import ScoringOptions
from approx.scoring.judging.slots import Slot
from approx.scoring.judging.structure import FormKey, ProductionSummary, said_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = [
    "COUNT_FIELDS",
    "Counts",
    "FormKey",
    "Scored",
    "TokenTally",
    "chosen",
    "pack",
    "packed_rows",
    "total",
    "unpack",
]

COUNT_FIELDS = (
    "words", "words_right",
    "consonants", "consonants_right", "consonants_right_a", "consonants_right_r",
    "vowels", "vowels_right", "vowels_right_r",
    "points", "target_points", "pwp_billionths",
    "wcm_produced", "wcm_target", "ipc_produced", "ipc_target",
    "syllables_matched", "shapes_matched", "stress_matched",
    "early", "early_right", "middle", "middle_right", "late", "late_right",
)  # fmt: skip
"""Names of the numbers a word gives. `points` are those of PMLU; `pwp_billionths` is its own proportion times 1e9."""

K = TypeVar("K")

_BITS = 64
_MASK = (1 << _BITS) - 1
_ALL = Struct(f"<{len(COUNT_FIELDS)}Q")
_AT = {name: _BITS * at for at, name in enumerate(COUNT_FIELDS)}


def pack(numbers: Mapping[str, int]) -> int:
    """One whole number that holds all; names left out are 0."""
    return sum(value << _AT[name] for name, value in numbers.items())


def unpack(packed: int, name: str) -> int:
    """One of the numbers."""
    return (packed >> _AT[name]) & _MASK


def packed_rows(numbers: NDArray[np.int64]) -> list[int]:
    """Rows of an array (words, COUNT_FIELDS) as whole numbers."""
    text, size = numbers.astype("<u8").tobytes(), _ALL.size
    return [int.from_bytes(text[at : at + size], "little") for at in range(0, len(text), size)]


class Scored(NamedTuple):
    """One word of one token. `accepted`: the adult form that matched, where that was not the target itself."""

    packed: int
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

    rows: Mapping[int, int] = field(default_factory=dict)
    slots: Mapping[Slot, int] = field(default_factory=dict)
    forms: Mapping[FormKey, int] = field(default_factory=dict)
    left_out: Mapping[str, int] = field(default_factory=dict)
    accepted: Mapping[tuple[str, str], int] = field(default_factory=dict)
    packed: int = field(init=False, compare=False, repr=False)
    """All rows added up."""
    _said: list[ProductionSummary] = field(default_factory=list, init=False, compare=False, repr=False)
    """The summary of the forms once it is known."""
    _known: dict[str, int] = field(default_factory=dict, init=False, compare=False, repr=False)
    """The sums by name once one of them was asked for."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "packed", sum([row * times for row, times in self.rows.items()]))

    def __getitem__(self, name: str) -> int:
        """One of `COUNT_FIELDS`."""
        if not self._known:
            numbers = _ALL.unpack(self.packed.to_bytes(_ALL.size, "little"))
            self._known.update(zip(COUNT_FIELDS, numbers))
        return self._known[name]

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

    def numbers(self) -> dict[str, int]:
        """All numbers by name."""
        return {name: self[name] for name in COUNT_FIELDS}


def _merged(one: Mapping[K, int], other: Mapping[K, int]) -> Mapping[K, int]:
    if not one or not other:
        return one or other
    total = Counter(one)
    total.update(other)
    return total


class TokenTally:
    """Adds up tokens one by one; `counts()` is the sum so far."""

    def __init__(self) -> None:
        self.rows: dict[int, int] = {}
        self.slots: dict[Slot, int] = {}
        self.forms: dict[FormKey, int] = {}
        self.left_out: dict[str, int] = {}
        self.accepted: dict[tuple[str, str], int] = {}

    def add(self, scored: Scored, times: int = 1) -> None:
        """Add one word, as often as it was said in the same way."""
        rows, slots, forms = self.rows, self.slots, self.forms
        rows[scored.packed] = rows.get(scored.packed, 0) + times
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
    consonants, vowels = unpack(scored.packed, "consonants"), unpack(scored.packed, "vowels")
    right = unpack(scored.packed, "consonants_right"), unpack(scored.packed, "vowels_right")
    return right[0] / max(1, consonants), right[1] / max(1, vowels)
