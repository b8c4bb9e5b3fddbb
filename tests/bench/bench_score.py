"""How long `approx score` takes for a long sample, and how much memory, beside a general aligner on the same tokens.

    pip install jiwer typer  # only for this bench
    python tests/bench/bench_score.py [ROWS] [--growth] [--cold] [--children]

Scoring: `approx score FILE --by child --json`, the whole command: start, reading the CSV, every measure with its interval,
writing. Aligner: jiwer's `process_words` on the segments of the same rows, blanks between them, all rows in one call; the
strings are ready in its memory before its clock starts, and nothing but that call is timed. Each side runs in a process of
its own, in turn, and gives its processor seconds and the most memory it had; the ratio is of the two middle values. What
makes it partial: jiwer aligns every token anew and knows equal and unequal only; we read, judge and count, each distinct pair once.
--growth: a quarter, a half and all of the rows, beside the distinct pairs. --cold: `approx score samples/m12.csv` beside
a bare typer program. --children: the rows as children of 50 words each, every child with all measures and intervals, beside
the aligner and beside the same rows as one child. Nothing is asserted: other work on the machine is in the numbers.
"""

from __future__ import annotations

import csv
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench_suggest import BARE
from corpus import write

ROOT = Path(__file__).resolve().parent.parent.parent
OURS = """
import resource, sys, time
sys.argv = ["approx", "score", sys.argv[1], "--by", "child", "--json"]
from approx.cli import main
try:
    main()
except SystemExit as end:
    assert end.code in (0, 1), end.code  # 1: a row was refused and named; a simulated form may look like a remark
print(time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, file=sys.stderr)
"""
THEIRS = """
import resource, sys, time
import jiwer
with open(sys.argv[1], encoding="utf-8") as file:
    one, other = zip(*(line.rstrip("\\n").split("\\t") for line in file))
one, other = list(one), list(other)
start = time.process_time()
jiwer.process_words(one, other)
print(time.process_time() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, file=sys.stderr)
"""
RUNS = 2
APPROX = [sys.executable, "-c", "from approx.cli import main; main()"]


def run(program: str, file: Path) -> tuple[float, float]:
    """Processor seconds and megabytes of one program, which gives them on its last line of stderr."""
    command = [sys.executable, "-c", program, str(file)]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=True)
    seconds, memory = done.stderr.split()[-2:]
    return float(seconds), float(memory)


def segmented(sample: Path, out: Path) -> None:
    """The segments of every row as jiwer takes them: target, tab, production."""
    from approx.ipa import segments

    known: dict[str, str] = {}

    def apart(form: str) -> str:
        if form not in known:
            known[form] = " ".join(segments(form))
        return known[form]

    with sample.open(encoding="utf-8", newline="") as rows, out.open("w", encoding="utf-8") as file:
        for row in csv.DictReader(rows):
            file.write(f"{apart(row['target_ipa'])}\t{apart(row['produced_ipa'])}\n")


def beside_aligner(folder: Path, rows: int) -> None:
    sample, ready = folder / "sample.csv", folder / "segments.tsv"
    distinct = write(sample, rows)
    segmented(sample, ready)
    print(f"{rows} rows, {distinct} distinct pairs")
    found: dict[str, list[tuple[float, float]]] = {"approx score": [], "jiwer": []}
    for _ in range(RUNS):
        found["approx score"].append(run(OURS, sample))
        found["jiwer"].append(run(THEIRS, ready))
    for name, each in found.items():
        seconds = ", ".join(f"{one:.2f}" for one, _ in each)
        print(f"{name:14} processor seconds {seconds}; most memory {max(memory for _, memory in each):.0f} MB")
    ours, theirs = (statistics.median(one for one, _ in each) for each in found.values())
    print(f"scoring takes {ours / theirs:.2f} of the time of aligning alone (goal: below 1; memory below 300 MB)")


