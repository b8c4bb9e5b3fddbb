"""What each token adds to the counts of its sample, and what is counted of an adult form.

A long sample has few different changes: what is counted of each is worked out once for its adult form.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from functools import cache
from typing import NamedTuple, TypeVar

from approx.ipa.word import Word
from approx.processes.explain.derivation import Use
from approx.processes.explain.opportunities import (
    LEAVES_OFF,
    OpportunityKind,
    OpportunityOptions,
    chances,
    kind_at,
    number_of_opportunities,
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
_WEIGHED = frozenset(WITHOUT_TRIGGER).union(*WITHOUT_TRIGGER.values())
ChangedSound = tuple[str, str]
"""A process and the adult sound it took."""
Stood = tuple[str, frozenset[str]]
"""A sound, and the assimilations of which a trigger is in its word."""
WeighedSound = tuple[Stood, frozenset[str]]
"""Where a sound stood that was changed, and by which processes of those that have a rival."""


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
    lost: int
    """Where sounds stood that were left off; 0: none was."""
    weighed: int
    """Where sounds stood that were changed, by a process that has a rival; 0: by another."""


class NumberedAdds:
    """Numbers of what tokens add: they have few different changes, and numbers stand close together in memory."""

    def __init__(self) -> None:
        self.rules: NumberedItems[tuple[int, str]] = NumberedItems()
        """A kind of opportunity (`kind_number`) and the rule that took it."""
        self.changes: NumberedItems[ChangedSound] = NumberedItems()
        self.lost: NumberedItems[tuple[Stood, ...]] = NumberedItems([()])
        self.weighed: NumberedItems[tuple[WeighedSound, ...]] = NumberedItems([()])


class _Uses(dict[Use, Adds]):
    """What each process met in one adult form adds."""

    def __init__(self, target: Word, stood: tuple[Stood, ...], numbered: NumberedAdds) -> None:
        super().__init__()
        self.target, self.stood, self.numbered = target, stood, numbered

    def __missing__(self, use: Use) -> Adds:
        process, targets, numbered = use.process, use.targets, self.numbered
        kind = kind_number((process, kind_at(self.target, process, targets) if opportunity_kinds(process) else ""))
        places = [self.stood[t] for t in targets]
        lost = tuple(places) if process.endswith(LEAVES_OFF) else ()
        weighed = tuple([(place, frozenset((process,))) for place in places]) if process in _WEIGHED else ()
        changes = tuple([numbered.changes[process, phone] for phone, _ in places])
        rule = numbered.rules[kind, use.rule]
        found = self[use] = Adds(rule, changes, numbered.lost[lost], numbered.weighed[weighed])
        return found

    def each_once(self, uses: Sequence[Use], adds: Sequence[Adds]) -> tuple[int, int]:
        """Where sounds stood that were left off or changed by processes that have a rival, each sound once."""
        if len(adds) == 1:
            return adds[0].lost, adds[0].weighed
        some = [(use, each) for use, each in zip(uses, adds) if each.lost or each.weighed]
        if len(some) < 2:
            return (some[0][1].lost, some[0][1].weighed) if some else (0, 0)
        numbered = self.numbered
        gone = {t for use, each in some if each.lost for t in use.targets}
        processes: dict[int, frozenset[str]] = {}
        for use, each in some:
            for t, (_, names) in zip(use.targets, numbered.weighed.all[each.weighed]):
                if t not in gone:
                    processes[t] = processes[t] | names if t in processes else names
        stood = self.stood
        lost, weighed = [stood[t] for t in gone], [(stood[t], names) for t, names in processes.items()]
        return numbered.lost[tuple(lost)], numbered.weighed[tuple(weighed)]


class AdultFacts:
    """What is said and counted of an adult form: its text, where its sounds stand, the processes in it, its opportunities."""

    __slots__ = ("_could", "ipa", "stood", "target", "uses")

    def __init__(self, target: Word, numbered: NumberedAdds) -> None:
        self.target, self.ipa = target, target.ipa
        could = chances(target, "all")
        near = {name: frozenset(at for place in could.get(name, ()) for at in place) for name in WITHOUT_TRIGGER}
        self.stood: tuple[Stood, ...] = tuple(
            (phone, frozenset(name for name, places in near.items() if at in places))
            for at, phone in enumerate(target.phones)
        )
        self.uses = _Uses(target, self.stood, numbered)
        self._could: dict[tuple[str, str], Mapping[int, int]] = {}

    def opportunities(self, options: OpportunityOptions, gone: frozenset[int]) -> Mapping[int, int]:
        """Kind by number -> how many opportunities there are, where some sounds were left off that are none any more."""
        which, lost_r = options.weak_syllables, options.lost_r
        if gone:
            return _numbered(opportunities_left(self.target, gone, which, lost_r))
        found = self._could.get((which, lost_r))
        if found is None:
            found = self._could[which, lost_r] = _numbered(number_of_opportunities(self.target, which, lost_r))
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
