"""How long `approx suggest` takes, cold beside a bare typer program and panphon's table, warm a phrase and a list.

    pip install typer        # only for this bench
    python tests/bench/bench_suggest.py [RUNS]

Cold: the bare program (typer as it comes, one command that prints) and the commands run in turn, RUNS times each; the
ratio is of the medians, of processor time and of the clock. The note of parsed rules is made by a first run that does
not count. panphon's time is that of `FeatureTable()` alone, its import aside. Warm: a child's suggester is given the
whole word list in one call; another one phrases of six words, first so that no word comes twice, then of words it has
answered before. Nothing is asserted: other work on the machine is in the numbers. So that runs on quick and slow
machines can be told apart, warm times are also given as shares of one start of the bare program; where that takes
120 ms, the goals of 1 s a list, 5 ms (median) and 15 ms (99th percentile) a phrase are 8.3, 0.042 and 0.125 starts.
"""

from __future__ import annotations

import os
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from approx.child import read_child_file
from approx.practice.suggest.suggest import Suggester

ROOT = Path(__file__).resolve().parent.parent.parent
DATA = ROOT / "tests" / "data"
PROFILES = {
    path.stem: path for folder in ("profiles", "judged/profiles") for path in sorted((DATA / folder).glob("*.toml"))
}
SAMPLES = ("k07", "m12", "t03")
PROFILES |= {name: ROOT / "samples" / f"{name}.toml" for name in SAMPLES}
ORDINARY = (*SAMPLES, "no_finals", "J01", "J02", "J03", "J04", "clusters_without_s")
BARE = "import typer\n\napp = typer.Typer()\n\n\n@app.command()\ndef say() -> None:\n    print('said')\n\n\napp()\n"
PANPHON = (
    "import time, panphon\nstart = time.process_time()\npanphon.FeatureTable()\nprint(time.process_time() - start)"
)
Times = tuple[float, float]
"""Processor seconds and seconds by the clock."""


def child_words() -> list[str]:
    lines = (DATA / "child_words.tsv").read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t")[0] for line in lines if line and not line.startswith("#")]
    return list(dict.fromkeys(rows[1:]))


def once(command: list[str], home: str) -> Times:
    """One run of a program in a process of its own."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, cwd=ROOT, env={**os.environ, "APPROX_HOME": home})
    clock, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, clock


def cold(runs: int) -> float:
    """Processor seconds of one start of the bare program."""
    approx = [sys.executable, "-c", "from approx.cli import main; main()"]
    suggest = [*approx, "suggest", "spoon", "--child", str(PROFILES["J01"])]
    with tempfile.TemporaryDirectory() as home:
        bare = Path(home) / "bare.py"
        bare.write_text(BARE, encoding="utf-8")
        commands = {
            "bare typer": [sys.executable, str(bare)],
            "approx --help": [*approx, "--help"],
            "approx suggest": suggest,
        }
        once(suggest, home)
        times: dict[str, list[Times]] = {name: [] for name in commands}
        for _ in range(runs):
            for name, command in commands.items():
                times[name].append(once(command, home))
    middle = {name: [statistics.median(column) for column in zip(*rows)] for name, rows in times.items()}
    for name, (cpu, clock) in middle.items():
        ratios = f"{cpu / middle['bare typer'][0]:.2f} times bare (clock {clock / middle['bare typer'][1]:.2f})"
        print(f"cold  {name:16}{cpu * 1e3:7.0f} ms processor {clock * 1e3:7.0f} ms clock   {ratios}")
    table = [float(subprocess.check_output([sys.executable, "-c", PANPHON])) for _ in range(3)]
    share = middle["approx suggest"][0] / statistics.median(table)
    print(
        f"cold  panphon's table {statistics.median(table) * 1e3:.0f} ms processor; approx suggest is {share:.2f} of it"
    )
    return middle["bare typer"][0]


def phrases(words: list[str]) -> list[str]:
    """Phrases of six words, no word in two of them, the same at every run."""
    mixed = random.Random(6).sample(words, len(words))
    return [" ".join(mixed[at : at + 6]) for at in range(0, len(mixed) - 5, 6)]


def spread(suggester: Suggester, said: list[str], start: float) -> str:
    """Median and 99th percentile of the time a phrase takes; `start`: seconds the bare program takes."""
    each = []
    for phrase in said:
        before = time.process_time()
        suggester.phrase(phrase)
        each.append((time.process_time() - before) * 1e3)
    middle, late = statistics.median(each), statistics.quantiles(each, n=100)[98]
    shares = f"{middle / start / 1e3:.3f} and {late / start / 1e3:.3f} starts"
    return f"{middle:5.2f} ms median {late:6.2f} ms 99th percentile ({shares})"


def warm(words: list[str], bare: float) -> None:
    for name in ORDINARY:
        profile = read_child_file(PROFILES[name])[0]
        assert profile is not None  # these files have no faults
        start = time.process_time()
        Suggester(profile).list([(word, "", line) for line, word in enumerate(words, 2)])
        whole = time.process_time() - start
        suggester, said = Suggester(profile), phrases(words)
        for phrase in said[:10]:
            suggester.phrase(phrase)
        new, known = spread(suggester, said[10:], bare), spread(suggester, phrases(words[::-1]), bare)
        print(f"warm  {name:20}{len(words)} words in one list {whole:5.2f} s ({whole / bare:.1f} starts)")
        print(f"warm  {name:20}six new words {new}; six known words {known}")


def slowest(words: list[str]) -> None:
    """The slowest word of every child, the better of two tries each."""
    for name, path in PROFILES.items():
        profile = read_child_file(path)[0]
        assert profile is not None
        tries: list[list[float]] = []
        for _ in range(2):
            suggester, row = Suggester(profile), []
            for word in words:
                start = time.process_time()
                suggester.list([(word, "", 2)])
                row.append((time.process_time() - start) * 1e3)
            tries.append(row)
        best = [min(pair) for pair in zip(*tries)]
        at = max(range(len(words)), key=best.__getitem__)
        print(f"word  {name:20}mean {statistics.mean(best):5.2f} ms, slowest {best[at]:6.1f} ms ({words[at]})")


def main() -> None:
    bare = cold(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
    words = child_words()
    warm(words, bare)
    slowest(words)


if __name__ == "__main__":
    main()
