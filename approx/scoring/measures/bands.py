"""The published severity band of a PCC, only for the scores it was set on; else why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.scoring.judging.options import primary
from approx.wording import enumerated, worded


@dataclass(frozen=True, slots=True)
class Setting:
    """What is known of a sample: contexts of its tokens, age in months, language, number of word tokens."""

    words: int
    language: str = "en-US"
    contexts: frozenset[str] = frozenset()
    age: int | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """Name of the band, or "" with every reason why the score has none; whether the value stands at an edge."""

    name: str
    at_edge: bool
    reasons: tuple[str, ...]
    source: str

    @property
    def caution(self) -> str:
        """What must be read with the band, or instead of it, in one line."""
        reasons = enumerated("; ", self.reasons)
        return reasons if self.name else worded("no band: {reasons}", reasons=reasons)


@cache
def _file() -> dict[str, Any]:
    return read_toml(rules_path("norms/severity.toml"))


def pcc_band(value: float, setting: Setting) -> Band:
    """The band of a PCC in percent; no name outside what the bands were set on. A band describes a score, it is no diagnosis.

    Cut points and whom they were set on: `rules/norms/severity.toml`.
    Source: Shriberg & Kwiatkowski 1982, J Speech Hear Disord 47:256-270.

    >>> pcc_band(85.0, Setting(words=90, contexts=frozenset({"talk"}), age=60)).name
    'mild'
    >>> pcc_band(45.0, Setting(words=90, contexts=frozenset({"word"}), age=60)).caution
    'no band: bands are for connected speech, not for single words'
    """
    table = _file()
    bands: list[dict[str, Any]] = table["band"]
    none = _no_band(value >= table["calibrated"]["below"], setting)
    if none:
        return none
    name = next(band["name"] for band in bands if value >= band["from"])
    at_edge = any(abs(value - band["from"]) <= table["edge"] for band in bands if band["from"] > 0)
    near = (worded("at the edge of a band (within {edge} point)", edge=f"{table['edge']:g}"),) if at_edge else ()
    return Band(name, at_edge, near, table["source"])


@lru_cache(maxsize=1024)
def _no_band(no_errors: bool, setting: Setting) -> Band | None:
    """What there is instead of a band where it does not hold; one object for all groups alike."""
    table = _file()
    reasons = _outside(no_errors, setting, table["calibrated"])
    return Band("", False, tuple(reasons), table["source"]) if reasons else None


_HOW = {"talk": "connected speech", "word": "single words", "imitated": "imitated words"}
"""How words were elicited, in words, by the value of the column context."""


def _outside(no_errors: bool, setting: Setting, meant: dict[str, Any]) -> list[str]:
    """Every reason why the bands do not hold for a score."""
    out: list[str] = []
    if no_errors:
        out.append("no consonant in error")
    if not setting.contexts:
        out.append(worded("bands are for {meant}; context not given", meant=_HOW[meant["context"]]))
    elif setting.contexts != {meant["context"]}:
        others = enumerated(", ", (_HOW.get(each, each) for each in sorted(setting.contexts - {meant["context"]})))
        out.append(worded("bands are for {meant}, not for {others}", meant=_HOW[meant["context"]], others=others))
    if primary(setting.language) != meant["language"]:
        out.append(worded("bands are for English, not for {language}", language=setting.language))
    low, high = meant["youngest_months"], meant["oldest_months"]
    if setting.age is None:
        out.append(worded("age not given; bands are for {low} to {high}", low=_years(low), high=_years(high)))
    elif not low <= setting.age <= high:
        out.append(
            worded(
                "age {age}; bands are for {low} to {high}",
                age=_years(setting.age),
                low=_years(low),
                high=_years(high),
            )
        )
    if setting.words < meant["words"]:
        counted = worded("{words} {words:word|words}", words=setting.words)
        out.append(worded("{counted}, fewer than {meant}", counted=counted, meant=meant["words"]))
    return out


def _years(months: int) -> str:
    return f"{months // 12};{months % 12}"
