"""The desk with 500 children and 200 sessions each: first pages, and the answer to a tap, over the wire.

Run: `python tests/bench/bench_desk_pages.py [CASELOAD]`. Milliseconds by the clock, median and 95th percentile, and as a
multiple of an empty Starlette page that is served the same way in the same run: what is asked (300 ms for a page, 100 ms for
a tap) was set on a machine where that page took about 2 ms. Then the statements that one tap costs. Never a pass or fail by
the clock. The caseload (400,000 trials, 300,000 probes) is made first unless its file is named and there.
"""

from __future__ import annotations

import os
import secrets
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from http.client import HTTPConnection
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [*(str(ROOT / "tests" / each) for each in ("support", "support/desk", "")), str(ROOT)]
EMPTY = """
import socket, uvicorn
from starlette.applications import Starlette
from starlette.responses import HTMLResponse
from starlette.routing import Route
async def page(request): return HTMLResponse("")
made = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP); made.bind(("127.0.0.1", 0)); made.listen(64)
print(made.getsockname()[1], flush=True)
uvicorn.Server(uvicorn.Config(Starlette(routes=[Route("/", page)]), log_level="critical")).run(sockets=[made])
"""
PAGES = (
    "/", "/?find=K2", "/child/{}", "/child/{}/sounds", "/child/{}/samples", "/child/{}/phrase", "/child/{}/words",
    "/child/{}/phrases", "/child/{}/sessions", "/child/{}/progress", "/child/{}/progress/chart/0", "/child/{}/goals",
    "/child/{}/sheets", "/child/{}/pictures", "/child/{}/notes", "/child/{}/report", "/child/{}/history", "/deleted",
)  # fmt: skip
TIMES, TAPS = 12, 200


def milliseconds(work: Callable[[], object], times: int, process: int) -> tuple[list[float], float]:
    """How long each of several calls took by the clock, and what the serving process used of the processor for one."""
    found, used = [], processor(process)
    for _ in range(times):
        begun = time.perf_counter()
        work()
        found.append(1000 * (time.perf_counter() - begun))
    return sorted(found), (processor(process) - used) / times


def processor(process: int) -> float:
    """Milliseconds of the processor that a process has used (Linux; others: 0)."""
    try:
        fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0.0
    return 1000 * (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def line(name: str, measured: tuple[list[float], float], empty: float) -> str:
    """Median and 95th percentile, both as multiples of the empty page, and milliseconds of the processor."""
    found, used = measured
    middle, late = statistics.median(found), found[min(len(found) - 1, round(0.95 * len(found)))]
    ratios = f"{middle / empty:7.1f} {late / empty:7.1f} x empty"
    return f"{name:32} {middle:8.1f} {late:8.1f} ms   {ratios}   processor {used:7.1f} ms"


@contextmanager
def empty_page() -> Iterator[tuple[HTTPConnection, int]]:
    """An empty Starlette application, served by uvicorn as it comes."""
    with subprocess.Popen([sys.executable, "-c", EMPTY], stdout=subprocess.PIPE, text=True) as running:
        if running.stdout is None:
            raise RuntimeError("no output")
        asked = HTTPConnection("127.0.0.1", int(running.stdout.readline()))
        time.sleep(1)
        yield asked, running.pid
        running.terminate()


def statements_of_a_tap(file: Path) -> list[str]:
    """What one tap asks of SQLite, its BEGIN and COMMIT with it."""
    from statements import statements_of

    from approx.records.caseload import Caseload, open_caseload
    from approx.records.database.rows import TrialEntry

    caseload = open_caseload(file)
    if not isinstance(caseload, Caseload):
        raise RuntimeError(caseload.problems)
    session, target = caseload.sessions("K002"), caseload.targets("K002")
    if not isinstance(session, tuple) or not isinstance(target, tuple):
        raise RuntimeError("no session")
    with statements_of(caseload) as said:
        caseload.record_trials(session[-1].id, [TrialEntry(target[0].id, "none", 2)], secrets.token_hex(8))
    caseload.close()
    return said


def one_more(page: str, codes: Iterator[int], get: Callable[[str], object]) -> None:
    """The page of a child not asked for yet."""
    get(page.format(f"K{next(codes):03}"))


def main(file: Path) -> None:
    from full_caseload import fill_up
    from running_desk import RunningDesk

    if not file.exists():
        fill_up(file)
    with empty_page() as (asked, process):

        def ask() -> None:
            asked.request("GET", "/")
            asked.getresponse().read()

        milliseconds(ask, 50, process)
        nothing = milliseconds(ask, 300, process)
    empty = statistics.median(nothing[0])
    print(line("an empty Starlette page", nothing, empty))
    with RunningDesk(file) as desk:
        process = desk.process.pid
        host = desk.url.partition("//")[2].partition("/")[0]
        connection = HTTPConnection(host, timeout=60)

        def get(path: str) -> bytes:
            connection.request("GET", path, headers={"cookie": desk.cookie, "host": host})
            answer = connection.getresponse()
            body = answer.read()
            if answer.status != 200:
                raise RuntimeError(f"{path}: {answer.status}")
            return body

        for page in PAGES:
            get(page.format("K001"))  # what is loaded once
        for page in PAGES:
            print(
                line(
                    page.format("CODE"),
                    milliseconds(partial(one_more, page, iter(range(2, 400)), get), TIMES, process),
                    empty,
                )
            )
        number = 2200
        body = get(f"/session/{number}").decode()
        csrf = body.split('name="csrf" value="')[1].split('"')[0]
        keys = iter(range(10_000))

        def tap() -> None:
            form = {
                "csrf": csrf,
                "target": "20",
                "help": "none",
                "result": "2",
                "part": "1",
                "key": f"bench{next(keys)}",
            }
            heads = {
                "cookie": desk.cookie, "host": host, "origin": f"http://{host}",
                "content-type": "application/x-www-form-urlencoded",
            }  # fmt: skip
            connection.request("POST", f"/session/{number}/trial", urlencode(form), heads)
            answer = connection.getresponse()
            answer.read()
            if answer.status != 200:
                raise RuntimeError(f"tap: {answer.status}")

        milliseconds(tap, 5, process)
        print(line("a tap", milliseconds(tap, TAPS, process), empty))
        print(
            line(
                "undo and totals: the page again",
                milliseconds(lambda: get(f"/session/{number}"), TIMES, process),
                empty,
            )
        )
    asked_of_sqlite = statements_of_a_tap(file)
    print(f"statements of a tap: {len(asked_of_sqlite)}")
    if "--statements" in sys.argv:
        print("\n".join(" ".join(text.split()) for text in asked_of_sqlite))


if __name__ == "__main__":
    if sys.argv[1:] and not sys.argv[1].startswith("--"):
        main(Path(sys.argv[1]))
    else:
        with TemporaryDirectory() as folder:
            main(Path(folder) / "full.sqlite")
