"""The word list shipped with the tool: what the dictionary has wrong or lacks, with the reason for each.

Small grammar words, which are said in full alone and weakly inside a phrase.
"""

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


def listed_readings(word: str) -> tuple[str, ...]:
    """Readings of a lower-case word in `rules/lexicon/english_list.tsv`, the usual one first, or ()."""
    return _list().get(word, ((), ""))[0]


def listed_words() -> tuple[str, ...]:
    """Every word of the list, in file order."""
    return tuple(_list())


@cache
def _list() -> dict[str, tuple[tuple[str, ...], str]]:
    rows = read_tsv(rules_path("lexicon/english_list.tsv"))
    return {row["word"]: (tuple(row["ipa"].split("|")), row["why"]) for row in rows}
