"""How words are said by the checked lists that are shipped: small grammar words of English, which are said in full alone and
weakly inside a phrase; English words that the dictionary has wrong or lacks, with the reason for each; first names.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.spelling import base_language, look_up_form


class FunctionWord(NamedTuple):
    """Forms of one grammar word, each tuple with the usual form first; `weak` is () where there is none.

    `weak_in_phrases` is True for the articles, which ordinary speech never says in full before another word.
    """

    strong: tuple[str, ...]
    weak: tuple[str, ...]
    weak_in_phrases: bool


def function_word(word: str) -> FunctionWord | None:
    """The strong and weak forms of a lower-case word, None if it is not a function word."""
    return _function_words().get(word)


@cache
def _function_words() -> dict[str, FunctionWord]:
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


def name_reading(word: str, language: str = "en-US") -> str:
    """IPA of a first name of this language, "" if the list has it not. What a family says wins over it.

    Source: `rules/lexicon/first_names.tsv`, row by row.
    """
    return _names(base_language(language)).get(look_up_form(word), "")


@cache
def _names(language: str) -> dict[str, str]:
    rows = read_tsv(rules_path("lexicon/first_names.tsv"))
    return {row["name"].lower(): row["ipa"] for row in rows if row["language"] == language}
