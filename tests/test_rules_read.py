"""What stands in `rules/` is read by something: a table that nobody asks for looks like a setting and changes nothing.

Told by name: each table of a rule file, and each key of the files of settings beside the folders, is written somewhere in the
program. Tables whose keys are data (sounds, words, names to choose from) are gone through as a whole.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from places import ROOT, RULES

from approx.datafiles import read_toml

KEYED_BY_DATA = {
    "climb": {"consonants", "vowels"},
    "inventory": {"choices"},
    "opportunities": {"chances"},
    "report_words": {"en", "es"},
    "sample_headers": {"languages"},
    "words": {"typed"},
}
"""Tables of the files of settings whose keys are sounds, languages, names to choose from or sentences."""
FOR_READERS = {
    "minimum_sample": "how many words a sample should have: held against worked examples by tests/scoring/test_worked_examples.py",
    "not_written": "features of a variety that no rule can hold, and why",
    "named_only": "nouns that no phrase is made of: held against the other lists by tests/lexicon/test_word_data.py",
}
"""Tables for the people who read and change the rules."""
FILES = sorted(path for path in RULES.rglob("*.toml") if not path.name.startswith("kinds_"))
"""The kinds of things that phrases name are asked for by the other files of `rules/phrases/`."""


@cache
def program() -> str:
    """All code and all templates."""
    files = [path for kind in ("py", "html", "typ") for path in (ROOT / "approx").rglob(f"*.{kind}")]
    return "\n".join(path.read_text(encoding="utf-8") for path in files)


@cache
def named() -> frozenset[str]:
    """All that the program names: texts and their beginnings before a dot, attributes, fields."""
    code = program()
    texts = re.findall(r"""["']([^"'\n.]{1,60})(?:\.[^"'\n]*)?["']""", code)
    return frozenset([*texts, *re.findall(r"\.(\w+)", code), *re.findall(r"\b(\w+)\s*:", code)])


def unnamed(table: dict[str, Any]) -> list[str]:
    """Keys that nothing in the program names, whole or by what an f-string ends them with."""
    return [key for key in table if key not in named() and not any(key.endswith(end) for end in suffixes())]


@cache
def suffixes() -> tuple[str, ...]:
    """What is put to a name that is chosen: `{name}_source`."""
    return tuple(set(re.findall(r"""\}(_\w{3,})["']""", program())))


@pytest.mark.parametrize("path", FILES, ids=[path.relative_to(RULES).as_posix() for path in FILES])
def test_every_table_is_asked_for(path: Path) -> None:
    assert [key for key in unnamed(read_toml(path)) if key not in FOR_READERS] == []


@pytest.mark.parametrize("path", sorted(RULES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_key_of_a_setting_is_asked_for(path: Path) -> None:
    tables = {name: found for name, found in read_toml(path).items() if isinstance(found, dict)}
    assert {
        name: left
        for name, found in tables.items()
        if name not in {*KEYED_BY_DATA.get(path.stem, ()), *FOR_READERS} and (left := unnamed(found))
    } == {}


def test_a_table_that_nobody_asks_for_is_found() -> None:
    """The comparison can fail, and what is left out of it is there."""
    assert unnamed({"nobody_asks_for_this": {}, "source": ""}) == ["nobody_asks_for_this"]
    settings = {path.stem: read_toml(path) for path in RULES.glob("*.toml")}
    assert all(name in settings[file] for file, names in KEYED_BY_DATA.items() for name in names)
    everywhere = {key for path in FILES for key in read_toml(path)}
    assert everywhere >= FOR_READERS.keys() and not [key for key in FOR_READERS if key in named()]
