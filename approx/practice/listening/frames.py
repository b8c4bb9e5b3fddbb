"""Sentence frames to print with a child's word cards: those whose open slot takes some of the words, easiest to say first; and what
a word is for a frame or a listening game: its category, whether it can be drawn, its article.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.lexicon.spelling import base_language
from approx.practice.grammar.kinds import Referent
from approx.practice.grammar.recipes import Recipe
from approx.practice.grammar.recipes import frames as open_frames
from approx.practice.suggest.input_targets import targets_in_list
from approx.practice.suggest.suggest import Suggester

LISTENING_LANGUAGES = ("en", "es")
"""Languages with sentences to follow."""


@dataclass(frozen=True, slots=True)
class ListedWord:
    """A word of the bank as a listening game sees it. `named`: with its article ("the hat", "Nana", "la taza")."""

    word: str
    part: str
    category: str
    picturable: bool
    named: str


@dataclass(frozen=True, slots=True)
class ListeningFrame:
    """A sentence with open slots. `slots`: (name in the text, kind, bare) in order; `needs`: a thing the frame itself names.

    `only_without`: the frame is for lists that have no word of this kind.
    """

    id: str
    text: str
    steps: int
    slots: tuple[tuple[str, str, bool], ...]
    needs: str
    only_without: str


def thing(word: str, language: str) -> ListedWord | None:
    """The word as the bank has it, its first row, or as the plural of a noun there; None for any other word.

    A family word used as a name is written as one (Nana); a person typed with a capital keeps it.
    """
    tag = bank_tag(language)
    row = _bank(tag).get(word.lower()) or _one_of(word.lower(), tag)
    if row is None:
        return None
    shown = row["word"] if row["word"].lower() == word.lower() else word.lower()
    noun = row["part_of_speech"] == "noun"
    if word[:1].isupper() and row["category"] in ("people", "names"):
        shown = word
    elif noun and _data(tag)["capital_names"] and shown in _listed(tag, "no_article"):
        shown = shown.capitalize()
    named = f"{article(shown, tag)}{shown}" if noun else shown
    return ListedWord(shown, row["part_of_speech"], row["category"], row["picturable"] == "yes", named)


def _one_of(plural: str, tag: str) -> dict[str, str] | None:
    """The row of the noun a regular plural belongs to: boots, zapatos."""
    rows = (_bank(tag).get(stem) for stem in _stems(plural) if len(stem) > 2)
    return next((row for row in rows if row is not None and row["part_of_speech"] == "noun"), None)


def _stems(plural: str) -> tuple[str, ...]:
    """What a regular plural may be the plural of: boot of boots, flor of flores, león of leones."""
    if not plural.endswith("s"):
        return ()
    accented = (f"{plural[:-4]}ón",) if plural.endswith("ones") else ()
    return (plural[:-1], *((plural[:-2],) if plural.endswith("es") else ()), *accented)


def fits(word: ListedWord, kind: str, language: str) -> bool:
    """Whether the word may stand in a slot of this kind."""
    tag = bank_tag(language)
    rule = _slots_of(tag).get(kind)
    spelled = word.word.lower()
    if rule is None or spelled in _listed(tag, "never") or not (word.picturable or kind == "person"):
        return False
    right = (not rule.words or spelled in rule.words) and (not rule.categories or word.category in rule.categories)
    return right and rule.part in ("", word.part)


@dataclass(frozen=True, slots=True)
class SlotRule:
    """What may stand in a slot; an empty field allows everything."""

    part: str
    categories: frozenset[str]
    words: frozenset[str]


def listening_frames(language: str) -> tuple[ListeningFrame, ...]:
    """Every frame of the language, in file order."""
    return _frames(bank_tag(language))


def frame_sentence(frame: ListeningFrame, words: Sequence[ListedWord], language: str) -> str:
    """The sentence with its words put in, in the order of its slots."""
    text = frame.text
    for (name, _, bare), word in zip(frame.slots, words):
        text = text.replace("{" + name + "}", word.word if bare else word.named)
    for apart, together in _data(bank_tag(language))["joins"]:
        text = text.replace(apart, together)
    return text


def article(word: str, tag: str) -> str:
    """The definite article with a blank behind it; "" for names and for family words used as names."""
    data = _data(tag)
    if word[:1].isupper() or word.lower() in _listed(tag, "no_article"):
        return ""
    return f"{data['article'] if tag == 'en' else _spanish_article(word, data)} "


def _spanish_article(word: str, data: dict[str, Any]) -> str:
    one = _spanish_singular(word)
    stressed_a = (one or word) in _listed("es", "el_but_feminine")
    ends = (one or word).endswith(tuple(data["feminine_endings"].split()))
    listed = (one or word) in _listed("es", "feminine")
    feminine = listed or (ends and (one or word) not in _listed("es", "masculine"))
    if one is not None:
        return "las" if feminine or stressed_a else "los"
    return "la" if feminine and not stressed_a else "el"


def _spanish_singular(word: str) -> str | None:
    """The singular of a plural, None for a word that is no plural."""
    if not word.endswith("s") or word in _listed("es", "one_in_s"):
        return None
    listed = next((stem for stem in _stems(word) if stem in _bank("es")), None)
    ends = word.endswith(("as", "os")) or word in _listed("es", "plural_in_es")
    return listed or (word[:-1] if ends else None)


def bank_tag(language: str) -> str:
    """The bank of a language; the English one for a language that has none (`LISTENING_LANGUAGES` has those that do)."""
    tag = base_language(language)
    return tag if tag in LISTENING_LANGUAGES else "en"


@cache
def _bank(tag: str) -> dict[str, dict[str, str]]:
    """Rows by word in small letters; of homographs the first, which is the one a young child meets first."""
    out: dict[str, dict[str, str]] = {}
    for row in read_tsv(rules_path(f"lexicon/{tag}.tsv")):
        out.setdefault(row["word"].lower(), row)
    return out


@cache
def _data(tag: str) -> dict[str, Any]:
    return read_toml(rules_path(f"phrases/listening_{tag}.toml"))


@cache
def _slots_of(tag: str) -> dict[str, SlotRule]:
    """The kinds of slot of a language. Categories stand between blanks; one that has blanks itself between bars."""
    out = {}
    for kind, row in _data(tag)["slots"].items():
        first, *barred = row.get("categories", "").split("|")
        categories = frozenset({*first.split(), *barred})
        out[kind] = SlotRule(row.get("part", ""), categories, frozenset(row.get("words", "").split()))
    return out


@cache
def _listed(tag: str, key: str) -> frozenset[str]:
    """One list of words of the language's file."""
    return frozenset(_data(tag)[key].split())


