"""Words of reports and of printed pages in each language: sentences of reports (`rules/report_words.toml`) and of pages
(`rules/pages/*.toml`, one file a language), names of processes (`es` in `rules/processes.toml`) and of what varieties accept
(`rules/pages/variants_es.toml`).
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path
from approx.wording import plural_form, worded

PAGE_LANGUAGES = ("en", "es")
"""Languages the pages are written in."""


@cache
def report_words(language: str = "en") -> dict[str, str]:
    """The words of a language tag; those of English where a language or a word is missing."""
    table = read_toml(rules_path("report_words.toml"))
    return {**table["en"], **table.get(language.split("-", maxsplit=1)[0].casefold(), {})}


def often(number: int) -> str:
    """How often: "once", "2 times"."""
    return plural_form(number, "once", f"{number} times")


def process_name(name: str, language: str) -> str:
    """The name of a process in "es"; the English trade name, which all results carry, in any other language.

    A name that the table lacks is given back as it is.
    """
    return _spanish().get(name, name) if language.split("-", maxsplit=1)[0] == "es" else name


def variant_name(kind: str, language: str) -> str:
    """What a variety accepts as right (`kind` in `rules/accents/`), in "es"; in any other language as its file says it.

    A name that the table lacks, such as one of a clinician's own file, is given back as it is.
    """
    return _variants().get(kind, kind) if language.split("-", maxsplit=1)[0] == "es" else kind


@cache
def _variants() -> dict[str, str]:
    found: dict[str, str] = read_toml(rules_path("pages/variants_es.toml"))["said"]
    return found


@cache
def _spanish() -> dict[str, str]:
    found = read_toml(rules_path("processes.toml"))["process"]
    return {process["id"].replace("-", " "): process["es"] for process in found}


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
