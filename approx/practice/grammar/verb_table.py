"""Which verbs there are and what goes with them (`rules/lexicon/verbs_*.tsv`)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.spelling import base_language
from approx.practice.grammar.kinds import Referent, is_of


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