@cache
def _frames(tag: str) -> tuple[ListeningFrame, ...]:
    return tuple(
        ListeningFrame(
            row["id"],
            _plain(row["text"]),
            row["steps"],
            _slots(row["text"]),
            row.get("needs", ""),
            row.get("only_without", ""),
        )
        for row in _data(tag)["frame"]
    )


def _slots(text: str) -> tuple[tuple[str, str, bool], ...]:
    names = [part.split("}")[0] for part in text.split("{")[1:]]
    return tuple((name.rstrip("*"), name.rstrip("*").rstrip("0123456789"), name.endswith("*")) for name in names)


def _plain(text: str) -> str:
    return text.replace("*}", "}")


TYPED_SLOT = re.compile(r"\s*_{2,}\s*|\s*…\s*|\s*\.{3}\s*")
"""How an open slot is typed: two lines or more, or three dots."""


def is_frame(text: str) -> bool:
    """Whether a typed phrase has an open slot."""
    return TYPED_SLOT.search(text) is not None


def frames_for(suggester: Suggester, words: Sequence[str], most: int = 3) -> tuple[str, ...]:
    """Up to `most` frames ("more ___") that make sense with a word of the list; () in a language without frames.

    Those come first whose fixed words cost this child least, then those that take more of the words.
    """
    language = suggester.language
    if base_language(language) not in LISTENING_LANGUAGES:
        return ()
    known = [found for word in words if (found := thing(word, language)) is not None]
    things = [Referent(word.word, word.part, word.category) for word in known]
    ranked = []
    for recipe in open_frames(language):
        takes = sum(recipe.fits("slot", each, language) for each in things)
        cost = _cost(suggester, recipe)
        if takes and cost is not None:
            ranked.append((cost, -takes, recipe.order, recipe.text))
    return tuple(text for *_, text in sorted(ranked)[:most])


def _cost(suggester: Suggester, recipe: Recipe) -> float | None:
    """How far today's forms of the fixed words are from the adult ones; None where one is not sayable at all."""
    rows = [(word, "", 1) for word in recipe.fixed]
    targets, _ = targets_in_list(rows, suggester.language, suggester.profile, "")
    found, _ = suggester.suggestions(targets)
    if any(not word.approximations for word in found):
        return None
    return round(sum(word.approximations[0].cost for word in found), 2)
