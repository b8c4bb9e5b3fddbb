"""One best-first search: from a form, by rules, to every form that meets a goal, cheapest first.

Simplify, climb and explain differ only in `Goal`: what is still wrong with a form, which changes may mend it, and how
much mending will cost at least (the heuristic of A*: Hart, Nilsson & Raphael 1968, IEEE Trans SSC 4:100-107; from memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from itertools import count
from typing import NamedTuple, Protocol

from approx.processes.form import Form
from approx.processes.rule import Rule


class Step(NamedTuple):
    """One change of a derivation; `targets` are the adult sounds it touched."""

    rule: str
    process: str
    before: Form
    after: Form
    cost: float
    targets: tuple[int, ...]


class Found(NamedTuple):
    """A form that meets the goal, what it cost, and the steps from the start."""

    form: Form
    cost: float
    steps: tuple[Step, ...]


class Goal(Protocol):
    """What a search wants."""

    def estimate(self, form: Form) -> float | None:
        """Least cost still to come; 0.0 only if the goal is met, None if it never can be."""

    def moves(self, form: Form) -> Iterable[tuple[Rule, float, Form, tuple[int, ...]]]:
        """Changes to try next: rule, cost here, form after it, adult sounds touched."""


def search(start: Form, goal: Goal, most: int, expansions: int, spread: float) -> Iterator[Found]:
    """Up to `most` different results, cheapest first, none dearer than the first by more than `spread`.

    Stops silently after `expansions` forms: the caller sees fewer results than it asked for.
    """
    first = goal.estimate(start)
    if first is None:
        return
    tie = count()
    heap: list[tuple[float, int, float, Form, tuple[Step, ...]]] = [(first, next(tie), 0.0, start, ())]
    best: dict[tuple[str, ...], float] = {}
    seen: set[tuple[tuple[str, ...], tuple[int, ...]]] = set()
    found, limit = 0, float("inf")
    while heap and expansions > 0:
        total, _, cost, form, steps = heapq.heappop(heap)
        if total > limit:
            return
        key = (form.phones, form.starts)
        if key in seen:
            continue
        seen.add(key)
        if goal.estimate(form) == 0.0:
            if form.phones not in best:
                best[form.phones] = cost
                limit = min(limit, cost + spread)
                found += 1
                yield Found(form, cost, steps)
                if found >= most:
                    return
            continue
        expansions -= 1
        for rule, price, after, targets in goal.moves(form):
            if (after.phones, after.starts) in seen:
                continue
            rest = goal.estimate(after)
            if rest is None:
                continue
            spent = cost + price
            step = Step(rule.id, rule.process, form, after, price, targets)
            heapq.heappush(heap, (spent + rest, next(tie), spent, after, (*steps, step)))
