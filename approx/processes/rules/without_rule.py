"""Changes that explaining finds without a written rule, as `rules/processes.toml` describes them."""

from __future__ import annotations

import re
from functools import cache
from typing import Any, NamedTuple

from approx.datafiles import read_toml, rules_path
from approx.processes.rules.rule import Rule


class Unwritten(NamedTuple):
    """Such a change: what it is in one line, and as a rule without notation (id, process, cost, source, place)."""

    says: str
    rule: Rule


@cache
def unwritten() -> dict[str, Unwritten]:
    """All of them by id, in the order of the file."""
    path = rules_path("processes.toml")
    rows: list[dict[str, Any]] = read_toml(path)["without_rule"]
    text = path.read_text(encoding="utf-8").splitlines()
    lines = [number for number, line in enumerate(text, 1) if re.match(r"\s*\[\[\s*without_rule\s*\]\]", line)]
    return {
        row["id"]: Unwritten(
            row["says"],
            Rule(
                row["id"],
                row["process"],
                "",
                row["cost"],
                95,
                row["source"],
                (),
                uses=("explain",),
                file=str(path),
                line=line,
            ),
        )
        for row, line in zip(rows, lines, strict=True)
    }


def unwritten_rule(name: str) -> Rule:
    """One of them by id. KeyError for an unknown one."""
    return unwritten()[name].rule
