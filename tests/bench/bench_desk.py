"""The desk: from the command to its address and its first page; and the pages of a full caseload.

Run: `python tests/bench/bench_desk.py`. Seconds by the clock and of the processor, best of several starts, and their
ratio to what an empty Python needs in the same run. Never a pass or fail by the clock. The full caseload (500 children
with 200 sessions each, 1,000,000 tries, 300,000 probes) takes some twenty seconds to make.
"""

from __future__ import annotations

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
sys.path[:0] = [*(str(ROOT / "tests" / each) for each in ("support", "support/desk")), str(ROOT)]
COMMAND = [sys.executable, "-c", "from approx.cli.main import main; main()", "desk", "--no-browser", "--file"]
STARTS = 5
TRIES = 10
PAGES = ("/", "/?find=K2", "/child/{}", "/child/{}/progress", "/child/{}/progress/chart/0", "/child/{}/sessions")
CODES = ("K001", "K125", "K250", "K375", "K500")
"""A child is not asked for twice, so nothing of its page is kept from before."""


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


def pages_of_a_full_caseload(folder: Path, empty: float) -> None:
    """Each page for several children through the whole application, in processor seconds: the quickest and the slowest."""
    from desk_client import Browser
    from full_caseload import fill_up

    fill_up(folder / "full.sqlite", TRIES)
    browser = Browser(folder / "full.sqlite")
    for page in PAGES:
        browser.get(page.format("K002"))  # what is loaded once
    for page in PAGES:
        found = []
        for code in CODES:
            begun = time.process_time()
            answer = browser.get(page.format(code))
            found.append(time.process_time() - begun)
            assert answer.status_code == 200
        print(
            f"{page.format('CODE'):30} {min(found):7.3f} to {max(found):.3f} s, {min(found) / empty:6.1f} x an empty Python"
        )
    browser.desk.close()


def main() -> None:
    empty = best(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True))
    with TemporaryDirectory() as folder:
        file = Path(folder) / "c.sqlite"
        once(file)
        starts = [once(file) for _ in range(STARTS)]
    for name, seconds in zip(("command to address", "address to first page", "the page once more"), zip(*starts)):
        print(f"{name:30} {min(seconds):7.3f} s, {min(seconds) / empty:6.1f} x an empty Python")
    with TemporaryDirectory() as folder:
        pages_of_a_full_caseload(Path(folder), empty)


if __name__ == "__main__":
    main()
