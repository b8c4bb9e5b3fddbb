"""The search for the best set: from several starts, swap one word for another as long as the set gets better.

The plain greedy choice (the best next word, again and again) is one of the starts, and what the result is measured
against. The same seed gives the same set.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

from approx.practice.set_objective import FADING, Kind, Member, pair_cost
from approx.practice.word_weights import SetWeights, set_weights

_ENOUGH = 1e-9
"""A gain below this is rounding."""


class SetSearch:
    """Members numbered, their kinds numbered with weights, their pairs that cost; sums that change by one word."""

    def __init__(self, members: Sequence[Member], weights: SetWeights | None = None) -> None:
        self.w = w = weights or set_weights()
        self.members = members
        self.worth = [each.worth for each in members]
        numbers: dict[Kind, int] = {}
        for each in members:
            for kind in each.kinds:
                numbers.setdefault(kind, len(numbers))
        self.kinds = [tuple(numbers[kind] for kind in each.kinds) for each in members]
        longest = len(members) + 1
        steps = {part: self._steps(part, longest) for part in {kind[0] for kind in numbers}}
        self.steps = [steps[kind[0]] for kind in numbers]
        self.pairs: list[dict[int, float]] = [{} for _ in members]
        for one in range(len(members)):
            for other in range(one):
                cost = pair_cost(members[one], members[other], w)[1]
                if cost:
                    self.pairs[one][other] = self.pairs[other][one] = cost

    def _steps(self, part: str, longest: int) -> list[float]:
        """What the first, second, ... word of a kind of this part gives."""
        weight: float = getattr(self.w, part)
        return [weight * self.w.fading**count if part in FADING else weight * (count == 0) for count in range(longest)]

    def value(self, chosen: Sequence[int]) -> float:
        """The objective of a set."""
        state = _State(self)
        return sum(state.add(number) for number in chosen)

    def greedy(self, size: int) -> list[int]:
        """The best next word, again and again, as long as it adds anything."""
        state = _State(self)
        state.fill(size)
        return state.chosen

    def best(self, size: int, seed: int) -> list[int]:
        """The best set of at most `size` words found from several starts.

        The plain greedy set is one of the starts, so the result is never worse. It is smaller than asked where every
        other word would cost more than it gives: where it would sound like one that is there.
        """
        count = len(self.members)
        draw = random.Random(seed)
        starts = [self.greedy(size)] + [draw.sample(range(count), min(size, count)) for _ in range(self.w.starts - 1)]
        found: list[tuple[float, list[int]]] = []
        for start in starts:
            state = _State(self)
            total = sum(state.add(number) for number in start)
            found.append((round(state.climb(total, size), 9), sorted(state.chosen)))
        return max(found)[1]


class _State:
    """A set in the making and how many words of each kind it has."""

    def __init__(self, search: SetSearch) -> None:
        self.search, self.worth = search, search.worth
        self.chosen: list[int] = []
        self.counts = [0] * len(search.steps)

    def gain(self, number: int) -> float:
        """What a word would add."""
        search, counts = self.search, self.counts
        pairs = search.pairs[number]
        total = self.worth[number]
        for kind in search.kinds[number]:
            total += search.steps[kind][counts[kind]]
        if pairs:
            for other in self.chosen:
                total += pairs.get(other, 0.0)
        return total

    def add(self, number: int) -> float:
        gained = self.gain(number)
        self.chosen.append(number)
        for kind in self.search.kinds[number]:
            self.counts[kind] += 1
        return gained

    def remove(self, number: int) -> float:
        """Take a word out; what it gave."""
        self.chosen.remove(number)
        for kind in self.search.kinds[number]:
            self.counts[kind] -= 1
        return self.gain(number)

    def fill(self, size: int) -> float:
        """Add the best word as long as there is room and it adds anything; what they added."""
        total = 0.0
        left = set(range(len(self.worth))) - set(self.chosen)
        while left and len(self.chosen) < size:
            best = max(left, key=lambda number: (self.gain(number), -number))
            if self.gain(best) <= 0:
                break
            left.remove(best)
            total += self.add(best)
        return total

    def climb(self, total: float, size: int) -> float:
        """Swap as long as it helps, each time the best swap for one word, or none for it; the value reached."""
        everything = range(len(self.worth))
        tired = 0
        while tired < len(self.chosen):
            out = self.chosen[0]
            lost = self.remove(out)
            inside = set(self.chosen)
            best, most = out, lost
            for number in everything:
                if number not in inside and (gained := self.gain(number)) > most + _ENOUGH:
                    best, most = number, gained
            total -= lost
            if most < 0:
                tired = 0
                continue
            total += self.add(best)  # at the end: the next round takes the next word out
            tired = 0 if best != out else tired + 1
            if tired == len(self.chosen) < size and (more := self.fill(size)):
                total += more
                tired = 0
        return total
