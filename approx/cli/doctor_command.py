"""`approx doctor`: rules, examples, processes, word lists and norms checked in one run."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from approx.cli.output import print_json, print_problems
from approx.problems import WRONG_USE, exit_code


def doctor(own: Path | None, as_json: bool) -> int:
    """Check everything and print what was looked at; problems go to stderr. Returns the exit code."""
    from approx.processes.doctor import check

    if own is not None and not own.is_dir():
        print(f"approx doctor: no folder '{own}'; name a folder that holds .toml rule files", file=sys.stderr)
        return WRONG_USE
    found = check(own)
    faults = [problem for problem in found.problems if problem.fatal]
    remarks = [problem for problem in found.problems if not problem.fatal]
    looked_at = {
        "rules": found.rules,
        "examples": found.examples,
        "processes": found.processes,
        "tables": found.tables,
        "pairs_that_undo_each_other": found.undoing,
    }
    if as_json:
        listed = {"problems": [p.as_json() for p in faults], "remarks": [p.as_json() for p in remarks]}
        print_json({"checked": looked_at, **listed})
        return exit_code(faults)
    print_problems(faults)
    for problem in remarks:
        print(f"remark: {problem}", file=sys.stderr)
    counts = ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in looked_at.items())
    print(f"checked: {counts}")
    print(f"{_count(faults, 'problem')}, {_count(remarks, 'remark')}")
    return exit_code(faults)


def _count(things: Sequence[object], name: str) -> str:
    return f"{len(things) or 'no'} {name}{'' if len(things) == 1 else 's'}"
