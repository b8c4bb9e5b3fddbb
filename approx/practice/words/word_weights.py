"""The numbers of `rules/words.toml`: how words are ranked and how a set is balanced."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

from approx.datafiles import read_toml, read_tsv, rules_path

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

_Part = TypeVar("_Part", bound="DataclassInstance")


@dataclass(frozen=True, slots=True)
class UseWeights:
    """How useful a word is likely to be: zipf between two ends, by part of speech and category, what is needed all day.

    `everyday`: what a word said in most weeks counts at least, before its kind; `seldom`: multiplied in for the others."""

    lowest_zipf: float
    highest_zipf: float
    unknown: float
    own_list: float
    needed: float
    everyday: float
    seldom: float
    part_of_speech: Mapping[str, float]
    category: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class RankWeights:
    """What counts among words with equally many new things."""

    use: float
    picture: float
    simple: float
    in_hand: float
    emerging: float
    one_demand: float
    goal: float
    interest: float
    caution: float


@dataclass(frozen=True, slots=True)
class SetWeights:
    """The written objective of a set and the bounds of its search."""

    use: float
    in_hand: float
    picture: float
    caution: float
    learning: float
    vowels: float
    movements: float
    places: float
    shapes: float
    categories: float
    parts: float
    goals: float
    order: float
    share: float
    in_inventory: float
    cluster: float
    power: float
    functions: float
    interest: float
    new_kinds: float
    new_load: float
    alike: float
    nearly: float
    goes_round: float
    same_word: float
    fading: float
    aside: float
    pool: int
    starts: int


@dataclass(frozen=True, slots=True)
class WordCaution:
    """What is flagged in a word, in plain words, and by whose advice."""

    source: str
    rhotics: str
    rhotics_says: str
    long: int
    long_says: str


@cache
def words_table() -> Mapping[str, Any]:
    """The file as it stands."""
    return read_toml(rules_path("words.toml"))


@cache
def needed(bank: str) -> frozenset[str]:
    """What a child needs to say all day, in the language of a bank ("en", "es")."""
    return frozenset(words_table()["needed"].get(bank, "").split())


def few_words() -> int:
    """A child with fewer words than this in the inventory is a child of few words."""
    count: int = words_table()["few_words"]["in_inventory"]
    return count


@dataclass(frozen=True, slots=True)
class CoreWord:
    """A word of early power: what it does, the commonest first, and how soon it is worth having (1 to 3)."""

    functions: tuple[str, ...]
    tier: int


@cache
def core_words(bank: str) -> Mapping[str, CoreWord]:
    """Core words of a bank ("en", "es") by spelling. Sources: the head of `rules/lexicon/core_words_*.tsv`."""
    rows = read_tsv(rules_path(f"lexicon/core_words_{bank}.tsv")) if bank in ("en", "es") else []
    return {row["word"]: CoreWord(tuple(row["function"].split(", ")), int(row["tier"])) for row in rows}


def later_from() -> int:
    """The age in months from which the later words of a bank are offered unasked."""
    age: int = words_table()["later"]["from_months"]
    return age


def _part(kind: type[_Part], name: str) -> _Part:
    table = words_table()[name]
    return kind(**{field.name: table[field.name] for field in fields(kind)})


@cache
def use_weights() -> UseWeights:
    """How much it counts how useful a word is."""
    return _part(UseWeights, "use")


@cache
def rank_weights() -> RankWeights:
    """How words are ranked."""
    return _part(RankWeights, "rank")


@cache
def set_weights() -> SetWeights:
    """How words of a set go together."""
    return _part(SetWeights, "set")


@cache
def one_words() -> Mapping[str, frozenset[int]]:
    """Words that a child hears as one in several shapes, each with the numbers of the lines of [one_word] it stands in."""
    out: dict[str, frozenset[int]] = {}
    lines = [line for of_language in words_table()["one_word"].values() for line in of_language]
    for number, line in enumerate(lines):
        for word in line.split():
            out[word] = out.get(word, frozenset()) | {number}
    return out


@cache
def word_caution() -> WordCaution:
    """Above how much disagreement of sources a caution is printed."""
    return _part(WordCaution, "caution")


@cache
def typed_sounds() -> Mapping[str, str]:
    """Spelling habits for sounds ("sh") and the IPA they are read as."""
    table: Mapping[str, str] = words_table()["typed"]
    return table


@dataclass(frozen=True, slots=True)
class Order:
    """One of the two orders for what is new: its name, what it does, and whose it is."""

    name: str
    says: str
    source: str


@cache
def sound_orders() -> tuple[Order, Order]:
    """Early sounds first, harder sounds first; the field disagrees, so neither is chosen here."""
    table = words_table()["orders"]
    early, harder = (Order(name, table[name], table[f"{name}_source"]) for name in ("early", "harder"))
    return early, harder


def disagreement() -> str:
    """Why there are two orders, in one line."""
    said: str = words_table()["orders"]["disagree"]
    return said
