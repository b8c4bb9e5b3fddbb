"""The word list shipped with the tool: what the dictionary has wrong or lacks, with the reason for each."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_tsv, rules_path


def listed_readings(word: str) -> tuple[str, ...]:
    """Readings of a lower-case word in `rules/lexicon/english_list.tsv`, the usual one first, or ()."""
    return _list().get(word, ((), ""))[0]


def listed_reason(word: str) -> str:
    """Why a word is listed, "" if it is not."""
    return _list().get(word, ((), ""))[1]


def listed_words() -> tuple[str, ...]:
    """Every word of the list, in file order."""
    return tuple(_list())


@cache
def _list() -> dict[str, tuple[tuple[str, ...], str]]:
    rows = read_tsv(rules_path("lexicon/english_list.tsv"))
    return {row["word"]: (tuple(row["ipa"].split("|")), row["why"]) for row in rows}
