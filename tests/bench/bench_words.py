"""Ranking the bank and choosing sets: time, and how much better the search is than the plain greedy choice.

Run: `python tests/bench/bench_words.py`. CPU time of this process, best of several, and its ratio to what any
ranking must do at least: asking of every word of the bank what it demands. Never a pass or fail by the clock.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support" / "children"))

from child_profiles import CHILDREN, table

from approx.child.child_file import read_table
from approx.child.demands import all_demands
from approx.child.profile import Profile
from approx.child.search_limits import limits
from approx.practice.words.rank_words import bank_for, rank
from approx.practice.words.word_set import choose_set


def seconds(work: Callable[[], object], times: int = 3) -> float:
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def demands_only(who: Profile) -> None:
    limit = limits(who)
    for word in bank_for(who):
        all_demands(word.adult.phones, word.adult.starts, limit)


def main() -> None:
    print(f"{'child':22} {'words':>6} {'rank s':>7} {'x pass':>7} {'set s':>6} {'greedy':>8} {'search':>8} {'gain':>6}")
    gains = []
    for name in CHILDREN:
        who, _ = read_table(table(name))
        rank(who)
        ranking, bare = seconds(partial(rank, who)), seconds(partial(demands_only, who))
        found = choose_set(who, 12)
        choosing = seconds(partial(choose_set, who, 12), 1)
        gain = 100 * (found.value - found.greedy_value) / found.greedy_value if found.greedy_value > 0 else 0.0
        if len(found.words) == 12:
            gains.append(gain)
        print(
            f"{name:22} {len(rank(who)):6} {ranking:7.3f} {ranking / bare:7.1f} {choosing:6.2f}"
            f" {found.greedy_value:8.2f} {found.value:8.2f} {gain:5.2f}%"
        )
    better = sum(gain > 1e-6 for gain in gains)
    print(f"twelve words: better than greedy for {better} of {len(gains)} children, never worse: {min(gains) >= -1e-9}")


if __name__ == "__main__":
    main()
