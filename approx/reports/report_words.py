"""Words of reports in each language: sentences (`rules/report_words.toml`), names of processes (`es` in `rules/processes.toml`) and of what varieties accept
(`rules/pages/variants_es.toml`)."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_toml, rules_path
from approx.wording import plural_form


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
