"""What goes with what in a young child's phrase: kinds of things (`rules/phrases/kinds_*.toml`), verbs with who does them to
what (`rules/lexicon/verbs_*.tsv`), and what is natural: who does what to what, where; what is owned, described, asked for
(`rules/phrases/sense_*.toml`, whose head says how it is read).

What is not listed there is not natural. A thing the word bank does not have is not judged: the clinician named it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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


SenseNames = tuple[str, ...]
NOT_IN_BANK = "things"
"""The category of a scene's word that the bank does not have."""

LIKELY = 2
"""Of the places of an action only so many are weighed by their sounds: people sleep in bed before they sleep in a tent."""


@dataclass(frozen=True, slots=True)
class Event:
    """One row of events: who does it, to what, where; said without a thing (`alone`), without a doer (`ask`)."""

    who: SenseNames
    what: SenseNames
    where: SenseNames
    alone: bool
    ask: bool


class Sense:
    """The file of one language."""

    def __init__(self, language: str) -> None:
        data: dict[str, Any] = read_toml(rules_path(f"phrases/sense_{language}.toml"))
        self.kinds: dict[str, ReferentKind] = {
            **referent_kinds(language),
            **referent_kinds(language, data.get("kind", {})),
        }
        self.events: dict[str, list[Event]] = {}
        for row in data["events"]:
            event = Event(
                _names(row["who"]), _names(row.get("what", "")), _names(row.get("where", "")),
                bool(row.get("alone")), bool(row.get("ask")),
            )  # fmt: skip
            self.events.setdefault(row["verb"], []).append(event)
        self.pairs = {
            name: [(_names(row[one]), _names(row[other])) for row in data[name]] for name, one, other in _PAIRS
        }
        self.never = [{role: _names(words) for role, words in row.items() if role != "why"} for row in data["never"]]
        self.lists = {name: {key: _names(words) for key, words in data[name].items()} for name in _LISTS}
        self.said_as = {key: _names(value) for key, value in data["said_as"].items()}
        self.counted: dict[str, str] = data["counted"]
        self._known: dict[tuple[Referent, SenseNames], bool] = {}

    def is_one(self, thing: Referent, names: SenseNames) -> bool:
        """Whether a word is one of these words or kinds."""
        key = thing, names
        found = self._known.get(key)
        if found is None:
            judged = thing.category != NOT_IN_BANK
            found = self._known[key] = not judged or any(fits_kind(thing, name, self.kinds) for name in names)
        return found

    def event(self, verb: str, roles: Mapping[str, Referent], *, told: bool = False) -> bool:
        """Whether some event of a verb has these roles (agent, object, place). `told`: said of a doer without a name."""
        agent, thing, place = (roles.get(role) for role in ("agent", "object", "place"))
        if thing and place and not self.pair("stays", thing, place):
            return False
        return any(
            (self.is_one(agent, row.who) if agent else row.ask or told)
            and (self.is_one(thing, row.what) if thing else row.alone)
            and (place is None or bool(row.where) and self.is_one(place, row.where))
            for row in self.events.get(verb, ())
        )

    def done_with(self, verb: str, agent: Referent) -> bool:
        """Whether this one does something to a thing by this verb."""
        return any(row.what and self.is_one(agent, row.who) for row in self.events.get(verb, ()))

    def implies(self, verb: str, agent: Referent, thing: Referent) -> bool:
        """Whether the verb said of this one alone means something done to such a thing: who eats, eats something."""
        return not self.is_never({"agent": agent, "object": thing}) and any(
            row.alone and row.what and self.is_one(agent, row.who) and self.is_one(thing, row.what)
            for row in self.events.get(verb, ())
        )

    def likely_places(self, verb: str, roles: Mapping[str, Referent], places: Sequence[Referent]) -> list[Referent]:
        """Of some places those where it is done, of these the ones named first, which are the likeliest."""
        found = [place for place in places if self.event(verb, {**roles, "place": place})]
        rows = self.events.get(verb, ())

        def rank(place: Referent) -> int:
            return min(at for row in rows for at, name in enumerate(row.where) if self.is_one(place, (name,)))

        nearest = sorted({rank(place) for place in found})[:LIKELY]
        return [place for place in found if rank(place) in nearest]

    def goes_with(self, verb: str, role: str, thing: Referent) -> bool:
        """Whether a word stands in a role of some event of the verb."""
        field = {"agent": "who", "object": "what", "place": "where"}[role]
        return any(self.is_one(thing, names) for row in self.events.get(verb, ()) if (names := getattr(row, field)))

    def pair(self, name: str, one: Referent, other: Referent) -> bool:
        """Whether two words stand in one row of owns, stays or has."""
        return any(self.is_one(one, first) and self.is_one(other, second) for first, second in self.pairs[name])

    def listed(self, name: str, key: str, thing: Referent) -> bool:
        """Whether a word is in a list of said_with, places or describes; True for a list there is not."""
        names = self.lists[name].get(key)
        return names is None or self.is_one(thing, names)

    def slot(self, recipe_id: str, thing: Referent) -> bool | None:
        """Whether a word is said in the slot of a frame or relation with a fixed word; None where nothing limits it."""
        lists = self.said_as.get(recipe_id, (recipe_id,))
        known = [names for key in lists if (names := self.lists["said_with"].get(key)) is not None]
        return any(self.is_one(thing, names) for names in known) if known else None

    def is_never(self, roles: Mapping[str, Referent]) -> bool:
        """Whether the roles are all of a row that is wrong on a child's page."""
        return any(
            all((word := roles.get(role)) is not None and self.is_one(word, names) for role, names in row.items())
            for row in self.never
        )


_PAIRS = (("owns", "who", "what"), ("stays", "what", "where"), ("has", "who", "what"))
_LISTS = ("said_with", "places", "describes")


def _names(cell: str) -> SenseNames:
    return tuple(cell.split())


def sense(language: str) -> Sense:
    """What is natural in a language with phrases ("en", "es", with or without region)."""
    return _sense(base_language(language))


@cache
def _sense(language: str) -> Sense:
    return Sense(language)


@lru_cache(maxsize=65536)
def _natural(recipe_id: str, fixed: SenseNames, roles: tuple[tuple[str, Referent], ...], language: str) -> bool:
    known, fill = _sense(language), dict(roles)
    if known.is_never(fill):
        return False
    action = fill.get("action")
    if action is not None:
        told = "agent" not in fill and bool(fixed)  # "who eat": somebody does it
        if fixed and "agent" in fill:  # "what mama eat"
            return known.done_with(action.word, fill["agent"])
        return known.event(action.word, fill, told=told)
    if "preposition" in fill:
        return known.listed("places", fill["preposition"].word, fill["place"])
    thing = fill.get("entity") or fill.get("slot")
    if thing is None:
        return True
    if "attribute" in fill:
        return known.listed("describes", fill["attribute"].word, thing)
    for name, one, other in (("owns", "possessor", "entity"), ("stays", "entity", "place"), ("has", "agent", "entity")):
        if one in fill and other in fill:
            return known.pair(name, fill[one], fill[other])
    return known.slot(recipe_id, thing) is not False


def is_natural(recipe_id: str, fixed: SenseNames, roles: Mapping[str, Referent], language: str) -> bool:
    """Whether a phrase of this recipe is natural with these words in its roles."""
    return _natural(recipe_id, fixed, tuple(roles.items()), base_language(language))
