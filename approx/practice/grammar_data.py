"""Steps and orders of a grammar ladder (`rules/phrases/grammar_*.toml`)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from approx.datafiles import read_toml, rules_path
from approx.lexicon.spelling import base_language


@dataclass(frozen=True, slots=True)
class StepKind:
    """One step: its id, what it adds in plain words, its source. `main` is False for a side step."""

    id: str
    adds: str
    source: str
    main: bool


@dataclass(frozen=True, slots=True)
class StepOrder:
    """An order of steps; an empty one means the cheapest for the child's sounds first."""

    id: str
    about: str
    source: str
    steps: tuple[str, ...]


def step_kinds(language: str) -> dict[str, StepKind]:
    """Every step by id, in file order."""
    return _steps(base_language(language))


def orders(language: str) -> dict[str, StepOrder]:
    """Every order by id."""
    return _orders(base_language(language))


@cache
def _steps(language: str) -> dict[str, StepKind]:
    rows = read_toml(rules_path(f"phrases/grammar_{language}.toml"))["step"]
    return {row["id"]: StepKind(row["id"], row["adds"], row["source"], row.get("main", True)) for row in rows}


@cache
def _orders(language: str) -> dict[str, StepOrder]:
    table = read_toml(rules_path(f"phrases/grammar_{language}.toml"))["orders"]
    return {name: StepOrder(name, row["about"], row["source"], tuple(row["steps"])) for name, row in table.items()}
