"""What each token adds to the counts of its sample, and what is counted of an adult form.

A long sample has few different changes: what is counted of each is worked out once for its adult form.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, NamedTuple

from approx.ipa.word import Word
from approx.processes.explain.derivation import Use
from approx.processes.explain.opportunities import (
    LEAVES_OFF,
    Kind,
    OpportunityOptions,
    chances,
    kind_at,
    kinds_of,
    number_of_opportunities,
    opportunities_left,
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


class Adds(NamedTuple):
    """What a token adds to the counts of its sample."""

    rules: tuple[tuple[int, str], ...]
    """Rules of the reading, each with the kind of opportunity it took (`kind_number`)."""
    sure: tuple[ChangedSound, ...]
    """Changes that have no other good reading."""
    lost: tuple[Stood, ...] = ()
    """Where sounds stood that were left off."""
    weighed: tuple[WeighedSound, ...] = ()
    """Where sounds stood that were changed by a process that has a rival."""


class _Uses(dict[Use, int]):
    """Number of what each process met in one adult form adds by itself."""

    def __init__(self, target: Word, stood: tuple[Stood, ...], numbered: NumberedAdds) -> None:
        super().__init__()
        self.target, self.stood, self.numbered = target, stood, numbered

    def __missing__(self, use: Use) -> int:
        process, targets = use.process, use.targets
        number = kind_number((process, kind_at(self.target, process, targets) if kinds_of(process) else ""))
        places = [self.stood[t] for t in targets]
        changes = tuple([(process, phone) for phone, _ in places])
        lost = tuple(places) if process.endswith(LEAVES_OFF) else ()
        weighed = tuple([(place, frozenset((process,))) for place in places]) if process in _WEIGHED else ()
        found = self[use] = self.numbered.of(Adds(((number, use.rule),), changes, lost, weighed))
        return found

    def all(self, uses: Sequence[Use]) -> int:
        """Number of what several processes in one production add."""
        if len(uses) == 1:
            return self[uses[0]]
        numbers = tuple([self[use] for use in uses])
        numbered = self.numbered
        found = numbered.together.get(numbers)
        if found is None:
            each = [numbered.all[number] for number in numbers]
            some = [(use, adds) for use, adds in zip(uses, each) if adds.lost or adds.weighed]
            rules = tuple([rule for adds in each for rule in adds.rules])
            sure = tuple([change for adds in each for change in adds.sure])
            found = numbered.of(Adds(rules, sure, *self._each_once(some)))
            if len(some) < 2:  # else it matters as well which sounds of the word these are
                numbered.together[numbers] = found
        return found

    def _each_once(self, some: Sequence[tuple[Use, Adds]]) -> tuple[tuple[Stood, ...], tuple[WeighedSound, ...]]:
        """Where sounds stood that were left off or changed by processes that have a rival, each sound once."""
        if len(some) < 2:
            return (some[0][1].lost, some[0][1].weighed) if some else ((), ())
        gone = {t for use, each in some if each.lost for t in use.targets}
        processes: dict[int, frozenset[str]] = {}
        for use, each in some:
            for t, (_, names) in zip(use.targets, each.weighed):
                if t not in gone:
                    processes[t] = processes[t] | names if t in processes else names
        stood = self.stood
        return tuple([stood[t] for t in gone]), tuple([(stood[t], names) for t, names in processes.items()])


class NumberedAdds:
    """What tokens add, each once and by a number; and so its parts."""

    def __init__(self) -> None:
        self.all: list[Adds] = []
        self.kinds: list[tuple[int, ...]] = []
        """The kinds of opportunities of each, a kind for every rule."""
        self.together: dict[tuple[int, ...], int] = {}
        """Numbers of what processes add by themselves -> of what they add together."""
        self.surer: dict[tuple[int, tuple[ChangedSound, ...]], int] = {}
        self._numbers: dict[Adds, int] = {}
        self._parts: dict[Any, Any] = {}

    def of(self, adds: Adds) -> int:
        """Its number."""
        found = self._numbers.get(adds)
        if found is None:
            kept = Adds(*[self._parts.setdefault(part, part) for part in adds])
            found = self._numbers[kept] = len(self.all)
            self.all.append(kept)
            kinds = tuple([kind for kind, _ in kept.rules])
            self.kinds.append(self._parts.setdefault(kinds, kinds))
        return found

    def with_sure(self, number: int, sure: tuple[ChangedSound, ...]) -> int:
        """Number of the same with other changes that are sure."""
        if sure == self.all[number].sure:
            return number
        found = self.surer.get((number, sure))
        if found is None:
            found = self.surer[number, sure] = self.of(self.all[number]._replace(sure=sure))
        return found


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
def _kinds() -> tuple[dict[Kind, int], list[Kind]]:
    return {}, []


def kind_number(kind: Kind) -> int:
    """The number of a kind of opportunity, given out as kinds are met."""
    numbers, kinds = _kinds()
    number = numbers.get(kind)
    if number is None:
        number = numbers[kind] = len(kinds)
        kinds.append(kind)
    return number


def numbered_kind(number: int) -> Kind:
    """The kind of opportunity with a number."""
    return _kinds()[1][number]


def _numbered(found: Mapping[Kind, int]) -> dict[int, int]:
    return {kind_number(kind): places for kind, places in found.items()}
