"""One rule: a written change that belongs to one process, with its cost, its source and its own proof; and the changes that
explaining finds without a written rule, as `rules/processes.toml` describes them.

The keys of a `[[rule]]` and what kind of value each takes stand here; another kind is reported, never guessed at."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, NamedTuple

from approx.datafiles import read_toml, rules_path
from approx.processes.rules.notation import ParsedRule, parse


@dataclass(frozen=True)
class Rule:
    """A change as data. `cost`: how far it takes a form from the adult one (0.5 = one ordinary step of a child).

    `order`: when it is tried among equals. `examples`: (before, after) pairs that must hold. `atypical`: offered only
    when nothing else is left (DESIGN: what a good approximation is, 7). `uses`: simplify, explain or both. In accents:
    `words`: spellings it holds for alone; `caution`: what to think of before it is taken as right.
    """

    id: str
    process: str
    text: str
    cost: float
    order: int
    source: str
    examples: tuple[tuple[str, str], ...]
    kind: str = ""
    atypical: bool = False
    uses: tuple[str, ...] = ("simplify", "explain")
    language: str = ""
    file: str = ""
    line: int = 0
    words: tuple[str, ...] = ()
    caution: str = ""

    @cached_property
    def change(self) -> ParsedRule:
        """The parsed notation."""
        return parse(self.text)

    @cached_property
    def shortens(self) -> bool:
        """True if fewer sounds come out than went in."""
        return len(self.change.result) < len(self.change.focus)

    @property
    def free(self) -> bool:
        """True if taking the sound away is what children do with it (liquids after vowels, two sounds in one)."""
        return self.process in ("vocalization", "coalescence") or self.kind == "left off"


@dataclass(frozen=True, slots=True)
class Process:
    """A standard trade name of a change; `id` is the name with hyphens, `says` what it is in one line, `spanish` its name
    on Spanish pages."""

    id: str
    name: str
    says: str
    source: str
    synonyms: tuple[str, ...] = ()
    atypical: bool = False
    spanish: str = ""
    file: str = ""
    line: int = 0


Check = Callable[[object], bool]


def _text(value: object) -> bool:
    return isinstance(value, str)


def _filled(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip())


def _texts(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(map(_filled, value))


def _pairs(value: object) -> bool:
    return isinstance(value, list) and all(
        isinstance(pair, list) and len(pair) == 2 and all(map(_filled, pair)) for pair in value
    )


def _whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


_KINDS: dict[str, tuple[Check, str]] = {
    "id": (_filled, 'text in quotes, such as "stopping.labial"'),
    "process": (_filled, 'the name of a process in quotes, such as "stopping"'),
    "change": (_filled, 'the change in quotes, such as "{f v} -> {p b}"'),
    "cost": (_number, "a number, such as 0.5"),
    "order": (_whole, "a whole number, such as 40"),
    "source": (_filled, 'author, year and page in quotes, or "common practice, no source"'),
    "examples": (_pairs, 'pairs of adult form and child form, such as [["fæn", "pæn"]]'),
    "kind": (_text, 'text in quotes, such as "raised"'),
    "atypical": (lambda value: isinstance(value, bool), "true or false, without quotes"),
    "uses": (_texts, 'some of ["simplify", "explain"]'),
    "language": (_text, 'a language code in quotes, such as "es"'),
    "remark": (_text, "text in quotes"),
    "words": (_texts, 'spellings, such as ["to", "for"]'),
    "caution": (_text, "text in quotes"),
}


def wrong_kinds(row: object) -> Iterator[tuple[str, str]]:
    """(key, what it should be) of every value in one `[[rule]]` that is not of the kind its key takes.

    Missing and unknown keys are another matter and pass. What is no table at all gives one ("rule", ...).
    """
    if not isinstance(row, dict):
        yield "rule", "a table that starts with the line [[rule]]"
        return
    for key, (fits, wanted) in _KINDS.items():
        if key in row and not fits(row[key]):
            yield key, wanted


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
