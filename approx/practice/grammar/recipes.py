"""What phrases are made after: frames with one open slot and the phrases that fill them, the relations of early talk, and
whole phrases of a child's day that fit neither (more up, all done, no quiero), from `rules/phrases/`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.lexicon.reading import OUTER
from approx.lexicon.spelling import base_language
from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.kinds import Referent, is_of
from approx.practice.grammar.moves import Move
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary, bank, compound_of, plain_form, singulars
from approx.wording import worded

OPEN_SLOT = "___"


@dataclass(frozen=True, slots=True)
class Recipe:
    """One kind of phrase. `parts`: roles in order; a part that begins with ' is a fixed word.

    `kinds`: what fits each role. `adult`: pattern of the sentence, or "clause". `frame`: True where one slot is open.
    `without`: kinds that do not fit, or actions that are not used here.
    """

    id: str
    parts: tuple[str, ...]
    use: str
    source: str
    adult: str
    adult_plural: str
    order: int
    kinds: dict[str, tuple[str, ...]]
    relation: str
    frame: bool = False
    names: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    with_object: bool = False
    plural: bool = False
    """Of a frame: the filler of the child's phrase is in the plural ("dos gatos")."""
    rungs: tuple[str, ...] = ()
    """Of a frame: patterns of what stands between the phrase and its sentence, each a whole that a child may say."""

    @property
    def text(self) -> str:
        """As written on a card: "more ___"."""
        return " ".join(part[1:] if part.startswith("'") else OPEN_SLOT for part in self.parts)

    @property
    def of_stuff(self) -> bool:
        """Whether its things are stuff rather than animals: "eat fish", but "hi fish"."""
        names = {name for names in self.kinds.values() for name in names}
        return not names & {"animal", "anything", "seen"}

    @property
    def fixed(self) -> tuple[str, ...]:
        """Words that stand in every phrase of it."""
        return tuple(part[1:] for part in self.parts if part.startswith("'"))

    @property
    def count(self) -> int:
        """Words of its telegraphic phrase; a compound is two."""
        return len(self.parts) + ("compound" in self.parts)

    @property
    def roles(self) -> tuple[str, ...]:
        """Roles to be filled."""
        return tuple(part for part in self.parts if not part.startswith("'"))

    def fits(self, role: str, thing: Referent, language: str) -> bool:
        """Whether a word makes sense in a role, as far as its kinds say."""
        wanted = self.kinds.get(role, ())
        return is_of(thing, wanted, language) and not (self.without and is_of(thing, self.without, language))


def frames(language: str) -> tuple[Recipe, ...]:
    """Every frame of a language, in file order."""
    return _frames(base_language(language))


def relations(language: str) -> tuple[Recipe, ...]:
    """Every relation of a language, earliest first."""
    return _relations(base_language(language))


def attributes(language: str) -> dict[str, tuple[str, ...]]:
    """Describing words and the kinds they go with."""
    return {word: tuple(kinds) for word, kinds in _table(base_language(language)).get("attributes", {}).items()}


def place_prepositions(language: str) -> dict[str, tuple[str, ...]]:
    """Prepositions and the kinds of place they go with by themselves."""
    return {word: tuple(kinds) for word, kinds in _table(base_language(language)).get("places", {}).items()}


def preposition_of(thing: Referent, language: str, *, motion: bool = False) -> str:
    """in, on (or to, of motion) for a place; "" if it is no place."""
    for word, kinds in place_prepositions(language).items():
        if (motion or word not in ("to", "a")) and is_of(thing, kinds, language):
            return word
    return ""


def recipe_source(name: str, language: str) -> str:
    """A source in full, from its short name."""
    sources: dict[str, str] = _table(base_language(language))["sources"]
    return sources.get(name, name)


@cache
def _table(language: str) -> dict[str, Any]:
    return read_toml(rules_path(f"phrases/relations_{language}.toml"))


@cache
def _relations(language: str) -> tuple[Recipe, ...]:
    roles = ("entity", "possessor", "agent", "object", "place", "compound", "action", "attribute", "preposition")
    out = []
    for row in _table(language)["relation"]:
        kinds = {role: tuple(row[role]) for role in roles if role in row}
        out.append(
            Recipe(
                row["id"], tuple(row["parts"]), row["use"], recipe_source(row["source"], language), row["adult"],
                row.get("adult_plural", row["adult"]), row["order"], kinds, row["id"],
                names=tuple(row.get("names", "").split()), with_object=bool(row.get("with_object")),
                without=tuple(row.get("not_actions", ())),
            )
        )  # fmt: skip
    return tuple(sorted(out, key=lambda recipe: recipe.order))


@cache
def _frames(language: str) -> tuple[Recipe, ...]:
    file = read_toml(rules_path(f"phrases/frames_{language}.toml"))
    out = []
    for order, row in enumerate(file["frame"], 1):
        parts = tuple("slot" if word == OPEN_SLOT else "'" + word for word in row["words"].split())
        out.append(
            Recipe(
                row["id"], parts, row["use"], row.get("source", file.get("source", "")), row["adult"],
                row.get("adult_plural", row["adult"]), order, {"slot": tuple(row["slot"])}, row["relation"],
                frame=True, without=tuple(row.get("not_kinds", ())),
                rungs=tuple(row.get("rungs", ())), plural=bool(row.get("plural")),
            )
        )  # fmt: skip
    return tuple(out)


def _is_fixed(typed: str, word: str) -> bool:
    """Whether a typed word is a fixed word of a frame; one between angle brackets agrees with its filler (otro, otra)."""
    plain = word.strip("<>").lower()
    return typed.lower() == plain or word.startswith("<") and typed.lower()[:-1] == plain[:-1]


