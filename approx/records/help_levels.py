"""How much help a try was given and how it came out: the two lists of `rules/help_levels.toml`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path


@dataclass(frozen=True, slots=True)
class HelpLevel:
    """`id` is what is stored, `number` the digit for a paper grid (0 no help), `labels` by primary language tag."""

    id: str
    number: int
    labels: dict[str, str]
    says: str
    source: str

    def label(self, language: str = "en") -> str:
        """The label in a language, in English where there is none."""
        return self.labels.get(language.split("-")[0], self.labels["en"])


@dataclass(frozen=True, slots=True)
class TrialResult:
    """`score` is what is stored: 2 the form aimed at was reached, 1 one part off, 0 not."""

    score: int
    id: str
    labels: dict[str, str]
    source: str

    def label(self, language: str = "en") -> str:
        """The label in a language, in English where there is none."""
        return self.labels.get(language.split("-")[0], self.labels["en"])


@cache
def help_levels() -> tuple[HelpLevel, ...]:
    """All levels, most help first; the last one is no help."""
    return tuple(
        HelpLevel(entry["id"], entry["number"], _labels(entry), entry["says"], entry["source"])
        for entry in _tables()["level"]
    )


@cache
def trial_results() -> tuple[TrialResult, ...]:
    """All results, best first."""
    return tuple(
        TrialResult(entry["score"], entry["id"], _labels(entry), entry["source"]) for entry in _tables()["result"]
    )


@cache
def help_ids() -> tuple[str, ...]:
    """The ids of the levels, most help first."""
    return tuple(level.id for level in help_levels())


@cache
def _tables() -> dict[str, Any]:
    return read_toml(rules_path("help_levels.toml"))


def _labels(entry: dict[str, Any]) -> dict[str, str]:
    return {"en": entry["label"], "es": entry["label_es"]}
