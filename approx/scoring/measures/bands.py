"""The published severity band of a PCC, and the cautions without which it must not be read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.scoring.judging.options import primary


@dataclass(frozen=True, slots=True)
class Setting:
    """What is known of a sample: contexts of its tokens, age in months, language, number of word tokens."""

    words: int
    language: str = "en-US"
    contexts: frozenset[str] = frozenset()
    age: int | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """Name of the band, whether the value stands at an edge, and every reason for care."""

    name: str
    at_edge: bool
    cautions: tuple[str, ...]
    source: str

    @property
    def caution(self) -> str:
        """All cautions in one line."""
        return "; ".join(self.cautions)


@cache
def _file() -> dict[str, Any]:
    return read_toml(rules_path("norms/severity.toml"))


def pcc_band(value: float | None, setting: Setting) -> Band | None:
    """The band of a PCC in percent; None where the PCC is undefined. A band describes a score, it is no diagnosis.

    Cut points and whom they were set on: `rules/norms/severity.toml`.
    Source: Shriberg & Kwiatkowski 1982, J Speech Hear Disord 47:256-270.

    >>> pcc_band(85.0, Setting(words=90, contexts=frozenset({"talk"}), age=60)).name
    'mild'
    >>> pcc_band(45.0, Setting(words=25)).cautions[0]
    'bands were set on talk, context not given here'
    """
    if value is None:
        return None
    table = _file()
    bands: list[dict[str, Any]] = table["band"]
    name = next(band["name"] for band in bands if value >= band["from"])
    at_edge = any(abs(value - band["from"]) <= table["edge"] for band in bands if band["from"] > 0)
    cautions = _cautions(setting, table["calibrated"])
    if at_edge:
        cautions.insert(0, f"at the edge of a band (within {table['edge']:g} point)")
    return Band(name, at_edge, tuple(cautions), table["source"])


def _cautions(setting: Setting, meant: dict[str, Any]) -> list[str]:
    out: list[str] = []
    if not setting.contexts:
        out.append(f"bands were set on {meant['context']}, context not given here")
    elif setting.contexts != {meant["context"]}:
        others = ", ".join(sorted(setting.contexts - {meant["context"]}))
        out.append(f"bands were set on {meant['context']}, not calibrated for: {others}")
    if primary(setting.language) != meant["language"]:
        out.append(f"not calibrated for this language ({setting.language})")
    low, high = meant["youngest_months"], meant["oldest_months"]
    if setting.age is None:
        out.append(f"age not given; set on {_years(low)} to {_years(high)}")
    elif not low <= setting.age <= high:
        out.append(f"not calibrated for this age ({_years(setting.age)}); set on {_years(low)} to {_years(high)}")
    if setting.words < meant["words"]:
        out.append(f"{setting.words} words, fewer than {meant['words']}: read the counts, not the band")
    return out


def _years(months: int) -> str:
    return f"{months // 12};{months % 12}"
