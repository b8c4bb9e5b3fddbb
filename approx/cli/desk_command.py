"""`approx desk`: the local pages over a caseload, opened in the browser; the whole caseload out into a zip, and in."""

from __future__ import annotations

import gc
import sys
from importlib.util import find_spec
from pathlib import Path
from pkgutil import resolve_name
from typing import TYPE_CHECKING

from approx.cli.output import print_problems
from approx.problems import BAD_DATA, FINE, WRONG_USE, Problem
from approx.records.database.rows import Refused

if TYPE_CHECKING:
    from approx.records.caseload import Caseload


NEEDED = ("starlette", "uvicorn", "jinja2", "python_multipart", "sqlalchemy")


def run(file: Path | None, port: int, browser: bool, language: str) -> int:
    """Serve until Ctrl-C; 2 where it cannot start."""
    problem = _wrong_use(port, language)
    if problem is None:
        from approx.api.options import page_tag

        _collect_seldom()
        # the pages stand above the commands: they are named by their address, as an entry point is, not imported
        listener = resolve_name("approx.web.serve:listening")(port)
        if listener is not None:
            serve = resolve_name("approx.web.serve:serve")
            return int(serve(listener, file, browser, page_tag(language).split("-")[0]))
        if resolve_name("approx.web.serve:is_desk")(port):
            return _open_already(port, browser)
        hint = "another program has it: use --port 0 for a free one, or another number"
        problem = Problem("use.port", f"port {port} cannot be taken", hint)
    print_problems([problem])
    return WRONG_USE


def _open_already(port: int, browser: bool) -> int:
    """The desk runs: its page is opened; a browser that was let in before comes in by its own mark."""
    address = f"http://127.0.0.1:{port}/"
    print(f"The desk is open already: {address}", file=sys.stderr)
    if browser:
        import webbrowser

        webbrowser.open(address)
    return FINE


def launcher(file: Path | None) -> int:
    """Write the launcher of this computer and name the file to open; 2 where it cannot be written."""
    made = resolve_name("approx.web.shortcut:write_shortcut")(file)
    if isinstance(made, Problem):
        print_problems([made])
        return WRONG_USE
    print(made[0])
    print("Open it as any other program; written anew, it replaces itself.", file=sys.stderr)
    return FINE


def _collect_seldom() -> None:
    """This process serves pages until it ends: answers make many short-lived objects and hardly a cycle, and the collector,
    woken by their number, would walk all tables each time, which makes the longest waits."""
    gc.enable()
    gc.set_threshold(200_000, 50, 50)


def give_out(file: Path | None, target: Path) -> int:
    """The whole caseload into a zip; 1 where it cannot be done."""
    caseload = _opened(file)
    if caseload is None:
        return BAD_DATA
    try:
        answer = caseload.export_file(target)
    finally:
        caseload.close()
    if isinstance(answer, tuple):
        print_problems(answer)
        print(f"{target}: written; keep it as you would keep a paper file", file=sys.stderr)
        return FINE
    print_problems(answer.problems)
    return BAD_DATA


def take_in(file: Path | None, source: Path) -> int:
    """The children of such a zip into the caseload, all of them or none; 1 where it cannot be done."""
    caseload = _opened(file)
    if caseload is None:
        return BAD_DATA
    try:
        answer = caseload.import_zip(source)
    finally:
        caseload.close()
    if isinstance(answer, Refused):
        print_problems(answer.problems)
        return BAD_DATA
    print_problems(answer.remarks)
    print(f"{source}: taken in: {', '.join(answer.codes)}", file=sys.stderr)
    return FINE


def _opened(file: Path | None) -> Caseload | None:
    """The caseload; the passphrase of a locked one is asked for at the terminal and kept nowhere."""
    from approx.records.caseload import Caseload, open_caseload

    answer = open_caseload(file)
    if not isinstance(answer, Caseload) and answer.problems[0].code == "records.locked" and sys.stdin.isatty():
        from getpass import getpass

        answer = open_caseload(file, getpass("Passphrase of the caseload: "))
    if isinstance(answer, Caseload):
        return answer
    print_problems(answer.problems)
    return None


def _wrong_use(port: int, language: str) -> Problem | None:
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        return Problem(
            "use.missing", f"not installed: {', '.join(missing)}", "install approx anew with pip, which brings them"
        )
    from approx.api.options import number_problem, page_language_problem

    wrong = [*number_problem("desk.port", port), *page_language_problem(language)]
    return wrong[0] if wrong else None
