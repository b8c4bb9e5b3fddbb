"""The varieties that can be chosen for a child, by language: the files of `rules/accents/`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from approx.datafiles import read_toml, rules_path
from approx.processes.accept_rules import accent_names
from approx.records.rows import Child


@cache
def accents_by_language() -> dict[str, tuple[str, ...]]:
    """Names of the varieties of each language, by its primary tag. A variety is of the language of its first rule."""
    found: dict[str, tuple[str, ...]] = {}
    for name in accent_names():
        language = read_toml(rules_path(f"accents/{name}.toml"))["rule"][0].get("language", "")
        found[language] = (*found.get(language, ()), name)
    return found


def accents_for(child: Child) -> tuple[str, ...]:
    """What can be chosen: the varieties of the child's languages, and what was chosen before."""
    tags = dict.fromkeys(tag.partition("-")[0] for tag in child.languages)
    listed = [name for tag in tags for name in accents_by_language().get(tag, ())]
    return tuple(dict.fromkeys((*listed, *child.accents)))


def accents_chosen(ticked: Iterable[str], child: Child) -> Sequence[str]:
    """Those ticked of what could be ticked, in the order of the page."""
    wanted = set(ticked)
    return tuple(name for name in accents_for(child) if name in wanted)
