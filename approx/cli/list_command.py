"""`approx list processes|measures|norms`: what there is, its source, and where it stands."""

from __future__ import annotations

import re
import sys
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from approx.cli.output import is_terminal, print_json, print_problems
from approx.datafiles import rules_folder
from approx.problems import WRONG_USE, Problem, exit_code

KINDS = ("processes", "measures", "norms")


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a list. `file` is as short as it can be and still be opened from the current folder."""

    id: str
    says: str
    source: str
    file: str
    line: int | None


def list_things(what: str, as_json: bool) -> int:
    """Print every process, measure or norm: id, one line, source, file:line. Returns the exit code."""
    if what not in KINDS:
        print(f"approx list: '{what}' is not a list; one of: {', '.join(KINDS)}", file=sys.stderr)
        return WRONG_USE
    problems: tuple[Problem, ...] = ()
    if what == "processes":
        entries, problems = process_entries()
    else:
        entries = measure_entries() if what == "measures" else norm_entries()
    print_problems(problems)
    if as_json:
        rows = [asdict(entry) for entry in entries]
        print_json({"what": what, "items": rows, "problems": [problem.as_json() for problem in problems]})
    else:
        rows_of_text = [(e.id, e.says, e.source, f"{e.file}:{e.line}" if e.line else e.file) for e in entries]
        print_table(("id", "what it is", "source", "where"), rows_of_text)
    return exit_code(problems)


def process_entries() -> tuple[list[Entry], tuple[Problem, ...]]:
    """Every process of `rules/processes.toml`, with the faults of the rule files."""
    from approx.processes.ruleset import load

    rules = load()
    return [Entry(p.id, p.says, p.source, place(p.file), p.line) for p in rules.processes], rules.problems


def measure_entries() -> list[Entry]:
    """Every measure: a public function of scoring whose docstring names its source."""
    return [
        Entry(name, (text := docstring(measure)).splitlines()[0], source_in(text), place(file), line)
        for name, measure in measures().items()
        for file, line in [_where(measure)]
    ]


def norm_entries() -> list[Entry]:
    """Every range of ages, and every other table of `rules/norms/` as a whole."""
    from approx.processes.norms import age_ranges

    out = [
        Entry(found.id, found.says, "; ".join(found.sources), place(found.rows[0].file), found.rows[0].line)
        for found in age_ranges()
    ]
    told = {row.file for found in age_ranges() for row in found.rows}
    for path in sorted((rules_folder() / "norms").iterdir()):
        if path.suffix in (".tsv", ".toml") and str(path) not in told:
            text = path.read_text(encoding="utf-8")
            remarks = " ".join(line.lstrip("# ") for line in text.splitlines() if line.startswith("#"))
            first = re.split(r"(?<=[.:]) ", remarks)[0]
            out.append(Entry(path.stem, first, source_in(remarks) or "each row names its own", place(str(path)), 1))
    return out


def measures() -> dict[str, Callable[..., Any]]:
    """Measure functions by id: from the index of `approx.scoring.measures` if it has one, else by docstring."""
    from importlib import import_module
    from importlib.util import find_spec

    found: dict[str, Callable[..., Any]] = {}
    for name in ("approx.scoring.measures", "approx.scoring.complexity"):
        if find_spec(name) is None:
            continue
        module = import_module(name)
        index = getattr(module, "MEASURES", None)
        if isinstance(index, dict):
            found.update((str(key), value) for key, value in index.items() if callable(value))
            continue
        for key, value in vars(module).items():
            own = getattr(value, "__module__", "").startswith("approx.scoring")
            if callable(value) and own and key[0] != "_" and source_in(docstring(value)):
                found[key] = value
    return found


def docstring(thing: object) -> str:
    """The docstring of a measure, without its indentation."""
    import inspect

    return inspect.getdoc(thing) or "no docstring"


def _where(measure: Callable[..., Any]) -> tuple[str, int | None]:
    import inspect

    code = getattr(inspect.unwrap(measure), "__code__", None)
    return (code.co_filename, code.co_firstlineno) if code else ("", None)


def source_in(text: str) -> str:
    """What stands after "Source:" up to the end of that paragraph, as one line; "" if nothing does."""
    found = re.search(r"\bSources?:\s*(.+?)(?:\n\s*\n|\Z)", text, re.DOTALL)
    return " ".join(found[1].split()) if found else ""


def place(file: str) -> str:
    """A path from the current folder if the file is below it, else the whole path: both open in an editor."""
    path = Path(file)
    try:
        return path.relative_to(Path.cwd()).as_posix()
    except (ValueError, OSError):
        return str(path)


def print_table(headers: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """A table by rich in a terminal; plain columns, nothing cut, where the output goes to a file or program."""
    rows = [tuple(row) for row in rows]
    if is_terminal():
        from rich.console import Console
        from rich.table import Table
        from rich.text import Text

        table = Table()
        for header in headers:
            table.add_column(header, overflow="fold")
        for row in rows:
            table.add_row(*map(Text, row))
        Console().print(table)
        return
    widths = [max(map(_width, column)) for column in zip(headers, *rows, strict=True)]
    for row in (tuple(headers), *rows):
        cells = [cell + " " * (width - _width(cell)) for cell, width in zip(row, widths, strict=True)]
        print("  ".join(cells).rstrip())


def _width(text: str) -> int:
    """Columns a text takes: marks that stand on a letter take none."""
    return sum(not unicodedata.combining(char) for char in text)
