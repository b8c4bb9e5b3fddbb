"""Numbers of practice with their sources: published rules (`rules/practice_parameters.tsv`) and what a plan assumes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from approx.datafiles import read_toml, read_tsv, rules_path

NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class PracticeRule:
    """One published or customary number. `low`, `high`: None where the rule gives no number. `provenance`: how it was read."""

    rule: str
    parameter: str
    low: float | None
    high: float | None
    unit: str
    source: str
    provenance: str
    note: str

    @property
    def cited(self) -> str:
        """Source and, where the work itself was not read, how the number is known."""
        marks = {"text": "", NO_SOURCE: ""}
        mark = marks.get(self.provenance, f" ({self.provenance})")
        return f"{self.source}{mark}"


@dataclass(frozen=True, slots=True)
class Assumed:
    """What `rules/session_plan.toml` says of one thing: its numbers, and the rule they rest on ("" for none)."""

    name: str
    numbers: Mapping[str, float]
    rule: str

    def __getitem__(self, key: str) -> float:
        return self.numbers[key]

    @property
    def cited(self) -> str:
        """The source of the value, or that it has none."""
        return practice_rules()[self.rule].cited if self.rule else NO_SOURCE


@cache
def practice_rules() -> dict[str, PracticeRule]:
    """Every rule by its id, in file order."""
    return {row["rule"]: _rule(row) for row in read_tsv(rules_path("practice_parameters.tsv"))}


def minutes_allowed() -> tuple[int, int]:
    """The shortest and the longest session that can be planned, in minutes."""
    limits = assumed("limits")
    return int(limits["least_minutes"]), int(limits["most_minutes"])


def trials_allowed() -> tuple[int, int]:
    """The fewest and the most trials that a session can aim at."""
    return 1, int(assumed("limits")["most_trials"])


@cache
def assumed(name: str) -> Assumed:
    """One table of the plan's assumptions, such as "rest" or "pace.fast". KeyError for a name that is not there."""
    table: Any = read_toml(rules_path("session_plan.toml"))
    for part in name.split("."):
        table = table[part]
    numbers = {key: float(value) for key, value in table.items() if key != "rule"}
    return Assumed(name, numbers, table["rule"])


def _rule(row: Mapping[str, str]) -> PracticeRule:
    low, high = (float(row[key]) if row[key] else None for key in ("low", "high"))
    texts = (row[key] for key in ("unit", "source", "provenance", "note"))
    return PracticeRule(row["rule"], row["parameter"], low, high, *texts)
