"""Whole phrases of a child's day that fit no frame and no relation: more up, all done, no quiero
(`rules/phrases/set_phrases_*.toml`)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.lexicon.phrase import OUTER
from approx.lexicon.spelling import base_language
from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.moves import Move
from approx.practice.grammar.phrase_words import bank, plain_form
from approx.wording import worded

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
