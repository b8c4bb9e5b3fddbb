"""Sessions, tries and their counts, as `approx.records.rows` gives them out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Session:
    """One visit. `number` counts a child's sessions; probes and phases use the same numbers. `minutes`: None if open."""

    id: int
    version: int
    child: str
    date: str
    number: int
    minutes: int | None = None
    place: str = ""
    note: str = ""
    trials: int = 0


@dataclass(frozen=True, slots=True)
class Trial:
    """One try. `form` is the form aimed at that day; `result` 2 it was reached, 1 nearly (one part off), 0 not."""

    id: int
    session_id: int
    target_id: int
    number: int
    word: str
    form: str
    help: str
    result: int
    at: str = ""


@dataclass(frozen=True, slots=True)
class TrialEntry:
    """`times` alike tries of a target, as a paper grid gives them."""

    target_id: int
    help: str
    result: int
    times: int = 1


@dataclass(frozen=True, slots=True)
class Tally:
    """Counts of tries, never percentages. `reached + near + missed` are the tries."""

    reached: int = 0
    near: int = 0
    missed: int = 0

    @property
    def trials(self) -> int:
        return self.reached + self.near + self.missed

    def __add__(self, other: Tally) -> Tally:
        return Tally(self.reached + other.reached, self.near + other.near, self.missed + other.missed)


@dataclass(frozen=True, slots=True)
class TargetTotals:
    """One target and form in one session: all tries, and by help level from most help to none."""

    target_id: int
    word: str
    form: str
    all: Tally
    by_help: tuple[tuple[str, Tally], ...]


@dataclass(frozen=True, slots=True)
class Totals:
    """One session: all tries, by help level (every level, most help first), and by target in order of first use."""

    all: Tally
    by_help: tuple[tuple[str, Tally], ...]
    by_target: tuple[TargetTotals, ...]
    last: Trial | None = None

    @property
    def without_help(self) -> Tally:
        """Tries of the level that is no help at all, the last one."""
        return self.by_help[-1][1]
