"""What each nasty kind of ten megabytes costs: seconds of the processor and megabytes, by command and for the desk's upload.

    python tests/bench/bench_nasty.py [--commands score,processes,inventory,agree,desk] [--kinds PART] [--from N] [--seconds 330]

Each runs in a copy of this process, with everything imported, so the megabytes hold the program too. Printed: a line for
each kind and command with its exit code and the first line said; `!` marks what is over 10 s or 300 MB, what ended with
a traceback, and what was refused without a word. Stops by itself after `--seconds`, and says where to go on.
"""

from __future__ import annotations

import argparse
import os
import resource
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), *(str(ROOT / "tests" / each) for each in ("support", "support/desk", "bench"))]
MOST_SECONDS, MOST_MEGABYTES, CPU = 10.0, 300, 16


def by_command(command: str, file: Path) -> int:
    from approx.cli.main import main

    given = [command, str(file), str(file)] if command == "agree" else [command, str(file)]
    sys.argv = ["approx", *given]
    try:
        main()
    except SystemExit as end:
        return int(end.code or 0)
    return 0


def by_desk(file: Path) -> int:
    """The upload at a desk; a refusal with words is 1, a sample that was kept 0."""
    from desk_client import Browser

    with tempfile.TemporaryDirectory() as folder:
        browser = Browser(Path(folder) / "c.sqlite")
        browser.post("/children", code="X01")
        answer = browser.post("/child/X01/samples", files={"file": (file.name, file.read_bytes())})
        page = answer.text
        browser.desk.close()
    print(page[page.find('<div class="problems') :][:400] if "problems" in page else page[:200], file=sys.stderr)
    return 70 if answer.status_code >= 500 else 1 if answer.status_code >= 400 else 0


def measured(command: str, file: Path, told: Path) -> tuple[int, float, float, str]:
    """Exit code (-9 where the clock ended it), seconds of the processor, megabytes, what was said."""
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (CPU, CPU))
        resource.setrlimit(resource.RLIMIT_AS, (6 << 30, 6 << 30))
        os.dup2(os.open(told, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 2)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        code = 99
        try:
            code = by_desk(file) if command == "desk" else by_command(command, file)
        except BaseException:
            import traceback

            traceback.print_exc()
        finally:
            sys.stderr.flush()
            os._exit(code)
    _, status, used = os.wait4(child, 0)
    said = told.read_text(encoding="utf-8", errors="replace")
    return os.waitstatus_to_exitcode(status), used.ru_utime + used.ru_stime, used.ru_maxrss / 1000, said


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    asked.add_argument("--commands", default="score,processes,inventory,agree,desk")
    asked.add_argument("--kinds", default="", help="only kinds with this in their name")
    asked.add_argument("--from", type=int, default=0, dest="first")
    asked.add_argument("--seconds", type=float, default=330)
    given = asked.parse_args()
    import desk_client  # noqa: F401
    import numpy  # noqa: F401
    import openpyxl  # noqa: F401
    from nasty_kinds import KINDS

    import approx
    import approx.web.app

    approx.score([("mʌd", "mʌ")])
    approx.processes([("mʌd", "mʌ")])
    end = time.monotonic() + given.seconds
    folder = Path(tempfile.mkdtemp())
    for number, (name, make) in enumerate(KINDS.items()):
        if number < given.first or given.kinds not in name:
            continue
        if time.monotonic() > end:
            print(f"NEXT {number}", flush=True)
            return
        file = folder / "file.csv"
        made = os.fork()  # the bytes are made elsewhere, so that this process stays small
        if made == 0:
            try:
                file.write_bytes(make())
            finally:
                os._exit(0)
        os.waitpid(made, 0)
        if not file.exists():
            print(f"{number}\t{name}\tNOT MADE", flush=True)
            continue
        for command in given.commands.split(","):
            code, seconds, megabytes, said = measured(command, file, folder / "told")
            bad = seconds > MOST_SECONDS or megabytes > MOST_MEGABYTES or code not in (0, 1)
            bad = bad or (code == 1 and not said.strip())
            first = next(iter(said.strip().splitlines()), "")[:150].replace("\t", " ")
            size = file.stat().st_size / 1e6
            print(
                f"{'!' if bad else ' '}\t{number}\t{name}\t{size:.1f}\t{command}\t{code}\t{seconds:.1f}\t{megabytes:.0f}\t{first}",
                flush=True,
            )
        file.unlink()
    print("END", flush=True)


if __name__ == "__main__":
    main()
