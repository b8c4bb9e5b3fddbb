"""The sentences of the pages (`rules/pages/*.toml`), one file a language."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.wording import worded

PAGE_LANGUAGES = ("en", "es")
"""Languages the pages are written in."""


def page_language(tag: str) -> str | None:
    """The language of a page for a language tag (en-US, es-MX); None if the pages do not speak it."""
    primary = tag.lower().replace("_", "-").split("-")[0]
    primary = {"spa": "es", "eng": "en"}.get(primary, primary)
    return primary if primary in PAGE_LANGUAGES else None


@cache
def wording(language: str) -> dict[str, Any]:
    """All sentences of a language, by section and key. KeyError for a language without pages."""
    if language not in PAGE_LANGUAGES:
        raise KeyError(language)
    return read_toml(rules_path(f"pages/{language}.toml"))


def said(language: str, section: str, key: str, values: Iterable[tuple[str, str]] = ()) -> str:
    """One sentence with its numbers put in."""
    return worded(wording(language)[section][key], **dict(values))
