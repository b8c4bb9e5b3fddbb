"""The sentences of the pages, by language: `rules/pages/desk_en.toml` and `desk_es.toml`."""

from __future__ import annotations

from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path

LANGUAGES = {"en": "English", "es": "Español"}
"""Languages of the pages, each by its own name."""


class Texts:
    """The sentences of one language. A name that the file lacks is a mistake of the program: KeyError."""

    def __init__(self, language: str) -> None:
        self.language = language if language in LANGUAGES else "en"
        self._tables = _tables(self.language)

    def __call__(self, name: str, /, **values: object) -> str:
        """The sentence `section.key`, with what stands between braces filled in. Plain text: the page escapes it."""
        section, _, key = name.partition(".")
        sentence: str = self._tables[section][key]
        return sentence.format(**values) if values else sentence

    def section(self, name: str) -> dict[str, str]:
        """All sentences of a section."""
        found: dict[str, str] = self._tables[name]
        return found


@cache
def _tables(language: str) -> dict[str, Any]:
    return read_toml(rules_path(f"pages/desk_{language}.toml"))
