"""What is natural in a young child's phrase: who does what to what, where; what is owned, described, asked for
(`rules/phrases/sense_*.toml`, whose head says how it is read). What is not listed there is not natural.

A thing the word bank does not have is not judged: the clinician named it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.lexicon.spelling import base_language
from approx.practice.grammar.kinds import Referent, ReferentKind, fits_kind, referent_kinds

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
