"""The desk: how long from the command to its address, to its first page, and for pages that were asked before.

Run: `python tests/bench/bench_desk.py`. Seconds by the clock and of the processor, best of several starts, and their
ratio to what an empty Python needs in the same run. Never a pass or fail by the clock.
"""

from __future__ import annotations

import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from http.cookiejar import CookieJar
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.request import HTTPCookieProcessor, OpenerDirector, build_opener

ROOT = Path(__file__).resolve().parents[2]
COMMAND = [sys.executable, "-c", "from approx.cli.main import main; main()", "desk", "--no-browser", "--file"]
STARTS = 5


def processor_seconds() -> float:
    """Of all processes started and ended so far."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def once(file: Path) -> tuple[float, float, float]:
    """Seconds from the command to the address, from there to the first page, and of one page after."""
    begun = time.perf_counter()
    with subprocess.Popen([*COMMAND, str(file)], cwd=ROOT, stdout=subprocess.PIPE, text=True) as running:
        assert running.stdout
        url = running.stdout.readline().strip()
        printed = time.perf_counter()
        client: OpenerDirector = build_opener(HTTPCookieProcessor(CookieJar()))
        assert b"<h1>" in client.open(url).read()
        shown = time.perf_counter()
        client.open(url.partition("?")[0]).read()
        again = time.perf_counter()
        running.send_signal(signal.SIGINT)
    return printed - begun, shown - printed, again - shown


def best(work: Callable[[], object], times: int = STARTS) -> float:
    """Seconds of the quickest of several."""
    found = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        found.append(time.perf_counter() - begun)
    return min(found)


def main() -> None:
    empty = best(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True))
    with TemporaryDirectory() as folder:
        file = Path(folder) / "c.sqlite"
        once(file)
        starts = [once(file) for _ in range(STARTS)]
    for name, seconds in zip(("command to address", "address to first page", "the page once more"), zip(*starts)):
        print(f"{name:24} {min(seconds):7.3f} s, {min(seconds) / empty:6.1f} x an empty Python")


if __name__ == "__main__":
    main()
