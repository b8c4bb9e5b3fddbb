"""How long `approx processes` takes for a long sample, and how much memory, beside a general aligner and beside scoring.

    pip install jiwer      # only for this bench
    python tests/bench/bench_processes.py [ROWS] [--growth]

Processes and scoring: the whole commands `approx processes FILE --by child --json` and `approx score FILE --by child --json`,
from start to the last line written. Aligner: as `bench_score` says, the strings ready in its memory before its clock starts.
Each in a process of its own, by its processor seconds and its most memory, on the same file in one run. The goal is at most
four times the aligner, and 2.5 times scoring. --growth: a quarter, a half and all of the rows, beside the distinct pairs. Nothing is asserted.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from bench_score import OURS, THEIRS, run, segmented
from corpus import write

GOALS = {"approx score": 2.5, "jiwer": 4}
PROCESSES = OURS.replace('"score"', '"processes"')


def beside_others(folder: Path, rows: int) -> None:
    sample, ready = folder / "sample.csv", folder / "segments.tsv"
    distinct = write(sample, rows)
    segmented(sample, ready)
    print(f"{rows} rows, {distinct} distinct pairs")
    found = {
        "approx processes": run(PROCESSES, sample),
        "approx score": run(OURS, sample),
        "jiwer": run(THEIRS, ready),
    }
    for name, (seconds, memory) in found.items():
        print(f"{name:16} {seconds:7.2f} processor seconds; most memory {memory:.0f} MB")
    ours = found.pop("approx processes")[0]
    print(f"{1e6 * ours / distinct:.0f} microseconds a distinct pair")
    for name, (seconds, _) in found.items():
        print(f"processes in {ours / seconds:.2f} times the time of {name} (goal {GOALS[name]})")


def growth(folder: Path, rows: int) -> None:
    for number in (rows // 4, rows // 2, rows):
        sample = folder / "growing.csv"
        distinct = write(sample, number)
        seconds, memory = run(PROCESSES, sample)
        print(
            f"{number:8} rows {distinct:7} distinct pairs  {seconds:6.2f} s  {memory:5.0f} MB; "
            f"a pair {1e6 * seconds / distinct:4.0f} microseconds, {1024 * memory / distinct:4.1f} KB"
        )


def main() -> None:
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    rows = numbers[0] if numbers else 100_000
    with tempfile.TemporaryDirectory() as name:
        (growth if "--growth" in sys.argv else beside_others)(Path(name), rows)


if __name__ == "__main__":
    main()
