"""Plain lists of words kept under `rules/lexicon/`, one a line, lines that start with `#` being remarks."""

from __future__ import annotations

from functools import cache

from approx.datafiles import rules_path


@cache
def word_set(name: str) -> frozenset[str]:
    """The words of `rules/lexicon/<name>.txt`."""
    lines = rules_path(f"lexicon/{name}.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(word for line in lines if not line.startswith("#") and (word := line.strip()))