WORDS_A_CHILD = 50


def many_children(folder: Path, rows: int) -> None:
    sample, one, ready = folder / "children.csv", folder / "one.csv", folder / "segments.tsv"
    distinct = write(sample, rows, 1, WORDS_A_CHILD, 1)
    with sample.open(encoding="utf-8", newline="") as lines, one.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        for number, row in enumerate(csv.reader(lines)):
            out.writerow([row[0] if not number else "C1", *row[1:]])
    segmented(sample, ready)
    print(f"{rows} rows, {distinct} distinct pairs, {rows // WORDS_A_CHILD} children")
    found: dict[str, list[tuple[float, float]]] = {"children": [], "one child": [], "jiwer": []}
    for _ in range(RUNS):
        found["children"].append(run(OURS, sample))
        found["one child"].append(run(OURS, one))
        found["jiwer"].append(run(THEIRS, ready))
    for name, each in found.items():
        seconds = ", ".join(f"{one:.2f}" for one, _ in each)
        print(f"{name:14} processor seconds {seconds}; most memory {max(memory for _, memory in each):.0f} MB")
    ours, alone, theirs = (statistics.median(one for one, _ in each) for each in found.values())
    print(
        f"children take {ours / theirs:.2f} of the time of aligning alone (goal 1.0), {ours / alone:.2f} of one child (goal 1.5)"
    )


def of_children(sample: Path) -> int:
    """Distinct pairs of each child, added up: what is counted where scores are by child."""
    with sample.open(encoding="utf-8", newline="") as rows:
        return len({(row["child"], row["target_ipa"], row["produced_ipa"]) for row in csv.DictReader(rows)})


def growth(folder: Path, rows: int) -> None:
    before = (0.0, 0.0, 0)
    for number in (rows // 4, rows // 2, rows):
        sample = folder / "growing.csv"
        distinct = write(sample, number)
        seconds, memory = run(OURS, sample)
        text = f"{number:8} rows {distinct:7} distinct pairs ({of_children(sample)} by child)  {seconds:6.2f} s  {memory:5.0f} MB"
        if before[2]:
            text += f"   pairs x {distinct / before[2]:.2f}, time x {seconds / before[0]:.2f}, memory x {memory / before[1]:.2f}"
        print(text)
        before = (seconds, memory, distinct)


def once(command: list[str]) -> float:
    """Processor seconds of one run of a program, from start to end."""
    before = os.times()
    subprocess.run(command, check=True, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def cold(folder: Path, runs: int = 15) -> None:
    bare = folder / "bare.py"
    bare.write_text(BARE, encoding="utf-8")
    commands = {
        "bare typer": [sys.executable, str(bare)],
        "approx score samples/m12.csv": [*APPROX, "score", "samples/m12.csv"],
    }
    times: dict[str, list[float]] = {name: [] for name in commands}
    clock: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(runs + 1):  # the first one fills caches and does not count
        for name, command in commands.items():
            start = time.perf_counter()
            times[name].append(once(command))
            clock[name].append(time.perf_counter() - start)
    middle = {name: statistics.median(each[1:]) for name, each in times.items()}
    by_clock = {name: statistics.median(each[1:]) for name, each in clock.items()}
    for name, seconds in middle.items():
        ratio, of_clock = seconds / middle["bare typer"], by_clock[name] / by_clock["bare typer"]
        print(
            f"cold  {name:30}{seconds * 1e3:6.0f} ms processor, {ratio:.2f} times bare (clock {of_clock:.2f}; goal 4)"
        )


def main() -> None:
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    rows = numbers[0] if numbers else 200_000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if "--growth" in sys.argv:
            growth(folder, rows)
        elif "--children" in sys.argv:
            many_children(folder, rows)
        elif "--cold" in sys.argv:
            cold(folder)
        else:
            cold(folder)
            beside_aligner(folder, rows)


if __name__ == "__main__":
    main()
