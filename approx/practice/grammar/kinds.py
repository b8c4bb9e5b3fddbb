"""Kinds of things (`rules/phrases/kinds_*.toml`): what is eaten, worn, opened; verbs, frames and describing words name them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from typing import Any, NamedTuple

from approx.datafiles import read_toml, rules_path
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


def known_kinds(language: str = "en-US") -> frozenset[str]:
    """Every kind there is."""
    return frozenset(_table(base_language(language)))


def fits_kind(thing: Referent, name: str, kinds: Mapping[str, Kind]) -> bool:
    """True if a word is of one kind of a table, or is itself named."""
    return _fits(thing, name, kinds, 0)


def _fits(thing: Referent, name: str, table: Mapping[str, Kind], depth: int) -> bool:
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


class Kind(NamedTuple):
    """One kind: categories of the bank, words, words left out, other kinds, and whether every name is of it."""

    categories: frozenset[str]
    words: frozenset[str]
    without: frozenset[str]
    kinds: tuple[str, ...]
    names: bool


@cache
def _table(language: str) -> dict[str, Kind]:
    return kinds_of(language)


def kinds_of(language: str, rows: Mapping[str, Mapping[str, Any]] | None = None) -> dict[str, Kind]:
    """Kinds from the rows of a file, those of `kinds_*.toml` if none are given."""
    if rows is None:
        rows = read_toml(rules_path(f"phrases/kinds_{language}.toml"))
    return {
        name: Kind(
            frozenset(row.get("categories", ())),
            frozenset(row.get("words", "").split()),
            frozenset(row.get("without", "").split()),
            tuple(row.get("kinds", ())),
            bool(row.get("names")),
        )
        for name, row in rows.items()
    }
