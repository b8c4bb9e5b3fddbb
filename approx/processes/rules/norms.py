"""Published ages of processes and consonants (`rules/norms/`): a row a source, a range, never a limit."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from approx.datafiles import rules_path
from approx.wording import worded

_MOST_CHILDREN = ("three_quarters_months", "nine_tenths_months", "band_low_months", "band_high_months")
NORM_LANGUAGES = {"en": "English", "es": "Spanish"}
"""The name the tables use for each language."""
NORM_CAUTION = "sources differ in children, accents, words and criteria: a range to look at, no limit and no verdict"


@dataclass(frozen=True, slots=True)
class NormRow:
    """What one source says. `names`: our processes or the sound it is about; `named`: as the source names it.

    `ages`: whole months, may be empty; `still_after`: still met after this age, no end given (processes).
    """

    kind: str
    names: tuple[str, ...]
    named: str
    language: str
    detail: str
    ages: tuple[int, ...]
    still_after: int | None
    status: str
    source: str
    provenance: str
    note: str
    file: str
    line: int

    @property
    def work(self) -> str:
        """Authors and year; what stands before the first colon where there is no year."""
        head = re.split(r"[;:]", self.source)[0]
        year = re.match(r".*?\b(?:19|20)\d\d\b", head)
        return year[0] if year else head

    @property
    def short_source(self) -> str:
        """Authors and year, with the mark that the work was not read where that is so."""
        return worded("{work} (from memory)", work=self.work) if self.provenance == "from memory" else self.work

    @property
    def counts(self) -> bool:
        """True for a row whose ages may stand in a range: a typical course, with an age."""
        return bool(self.ages) and self.status in ("developmental", "")


@dataclass(frozen=True, slots=True)
class AgeRange:
    """The rows of one process or sound in one language, and the lowest and highest age among them."""

    kind: str
    name: str
    language: str
    rows: tuple[NormRow, ...]

    @property
    def id(self) -> str:
        """Its id in lists."""
        return f"{self.kind}-age.{self.language.lower()}.{self.name.replace(' ', '-')}"

    @property
    def low(self) -> int | None:
        """Lowest age in months, None if no row gives one."""
        return min((age for row in self.rows if row.counts for age in row.ages), default=None)

    @property
    def high(self) -> int | None:
        """Highest age in months, None if no row gives one."""
        return max((age for row in self.rows if row.counts for age in row.ages), default=None)

    @property
    def sources(self) -> tuple[str, ...]:
        """Short names of the sources, each once."""
        return tuple(dict.fromkeys(row.short_source for row in self.rows))

    @property
    def says(self) -> str:
        """The range in one line, with how many sources it comes from."""
        what = "usually suppressed by" if self.kind == "process" else "said correctly by most children by"
        dated = len({row.work for row in self.rows if row.counts})
        if self.low is None or self.high is None:
            states = [
                f"in the words of a source: {row.status}"
                for row in self.rows
                if row.status not in ("developmental", "")
            ]
            later = [f"still met after {years(row.still_after)}" for row in self.rows if row.still_after]
            return "; ".join(dict.fromkeys(states + later)) or "no age given, see the rows"
        if dated == 1:
            span = years(self.low) if self.low == self.high else f"{years(self.low)} to {years(self.high)}"
            return f"{what} {span} in the only source that gives an age, so no range"
        return f"{what} {years(self.low)} to {years(self.high)} in {dated} sources"


def years(months: int) -> str:
    """Age in years;months, as clinicians write it.

    >>> years(42)
    '3;6'
    """
    return f"{months // 12};{months % 12}"


@cache
def age_ranges() -> tuple[AgeRange, ...]:
    """Every range by kind (process, consonant), language and name, in the order of the tables."""
    groups: dict[tuple[str, str, str], list[NormRow]] = {}
    for row in (*_process_rows(), *_sound_rows()):
        for name in row.names or (row.named,):
            groups.setdefault((row.kind, name, row.language), []).append(row)
    return tuple(AgeRange(*key, tuple(rows)) for key, rows in groups.items())


def ages_of(name: str, kind: str = "process") -> tuple[AgeRange, ...]:
    """The ranges of one process (by our name) or one consonant, one a language."""
    return tuple(found for found in age_ranges() if found.kind == kind and found.name == name)


def named_in_norms() -> dict[str, tuple[str, ...]]:
    """Names of sources for our processes, where they differ: "consonant harmony" -> four assimilations."""
    rows = _process_rows()
    return {row.named: row.names for row in rows if row.names and row.named not in row.names}


def _rows(name: str) -> Iterator[tuple[int, dict[str, str]]]:
    header: list[str] = []
    for line, text in enumerate(rules_path(name).read_text(encoding="utf-8").splitlines(), 1):
        if not text or text[0] == "#":
            continue
        cells = text.split("\t")
        if header:
            yield line, dict(zip(header, cells + [""] * len(header), strict=False))
        header = header or cells


@cache
def _process_rows() -> tuple[NormRow, ...]:
    name = "norms/process_ages.tsv"
    return tuple(
        NormRow(
            "process", tuple(filter(None, row["process"].split("|"))), row["named"], row["language"], row["detail"],
            _months(row, ["gone_by_months"]), next(iter(_months(row, ["still_after_months"])), None), row["status"],
            row["source"], row["provenance"], row["note"], str(rules_path(name)), line,
        )
        for line, row in _rows(name)
    )  # fmt: skip


@cache
def _sound_rows() -> tuple[NormRow, ...]:
    name = "norms/consonant_ages.tsv"
    out = []
    for line, row in _rows(name):
        position = row["position"] if "position" in row["position"] else row["position"] + " position"
        place = [
            row["variety"],
            position.replace("all pos", "every pos"),
            "" if row["sex"] == "both" else row["sex"],
        ]
        ages = _months(row, _MOST_CHILDREN)
        half = "".join(f"half the children by {years(age)}" for age in _months(row, ["half_months"]))
        order = f"place {row['place_in_order']} in its order" if row["place_in_order"] else ""
        detail = "; ".join(filter(None, [*place, half, row["criterion"], order, row["group"]]))
        out.append(
            NormRow(
                "consonant", (row["sound"],), row["sound"], row["language"], detail, ages, None, "",
                row["source"], row["provenance"], row["note"], str(rules_path(name)), line,
            )
        )  # fmt: skip
    return tuple(out)


def _months(row: dict[str, str], columns: Iterable[str]) -> tuple[int, ...]:
    """Ages of a row; what is no whole number is left to `approx doctor` to report."""
    return tuple(int(row[column]) for column in columns if row[column].isdecimal())
