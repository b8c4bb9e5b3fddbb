"""Which small words a telegraphic phrase leaves out (`rules/phrases/*.toml`)."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_toml, rules_path


@cache
def _drops(primary: str) -> frozenset[str]:
    name = {"en": "en-us", "es": "es"}.get(primary)
    return (
        frozenset(read_toml(rules_path(f"phrases/{name}.toml"))["telegraphic_drops"].split()) if name else frozenset()
    )


def is_dropped(word: str, language: str) -> bool:
    """True for an article, auxiliary or other small word that early talk leaves out."""
    return word.lower().replace("’", "'") in _drops(language.lower().split("-")[0])
