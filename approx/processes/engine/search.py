"""One best-first search: from a form, by rules, to every form that meets a goal, cheapest first.

Simplify, climb and explain differ only in the states they search over and the moves they offer; the order of the
search is one: A* (Hart, Nilsson & Raphael 1968, IEEE Trans Syst Sci Cybern 4:100-107; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from heapq import heappop, heappush
from itertools import count
from math import inf
from typing import Generic, NamedTuple, Protocol, TypeVar

from approx.processes.engine.form import Form

Key = tuple[str, tuple[str, ...]]
"""A demand without its place: kind and item."""


class Step(NamedTuple):
    """One change of a derivation; `targets` are the adult sounds it touched, `why` the demand it mends, if any."""

    rule: str
    process: str
    before: Form
    after: Form
    cost: float
    targets: tuple[int, ...]
    why: Key | None


class Found(NamedTuple):
    """A form that meets the goal, what it cost, and the steps from the start."""

    form: Form
    cost: float
    steps: tuple[Step, ...]


class SearchState(Protocol):
    """What a search stands on: a key that is equal for equal states, and the least cost still to come (0 = goal).

    A state may put off its work until it is looked at: `rest` is then a low guess that may rise once `key` was asked.
    `inf` is a state from which nothing can come.
    """

    @property
    def key(self) -> Hashable:
        """What makes two states one."""

    @property
    def rest(self) -> float:
        """No more than the cost that is still to come."""


S = TypeVar("S", bound=SearchState)
T = TypeVar("T")
StepPath = tuple["StepPath[T] | None", tuple[T, ...]]
"""Steps taken, as a chain that shares its beginnings."""


class Arrival(NamedTuple, Generic[S, T]):
    """A state that meets the goal, what it cost to get there, and how."""

    state: S
    cost: float
    steps: tuple[T, ...]


def search(
    start: S,
    moves: Callable[[S], Iterable[tuple[float, tuple[T, ...], S]]],
    most: int,
    expansions: int,
    spread: float,
) -> Iterator[Arrival[S, T]]:
    """Up to `most` different goals, cheapest first, none dearer than the first by more than `spread`.

    Each move gives its cost, its steps (whatever the caller understands by one) and the state after it. Ends after
    `expansions` states at the latest.
    """
    tie = count()
    heap: list[tuple[float, float, int, float, S, StepPath[T] | None]] = [
        (start.rest, start.rest, next(tie), 0.0, start, None)
    ]
    seen: set[Hashable] = set()
    found, limit = 0, inf
    while heap and expansions > 0:
        total, guess, number, cost, state, path = heappop(heap)
        if total > limit:
            return
        key = state.key
        if key in seen:
            continue
        rest = state.rest
        if rest > guess:
            if rest < inf:
                heappush(heap, (cost + rest, rest, number, cost, state, path))
            continue
        seen.add(key)
        if not rest:
            limit = min(limit, cost + spread)
            found += 1
            yield Arrival(state, cost, _unroll(path))
            if found >= most:
                return
            continue
        expansions -= 1
        for price, steps, after in moves(state):
            spent, rest = cost + price, after.rest
            # among equals the state nearest its goal goes first, so that the search does not go broad
            heappush(heap, (spent + rest, rest, next(tie), spent, after, (path, steps)))


def _unroll(path: StepPath[T] | None) -> tuple[T, ...]:
    parts: list[tuple[T, ...]] = []
    while path is not None:
        path, steps = path
        parts.append(steps)
    return tuple(step for steps in reversed(parts) for step in steps)
