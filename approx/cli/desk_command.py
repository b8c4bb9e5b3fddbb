"""`approx desk`: the local pages over a caseload, opened in the browser."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from pkgutil import resolve_name

from approx.cli.output import print_problems
from approx.problems import WRONG_USE, Problem

NEEDED = ("starlette", "uvicorn", "jinja2", "python_multipart", "sqlalchemy")
LANGUAGES = ("en", "es")


def run(file: Path | None, port: int, browser: bool, language: str) -> int:
    """Serve until Ctrl-C; 2 where it cannot start."""
    problem = _wrong_use(port, language)
    if problem is None:
        # the pages stand above the commands: they are named by their address, as an entry point is, not imported
        listener = resolve_name("approx.web.serve:listening")(port)
        if listener is not None:
            serve = resolve_name("approx.web.serve:serve")
            return int(serve(listener, file, browser, language.lower().split("-")[0]))
        hint = "leave --port away to take a free one; or the desk is open already"
        problem = Problem("use.port", f"port {port} cannot be taken", hint)
    print_problems([problem])
    return WRONG_USE


def _wrong_use(port: int, language: str) -> Problem | None:
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        return Problem(
            "use.missing", f"not installed: {', '.join(missing)}", "install approx anew with pip, which brings them"
        )
    if not 0 <= port <= 65_535:
        return Problem("use.port", f"{port} is not a port", "a number from 1024 to 65535, or 0 for a free one")
    if language.lower().split("-")[0] not in LANGUAGES:
        return Problem("use.language", f"no pages in '{language}'", "en or es")
    return None
