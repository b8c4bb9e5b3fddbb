"""The names of processes in the language of a page: `es` in `rules/processes.toml`."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_toml, rules_path


def process_name(name: str, language: str) -> str:
    """The name of a process in "es"; the English trade name, which all results carry, in any other language.

    A name that the table lacks is given back as it is.
    """
    return _spanish().get(name, name) if language.split("-", maxsplit=1)[0] == "es" else name


@cache
def _spanish() -> dict[str, str]:
    found = read_toml(rules_path("processes.toml"))["process"]
    return {process["id"].replace("-", " "): process["es"] for process in found}
