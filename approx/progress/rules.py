"""What `rules/progress.toml` says: criteria, kinds of phases, thresholds, cautions, headings of probe tables."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, Literal

from approx.datafiles import data_hash, read_toml, rules_path
from approx.version import __version__
from approx.wording import fill_pattern

PhaseKind = Literal["baseline", "treatment", "maintenance"]

_NUMBER = re.compile(r"[\s_.-]*\d+$")


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Numbers a summary is read by; what each means: `rules/progress.toml`."""

    least_baseline: int
    better_baseline: int
    rising: float
    stable_share: float
    stable_within: float
    immediate_points: int


@cache
def progress_table() -> dict[str, Any]:
    """The whole file, read once."""
    return read_toml(rules_path("progress.toml"))


@cache
def thresholds() -> Thresholds:
    """The numbers of the tables baseline, stability and immediacy."""
    table = progress_table()
    base, stable = table["baseline"], table["stability"]
    return Thresholds(
        base["least"], base["better"], base["rising"], stable["share"], stable["within"], table["immediacy"]["points"]
    )


@lru_cache(maxsize=1024)
def phase_kind(name: str) -> PhaseKind:
    """What kind of phase a name stands for, alone or with a number behind it; probes without a phase are baseline.

    >>> phase_kind("A"), phase_kind("A2"), phase_kind("B1"), phase_kind("Follow-up"), phase_kind("Apples")
    ('baseline', 'baseline', 'treatment', 'maintenance', 'treatment')
    """
    text = name.strip().casefold()
    if not text:
        return "baseline"
    bare = _NUMBER.sub("", text)
    table = progress_table()["phases"]
    for kind in ("baseline", "maintenance"):
        if text in table[kind] or bare in table[kind]:
            return kind
    return "treatment"


def named_untreated(word_set: str) -> bool:
    """True where the name of a set says that its words are never practised.

    >>> named_untreated("Untreated 2"), named_untreated("set1")
    (True, False)
    """
    text = word_set.strip().casefold().replace("_", " ")
    names = progress_table()["sets"]["untreated"]
    return text in names or _NUMBER.sub("", text) in names


@dataclass(frozen=True, slots=True)
class ProgressCaution:
    """Something to beware of, by its key in `rules/progress.toml`, with its numbers."""

    key: str
    values: tuple[tuple[str, int], ...] = ()

    def text(self, language: str = "en") -> str:
        """In words; in English where the language has none."""
        table = progress_table()["cautions"]
        found: str = {**table["en"], **table.get(language.split("-", maxsplit=1)[0].casefold(), {})}[self.key]
        return fill_pattern(found, **dict(self.values))


def caution(key: str, **values: int) -> ProgressCaution:
    """A caution with its numbers."""
    return ProgressCaution(key, tuple(values.items()))


@cache
def progress_signature() -> str:
    """Hash of the rules and version of the program: what made a progress answer."""
    return f"progress|rules:{data_hash([rules_path('progress.toml')])}|v:{__version__}"
