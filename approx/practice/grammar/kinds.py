"""What goes with what: kinds of things (`rules/phrases/kinds_*.toml`), and verbs with who does them to what (`rules/lexicon/verbs_*.tsv`)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, NamedTuple

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.lexicon.spelling import base_language


class Referent(NamedTuple):
    """A word as kinds see it."""

    word: str
    part: str
    category: str


def is_of(thing: Referent, names: Iterable[str], language: str = "en-US") -> bool:
    """True if the word is one of these kinds, or is itself named. "anything" is every noun and name."""
    return _is_of(thing, tuple(names), base_language(language))


@lru_cache(maxsize=65536)
def _is_of(thing: Referent, names: tuple[str, ...], language: str) -> bool:
    table = _table(language)
    return any(_fits(thing, name, table, 0) for name in names)


def fits_kind(thing: Referent, name: str, kinds: Mapping[str, ReferentKind]) -> bool:
    """True if a word is of one kind of a table, or is itself named."""
    return _fits(thing, name, kinds, 0)


def _fits(thing: Referent, name: str, table: Mapping[str, ReferentKind], depth: int) -> bool:
    if name == "anything":
        return thing.part in ("noun", "name")
    kind = table.get(name)
    if kind is None:
        return name == thing.word or name == thing.word.lower()
    if thing.word in kind.without:
        return False
    if thing.word.lower() in kind.words or kind.names and thing.part == "name" and thing.category != "time":
        return True
    if thing.part == "noun" and thing.category in kind.categories:
        return True
    return depth < 4 and any(_fits(thing, inner, table, depth + 1) for inner in kind.kinds)


class ReferentKind(NamedTuple):
    """One kind: categories of the bank, words, words left out, other kinds, and whether every name is of it."""

    categories: frozenset[str]
    words: frozenset[str]
    without: frozenset[str]
    kinds: tuple[str, ...]
    names: bool


@cache
def _table(language: str) -> dict[str, ReferentKind]:
    return referent_kinds(language)


def referent_kinds(language: str, rows: Mapping[str, Mapping[str, Any]] | None = None) -> dict[str, ReferentKind]:
    """Kinds from the rows of a file, those of `kinds_*.toml` if none are given."""
    if rows is None:
        rows = read_toml(rules_path(f"phrases/kinds_{language}.toml"))
    return {
        name: ReferentKind(
            frozenset(row.get("categories", ())),
            frozenset(row.get("words", "").split()),
            frozenset(row.get("without", "").split()),
            tuple(row.get("kinds", ())),
            bool(row.get("names")),
        )
        for name, row in rows.items()
    }


@dataclass(frozen=True, slots=True)
class Verb:
    """One verb: who does it, to what, where, and how its sentence is marked.

    `places`: (preposition, kinds). `article` and `marking` as the file's head explains. `se` (Spanish): "yes" where it
    always stands, "body" where one's own body is meant.
    """

    verb: str
    agents: tuple[str, ...]
    alone: bool
    objects: tuple[str, ...]
    article: str
    marking: str
    places: tuple[tuple[str, tuple[str, ...]], ...]
    language: str = "en"
    se: str = ""

    def done_by(self, thing: Referent) -> bool:
        """Whether this can do it."""
        return is_of(thing, self.agents, self.language)

    def takes(self, thing: Referent) -> bool:
        """Whether it can be done to this."""
        return is_of(thing, self.objects, self.language)

    def preposition(self, thing: Referent) -> str:
        """The preposition of this place after the verb, "" if it makes no sense there."""
        return next((prep for prep, kinds in self.places if is_of(thing, kinds, self.language)), "")


def verbs(language: str = "en-US") -> dict[str, Verb]:
    """Every verb of the table by its plain form."""
    return _verbs(base_language(language))


@cache
def _verbs(language: str) -> dict[str, Verb]:
    out = {}
    for row in read_tsv(rules_path(f"lexicon/verbs_{language}.tsv")):
        places = [place.strip().split(" ", 1) for place in row["places"].split(";") if place.strip()]
        out[row["verb"]] = Verb(
            row["verb"],
            _list(row["agents"]),
            row["alone"] == "yes",
            _list(row["objects"]),
            row["article"],
            row["marking"],
            tuple((prep, _list(kinds)) for prep, kinds in places),
            language,
            row.get("se", ""),
        )
    return out


def _list(cell: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in cell.split(",") if part.strip())
