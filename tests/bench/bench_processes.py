"""Seconds to name the processes of a sample beside seconds to score it: the same file, in one run.

    python tests/bench/bench_processes.py [ROWS]

Both go as the commands do: read the file, each distinct pair once, every measure or every process by child and session.
Processor seconds, so that other work on the machine counts little. The goal is at most four times the time to score.
"""

from __future__ import annotations

import gc
import resource
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from corpus import write

from approx.cli.process_input import count_tokens, hear_all
from approx.cli.sample_input import count_input
from approx.processes.accents_used import Accents
from approx.processes.chances import default_options as default_chances
from approx.processes.ruleset import load
from approx.processes.sample_processes import count_group
from approx.scoring.options import default_options
from approx.scoring.sample_score import score_counts

BY = "child,session_date"


def score(file: str) -> int:
    """All measures; how many groups."""
    return len(score_counts(count_input(file, "en-US", BY), default_options(), Accents(()).others))


def processes(file: str) -> int:
    """All processes with their chances; how many groups."""
    sample = count_tokens(file, "en-US", tuple(BY.split(",")))
    heard, _ = hear_all(sample, load(), Accents(()))
    options = default_chances()
    counted = [
        count_group({heard[at]: n for at, n in Counter(group.pairs).items()}, options) for group in sample.groups
    ]
    return len(counted)


def timed(work: Callable[[str], int], file: str) -> float:
    """Processor seconds of one run."""
    gc.collect()
    start = time.process_time()
    work(file)
    return time.process_time() - start


def main(rows: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "corpus.csv"
        distinct = write(file, rows)
        print(f"{rows} rows, {distinct} distinct pairs")
        scoring = timed(score, str(file))
        print(f"scoring    {scoring:7.2f} s")
        explaining = timed(processes, str(file))
        print(f"processes  {explaining:7.2f} s   {1e6 * explaining / distinct:.0f} microseconds a distinct pair")
    print(f"processes in {explaining / scoring:.2f} times the time to score (goal 4)")
    print(f"most memory of both {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
