"""When something counts as in the inventory, and what counts as one sound: `rules/inventory.toml`, with switches."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from approx.child.profile import Status
from approx.datafiles import read_toml, rules_path
from approx.ipa.features import bare, is_nucleus, mark_kinds
from approx.ipa.word import UNIDENTIFIED

_NUMBERS = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five"}
_SYLLABIC = "\u0329"


@cache
def _table() -> dict[str, Any]:
    return read_toml(rules_path("inventory.toml"))


@dataclass(frozen=True, slots=True)
class Criterion:
    """How often something must be heard (`by` "words" or "tokens", `least`), and what is merged into one sound."""

    by: str = "words"
    least: int = 2
    merge_distortions: bool = True
    merge_allophones: bool = True
    source: str = ""

    def __str__(self) -> str:
        """The criterion in words, as it is printed beside every inventory."""
        what = "different word" if self.by == "words" else "token"
        text = f"in at least {_NUMBERS.get(self.least, str(self.least))} {what}{'s' if self.least != 1 else ''}"
        if not self.merge_distortions:
            text += "; distorted sounds apart from their base"
        if not self.merge_allophones:
            text += "; allophones apart"
        return text

    def status(self, tokens: int, words: int, tried: int, soft: int = 0) -> Status:
        """Status from what was heard for certain, how often adult words asked for it, and hearings in doubt.

        `soft` makes what was heard only in doubt emerging; without it such a hearing changes nothing.
        """
        if (words if self.by == "words" else tokens) >= self.least:
            return "established"
        if tokens or soft:
            return "emerging"
        return "absent" if tried else "untested"


def criterion(
    name: str = "", *, merge_distortions: bool | None = None, merge_allophones: bool | None = None
) -> Criterion:
    """The default of `rules/inventory.toml`, or one of its choices by name. KeyError names an unknown one."""
    table = _table()
    if name and name not in table["choices"] or name == "source":
        raise KeyError(f"no criterion '{name}'; there are: {', '.join(criteria())}")
    row = table["choices"][name] if name else table["criterion"]
    same = (row["by"], row["least"]) == (table["criterion"]["by"], table["criterion"]["least"])
    merge = table["merge"]
    made = Criterion(
        row["by"], row["least"], merge["distortions"], merge["allophones"],
        table["criterion"]["source"] if same else table["choices"]["source"],
    )  # fmt: skip
    if merge_distortions is not None:
        made = replace(made, merge_distortions=merge_distortions)
    return made if merge_allophones is None else replace(made, merge_allophones=merge_allophones)


def criteria() -> tuple[str, ...]:
    """Names of the criteria that can be chosen."""
    return tuple(name for name in _table()["choices"] if name != "source")


@cache
def allophones(language: str) -> dict[str, tuple[str, ...]]:
    """Symbols of a language that stand for another sound: symbol -> sounds it may stand for."""
    rows = _table()["allophones"].get(_primary(language), {})
    return {symbol: tuple(sounds.split()) for symbol, sounds in rows.items() if symbol != "source"}


@cache
def never_final(language: str) -> frozenset[str]:
    """Consonants that end no word of a language."""
    return frozenset(_table()["never_final"].get(_primary(language), "").split())


@cache
def asked_shapes() -> tuple[str, ...]:
    """Syllable shapes worth naming as untested."""
    return tuple(_table()["shapes"]["asked"].split())


def sound_of(phone: str, rule: Criterion, language: str, adult: frozenset[str] = frozenset()) -> str:
    """What a transcribed sound counts as; `adult` are the sounds of the word aimed at."""
    if phone in UNIDENTIFIED:
        return phone
    base, marks = bare(phone)
    kinds = mark_kinds()
    kept = "".join(
        mark
        for mark in marks
        if (mark == _SYLLABIC and is_nucleus(phone))
        or not (rule.merge_allophones if kinds[mark][1] == "allophone" else rule.merge_distortions)
    )
    if rule.merge_allophones:
        stands_for = allophones(language).get(base, ())
        base = next((sound for sound in stands_for if sound in adult), next(iter(stands_for), base))
    return base + kept if kept else base


def _primary(language: str) -> str:
    return language.lower().replace("_", "-").split("-")[0]
