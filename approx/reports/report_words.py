"""Words of charts and reports in each language: `rules/report_words.toml`."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_toml, rules_path


@cache
def words(language: str = "en") -> dict[str, str]:
    """The words of a language tag; those of English where a language or a word is missing."""
    table = read_toml(rules_path("report_words.toml"))
    return {**table["en"], **table.get(language.split("-", maxsplit=1)[0].casefold(), {})}
