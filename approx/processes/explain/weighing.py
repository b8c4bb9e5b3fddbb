"""Between which readings of a pair a sample may decide: what is open between readings, and what that is in a word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import NamedTuple

from approx.processes.explain.adult_facts import WITHOUT_TRIGGER, ChangedSound, Stood
from approx.processes.explain.derivation import Derivation, GoodReadings

Rivals = tuple[str, str]
"""An assimilation, and the name of the same change without a trigger."""


class OpenRivalry(NamedTuple):
    """Another reading that differs from the first in that a change of the sound at a place has, or has not, a trigger."""

    number: int
    pair: Rivals
    at: int
    for_assimilation: bool
    """True if the assimilation is not in the first reading."""


class OpenChoice(NamedTuple):
    """A reading of no more steps than the first: its number, the changes (process, place of the sound) that not all of these
    readings have, in how many processes these are, and whether it leaves unexplained what the first does."""

    number: int
    own: tuple[tuple[str, int], ...]
    processes: int
    explains_as_much: bool


class OpenReadings(NamedTuple):
    """What is open between the readings of a pair, in whatever word they are met; those that cost least first."""

    rivalries: tuple[OpenRivalry, ...]
    choices: tuple[OpenChoice, ...]


class Rivalry(NamedTuple):
    """What is open between two readings of a pair, in its word: of which sound the change is."""

    number: int
    pair: Rivals
    sound: str
    for_assimilation: bool


class Choice(NamedTuple):
    """A reading of a pair that is as good as the first, in its word: its changes by number."""

    number: int
    own: tuple[int, ...]
    processes: int
    explains_as_much: bool


class Weighing(NamedTuple):
    """Between which readings of a pair a sample may decide; those that cost least first."""

    rivalries: tuple[Rivalry, ...]
    choices: tuple[Choice, ...]
    """What is weighed where nothing is a rivalry."""


_RIVALS = WITHOUT_TRIGGER | {
    name: tuple(far for far, names in WITHOUT_TRIGGER.items() if name in names)
    for name in chain.from_iterable(WITHOUT_TRIGGER.values())
}
"""Of each process that has rivals, these."""
NOTHING_OPEN, NOTHING_WEIGHED = OpenReadings((), ()), Weighing((), ())


def open_between(readings: GoodReadings, names: Sequence[tuple[str, ...]]) -> OpenReadings:
    """What is open between several readings of a pair. `names`: of the processes of each."""
    cheapest = sorted(range(len(readings)), key=[reading.cost for reading in readings].__getitem__)
    rivalries: list[OpenRivalry] = []
    if rivals := {rival for name in names[0] for rival in _RIVALS.get(name, ())}:
        for number in cheapest:
            if not rivals.isdisjoint(names[number]):
                rivalries += _rivalries(number, readings[0], readings[number])
    return OpenReadings(tuple(rivalries), _choices(readings, names, cheapest))


def weighing_in(found: OpenReadings, stood: Sequence[Stood], changes: Mapping[ChangedSound, int]) -> Weighing:
    """What is open in a word, of which each sound stood so. A rivalry is one only where the assimilation has a trigger: of
    another sound, words cannot tell the two apart."""
    rivalries = tuple(
        [
            Rivalry(number, pair, stood[at][0], for_assimilation)
            for number, pair, at, for_assimilation in found.rivalries
            if pair[0] in stood[at][1]
        ]
    )
    if rivalries:
        return Weighing(rivalries, ())
    choices = [
        Choice(number, tuple([changes[process, stood[at][0]] for process, at in own]), processes, explains_as_much)
        for number, own, processes, explains_as_much in found.choices
    ]
    return Weighing((), tuple(choices))


def _choices(
    readings: GoodReadings, names: Sequence[tuple[str, ...]], cheapest: Sequence[int]
) -> tuple[OpenChoice, ...]:
    """The readings of no more steps than the first, with what not all of them have.

    A reading with a step more is no rival: an affricate said as a stop is stopping, however often the child deaffricates
    elsewhere (process conventions 3).
    """
    first = readings[0]
    eligible = [number for number in cheapest if len(names[number]) <= len(names[0])]
    if len(eligible) < 2:
        return ()
    in_all = frozenset(names[0]).intersection(*[names[number] for number in eligible])
    out: list[OpenChoice] = []
    for number in eligible:
        own = [use for use in readings[number].uses if use.process not in in_all]
        changes = tuple([(use.process, at) for use in own for at in use.targets])
        out.append(OpenChoice(number, changes, max(len(own), 1), readings[number].unexplained == first.unexplained))
    return tuple(out)


def _rivalries(number: int, first: Derivation, other: Derivation) -> Iterator[OpenRivalry]:
    """Those of another reading, if it differs in nothing else."""
    mine, others = _apart(first, other), _apart(other, first)
    names = {process for process, _ in mine}, {process for process, _ in others}
    if len(names[0]) != 1 or len(names[1]) != 1 or {each for _, each in mine} != {each for _, each in others}:
        return
    one, two = names[0].pop(), names[1].pop()
    for pair in ((one, two), (two, one)):
        if pair[1] in WITHOUT_TRIGGER.get(pair[0], ()):
            for at in [targets[0] for _, targets in mine if len(targets) == 1]:
                in_first = any(use.process == pair[0] and at in use.targets for use in first.uses)
                yield OpenRivalry(number, pair, at, not in_first)


def _apart(one: Derivation, other: Derivation) -> list[tuple[str, tuple[int, ...]]]:
    """Processes with their sounds that one reading has more often than the other."""
    mine = [(use.process, use.targets) for use in one.uses]
    for use in other.uses:
        if (use.process, use.targets) in mine:
            mine.remove((use.process, use.targets))
    return mine
