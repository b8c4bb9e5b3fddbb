"""From more than one to one: balls gives ball, gatos gives gato."""

from __future__ import annotations

from collections.abc import Iterator

from approx.lexicon.spelling import base_language


def singulars(spelled: str, language: str) -> Iterator[str]:
    """Words whose plural a spelling is, in small letters; none for what is no plural. Whether they are words is not asked."""
    low = spelled.lower()
    if not low.endswith("s") or len(low) < 3:
        return
    if base_language(language) == "es":
        from approx.practice.grammar.es.forms import plural

        yield from (word for word in (low[:-1], low[:-2], low[:-3] + "z") if plural(word) == low)
        return
    from approx.practice.grammar.en.forms import spelled_form

    candidates = (low[:-1], low[:-2], low[:-3] + "y", low[:-3] + "f", low[:-3] + "fe")
    yield from (word for word in candidates if word and spelled_form(word, "plural") == low)
