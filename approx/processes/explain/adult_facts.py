"""What each token adds to the counts of its sample, and what is counted of an adult form.

A long sample has few different changes: what is counted of each is worked out once for its adult form.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from functools import cache
from typing import NamedTuple, TypeVar

from approx.ipa.word import Word
from approx.processes.explain.derivation import Use
from approx.processes.explain.opportunities import (
    OpportunityKind,
    OpportunityOptions,
    kind_at,
    number_of_opportunities,
    opportunities_in,
    opportunities_left,
    opportunity_kinds,
)

WITHOUT_TRIGGER = {
    "alveolar assimilation": ("velar fronting", "alveolarization"),
    "velar assimilation": ("backing",),
    "labial assimilation": ("labialization",),
    "palatal assimilation": ("palatalization", "affrication"),
    "nasal assimilation": ("nasalization",),
}
"""What each assimilation is called where there is no trigger (process conventions 5 and 6). A liquid said as a glide is
gliding whatever else is in the word (8)."""
WEIGHED = frozenset(WITHOUT_TRIGGER).union(*WITHOUT_TRIGGER.values())
"""Processes that have a rival."""
ChangedSound = tuple[str, str]
"""A process and the adult sound it took."""
Stood = tuple[str, frozenset[str]]
"""A sound, and the assimilations of which a trigger is in its word."""


EqualItem = TypeVar("EqualItem", bound=Hashable)


class NumberedItems(dict[EqualItem, int]):
    """Items by numbers, given out as they are met; `all`: the items in this order."""

    def __init__(self, first: Iterable[EqualItem] = ()) -> None:
        super().__init__()
        self.all: list[EqualItem] = []
        for item in first:
            self[item]

    def __missing__(self, item: EqualItem) -> int:
        number = self[item] = len(self.all)
        self.all.append(item)
        return number


class Adds(NamedTuple):
    """What a process in a token adds to the counts of its sample, by numbers in `NumberedAdds`."""

    rule: int
    changes: tuple[int, ...]


class NumberedAdds:
    """Numbers of what tokens add: they have few different changes, and numbers stand close together in memory."""

    def __init__(self) -> None:
        self.uses: NumberedItems[Use] = NumberedItems()
        self.rules: NumberedItems[tuple[int, str]] = NumberedItems()
        """A kind of opportunity (`kind_number`) and the rule that took it."""
        self.changes: NumberedItems[ChangedSound] = NumberedItems()
        self.stood: NumberedItems[Stood] = NumberedItems()


class _Adds(dict[int, Adds]):
    """What each process, by the number of its use, adds in one adult form."""

    def __init__(self, target: Word, numbered: NumberedAdds, language: str) -> None:
        super().__init__()
        self.target, self.numbered, self.language = target, numbered, language

    def __missing__(self, number: int) -> Adds:
        numbered, phones = self.numbered, self.target.phones
        process, rule, targets, _ = numbered.uses.all[number]
        kinds = opportunity_kinds(process)
        kind = kind_number((process, kind_at(self.target, process, targets, self.language) if kinds else ""))
        changes = tuple([numbered.changes[process, phones[t]] for t in targets])
        found = self[number] = Adds(numbered.rules[kind, rule], changes)
        return found


class AdultFacts:
    """What is said and counted of an adult form: its text, where its sounds stand, the processes in it, its opportunities.

    `sounds`: how each sound stands; `stood`: the same, in `NumberedAdds.stood`. `adds`: by the number of a use, in `NumberedAdds.uses`.
    """

    __slots__ = ("_could", "adds", "ipa", "number", "language", "sounds", "stood", "target")

    def __init__(self, number: int, target: Word, numbered: NumberedAdds, language: str = "en-US") -> None:
        self.number, self.target, self.ipa, self.language = number, target, target.ipa, language
        could = opportunities_in(target, "all", language)
        near = {name: frozenset(at for place in could.get(name, ()) for at in place) for name in WITHOUT_TRIGGER}
        self.sounds: list[Stood] = [
            (phone, frozenset(name for name, places in near.items() if at in places))
            for at, phone in enumerate(target.phones)
        ]
        self.stood = [numbered.stood[each] for each in self.sounds]
        self.adds = _Adds(target, numbered, language)
        self._could: dict[tuple[str, str], Mapping[int, int]] = {}

    def opportunities(self, options: OpportunityOptions, gone: frozenset[int]) -> Mapping[int, int]:
        """Kind by number -> how many opportunities there are, where some sounds were left off that are none any more."""
        which, lost_r = options.weak_syllables, options.lost_r
        if gone:
            return _numbered(opportunities_left(self.target, gone, which, lost_r, self.language))
        found = self._could.get((which, lost_r))
        if found is None:
            found = self._could[which, lost_r] = _numbered(
                number_of_opportunities(self.target, which, lost_r, self.language)
            )
        return found


@cache
def _kinds() -> tuple[dict[OpportunityKind, int], list[OpportunityKind]]:
    return {}, []


def kind_number(kind: OpportunityKind) -> int:
    """The number of a kind of opportunity, given out as kinds are met."""
    numbers, kinds = _kinds()
    number = numbers.get(kind)
    if number is None:
        number = numbers[kind] = len(kinds)
        kinds.append(kind)
    return number


def numbered_kind(number: int) -> OpportunityKind:
    """The kind of opportunity with a number."""
    return _kinds()[1][number]


def _numbered(found: Mapping[OpportunityKind, int]) -> dict[int, int]:
    return {kind_number(kind): places for kind, places in found.items()}
