"""A data frame scored by a program beside the same rows scored by the command, and beside pairs in a list.

    python tests/bench/bench_frames.py [ROWS]

The command's time is that of a process of its own, its start included; the program's is the call alone. All in turn, the
better of two each; processor time, so that other work on the machine is hardly in the ratio. Nothing is asserted.
"""

from __future__ import annotations

import csv
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import corpus
import pandas

import approx

ROOT = Path(__file__).resolve().parents[2]


def best(work: Callable[[], object], times: int = 2) -> float:
    """Processor seconds of the quickest of some runs."""
    out = []
    for _ in range(times):
        start = time.process_time()
        work()
        out.append(time.process_time() - start)
    return min(out)


def command(file: Path) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, "-m", "approx", "score", str(file), "--json"],
        cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": str(ROOT)}, check=False,
    )  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 200_000
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "rows.csv"
        with file.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.writer(stream)
            writer.writerow(corpus.HEADER)
            writer.writerows(corpus.rows(number, seed=1))
        of_command = min(command(file) for _ in range(2))
        frame = pandas.read_csv(file)
        pairs = list(zip(frame["target_ipa"], frame["produced_ipa"]))
        print(f"command          {of_command:6.2f} s")
        print(f"score(file)      {best(lambda: approx.score(str(file))) / of_command:6.2f} times the command")
        print(f"score(pandas)    {best(lambda: approx.score(frame)) / of_command:6.2f} times the command")
        print(f"score(pairs)     {best(lambda: approx.score(pairs)) / of_command:6.2f} times the command")


if __name__ == "__main__":
    main()
