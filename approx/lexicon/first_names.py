"""How first names are said: a checked list, for names the dictionary has wrong, lacks, or gives in another order."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.spelling import base_language, look_up_form


def name_reading(word: str, language: str = "en-US") -> str:
    """IPA of a first name of this language, "" if the list has it not. What a family says wins over it.

    Source: `rules/lexicon/first_names.tsv`, row by row.
    """
    return _names(base_language(language)).get(look_up_form(word), "")


@cache
def _names(language: str) -> dict[str, str]:
    rows = read_tsv(rules_path("lexicon/first_names.tsv"))
    return {row["name"].lower(): row["ipa"] for row in rows if row["language"] == language}