def in_frame(
    telegraphic: str, language: str, vocabulary: Vocabulary | None = None, *, strict: bool = True
) -> tuple[Recipe, SceneWord] | None:
    """The frame a phrase fills and its filler, if the filler is a thing or person that makes sense there.

    `strict=False` takes any thing or person: what was typed is meant.
    """
    tokens = [token.strip(OUTER) for token in telegraphic.split()]
    sources = [source for source in (vocabulary, bank(language)) if source is not None]
    for recipe in frames(language):
        at = recipe.parts.index("slot")
        head, tail = at, len(recipe.parts) - at - 1
        inner = tokens[head : len(tokens) - tail]
        fixed = [*tokens[:head], *tokens[len(tokens) - tail :]] if tail else tokens[:head]
        if not inner or len(fixed) != len(recipe.fixed) or not all(map(_is_fixed, fixed, recipe.fixed)):
            continue
        spelled = " ".join(inner)
        found = compound_of(spelled, language) or next(
            (
                word
                for form in (spelled, *singulars(spelled, language))
                for source in sources
                if (word := source.find(form, "noun", "name"))
            ),
            None,
        )
        if found is not None and (not strict or recipe.fits("slot", found.thing, language)):
            return recipe, found
    return None


RELATION = "set-phrase"
"""The relation these phrases stand under, and the id of the grammar step from one of their rungs to the next."""


@dataclass(frozen=True, slots=True)
class SetPhrase:
    """One phrase. `rungs`: what stands between it and the adult sentence, each a whole that a child may say."""

    words: tuple[str, ...]
    use: str
    adult: str
    rungs: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """As the child says it."""
        return " ".join(self.words)


def set_phrases(language: str) -> tuple[SetPhrase, ...]:
    """Every set phrase of a language with phrases, in file order."""
    return _phrases(base_language(language))


def set_phrase(typed: str, language: str) -> SetPhrase | None:
    """The set phrase that was typed; None where it is none."""
    return _by_text(base_language(language)).get(_plain(typed))


def action_phrase(typed: str, language: str) -> SetPhrase | None:
    """A phrase of one small word and an action ("no sleep", "want go"), with its rungs; None where it is none of these."""
    words = _plain(typed).split()
    if len(words) != 2:
        return None
    row = _with_actions(base_language(language)).get(words[0])
    action = plain_form(words[1], language) or words[1]
    if row is None or bank(language).find(action, "verb") is None or bank(language).find(words[1], "noun"):
        return None
    rungs = tuple(rung.replace(ACTION, action) for rung in row["rungs"])
    return SetPhrase(tuple(words), row["use"], row["adult"].replace(ACTION, action), rungs)


ACTION = "___"
"""Where the action stands in the patterns of [[action]]."""


@cache
def _with_actions(language: str) -> dict[str, dict[str, Any]]:
    rows = read_toml(rules_path(f"phrases/set_phrases_{language}.toml"))["action"]
    return {row["word"]: row for row in rows}


@cache
def _phrases(language: str) -> tuple[SetPhrase, ...]:
    rows = read_toml(rules_path(f"phrases/set_phrases_{language}.toml"))["phrase"]
    return tuple(SetPhrase(tuple(row["words"].split()), row["use"], row["adult"], tuple(row["rungs"])) for row in rows)


@cache
def _by_text(language: str) -> dict[str, SetPhrase]:
    return {_plain(phrase.text): phrase for phrase in _phrases(language)}


def _plain(text: str) -> str:
    return " ".join(_tokens(text)).lower().replace("’", "'")


def _tokens(text: str) -> list[str]:
    return [word for word in (part.strip(OUTER) for part in text.split()) if word]


class WholeLadder:
    """Wholes one after the other, from a phrase as typed to its adult sentence, and no side steps."""

    def __init__(self, typed: str, between: Sequence[str], sentence: str) -> None:
        self.sentence = sentence
        last = " ".join(_tokens(sentence))
        if not last.startswith("I ") and not last.startswith("I'"):
            last = last[:1].lower() + last[1:]
        wholes = [" ".join(_tokens(typed)), *between, last]
        self._wholes = [text for at, text in enumerate(wholes) if _plain(text) not in map(_plain, wholes[:at])]
        self.start: object = 0

    @property
    def is_flat(self) -> bool:
        """True where the phrase is its adult sentence already, so that there is nothing to climb."""
        return len(self._wholes) < 2

    def moves(self, rung: object) -> list[Move]:
        """The next whole; [] at the top."""
        at = self._at(rung)
        return [Move(RELATION, self._adds(at + 1), at + 1)] if at + 1 < len(self._wholes) else []

    def sides(self, rungs: Sequence[object]) -> list[tuple[int, Move]]:
        """None: a whole has no side steps."""
        return []

    def words(self, rung: object) -> tuple[SentenceWord, ...]:
        """The words of a rung."""
        return tuple(SentenceWord(word) for word in self._wholes[self._at(rung)].split())

    def written(self, rung: object) -> str:
        """The words of a rung as text, a question with its mark."""
        text, at = self._wholes[self._at(rung)], self._at(rung)
        if at + 1 < len(self._wholes) or not self.sentence.endswith("?"):
            return text
        return f"¿{text}?" if self.sentence.startswith("¿") else f"{text}?"

    def _adds(self, at: int) -> str:
        """The words of a rung that the rung below does not have."""
        below = self._wholes[at - 1].lower().split()
        fresh = [word for word in self._wholes[at].split() if word.lower() not in below]
        if not fresh:
            return "the whole sentence"
        return worded("the word: {words}" if len(fresh) == 1 else "the words: {words}", words=" ".join(fresh))

    def _at(self, rung: object) -> int:
        if not isinstance(rung, int):
            raise TypeError("a rung of this ladder is its number")
        return rung
