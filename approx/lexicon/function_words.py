"""Small grammar words, which are said in full alone and weakly inside a phrase."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from approx.datafiles import read_tsv, rules_path


class FunctionWord(NamedTuple):
    """Forms of one grammar word, each tuple with the usual form first; `weak` is () where there is none.

    `weak_in_phrases` is True for the articles, which ordinary speech never says in full before another word.
    """

    strong: tuple[str, ...]
    weak: tuple[str, ...]
    weak_in_phrases: bool


def function_word(word: str) -> FunctionWord | None:
    """The strong and weak forms of a lower-case word, None if it is not a function word."""
    return _table().get(word)


@cache
def _table() -> dict[str, FunctionWord]:
    return {
        row["word"]: FunctionWord(_forms(row["strong"]), _forms(row["weak"]), row["in_phrase"] == "weak")
        for row in read_tsv(rules_path("lexicon/function_words.tsv"))
    }


def _forms(cell: str) -> tuple[str, ...]:
    return tuple(cell.split("|")) if cell else ()
