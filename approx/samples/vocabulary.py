"""What `rules/sample_headers.toml` says, ready to look up: headings, contexts, languages, marks, months."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache

from approx.datafiles import read_toml, rules_path

UNSEEN = (" ", "", "blanks at the edge of a cell, or characters nobody can see")
"""The change that `visible` makes."""

_INVISIBLE = dict.fromkeys(map(ord, "\u200b\u200c\u200d\u2060\ufeff\u00ad"))


@dataclass(frozen=True, slots=True)
class SheetRules:
    """Synonyms by their plain form (letters and digits only, no case); marks as whole cells without case."""

    headings: dict[str, str]
    weak: dict[str, frozenset[str]]
    either: frozenset[str]
    contexts: dict[str, str]
    languages: dict[str, str]
    no_response: frozenset[str]
    no_response_in_capitals: frozenset[str]
    unintelligible: frozenset[str]
    remark: frozenset[str]
    no_gloss: frozenset[str]
    months: dict[str, int]

    @property
    def cells(self) -> tuple[frozenset[str], ...]:
        """All marks that fill a cell."""
        capitals = frozenset(map(str.casefold, self.no_response_in_capitals))
        return self.no_response, capitals, self.unintelligible, self.remark, self.no_gloss


@cache
def sheet_rules() -> SheetRules:
    """The rules, read once."""
    table = read_toml(rules_path("sample_headers.toml"))
    cells = {name: frozenset(words) for name, words in table["cells"].items()}
    months = {name: at for at, names in enumerate(table["months"]["names"], 1) for name in names}
    return SheetRules(
        headings=_turned(table["columns"]),
        weak={column: frozenset(map(plain, words)) for column, words in table["weak"].items()},
        either=frozenset(map(plain, table["either"]["headings"])),
        contexts=_turned(table["context"]),
        languages=_turned(table["languages"]),
        months={**{name[:3]: at for name, at in reversed(months.items())}, **months},
        **cells,
    )


def _turned(table: dict[str, list[str]]) -> dict[str, str]:
    return {plain(word): name for name, words in table.items() for word in words}


LONGEST_SHOWN = 80


def briefly(text: str) -> str:
    """What was typed, or its beginning where it is longer than anybody reads in a message."""
    return text if len(text) <= LONGEST_SHOWN else f"{text[: LONGEST_SHOWN - 1]}…"


def plain(text: str) -> str:
    """A heading without case, blanks and punctuation: `IPA (child)` and `ipa_child` are the same."""
    return "".join(char for char in unicodedata.normalize("NFKC", text).casefold() if char.isalnum())


def visible(text: str) -> str:
    """A cell without blanks at its edges and without characters nobody can see."""
    return (text if text.isprintable() else text.translate(_INVISIBLE)).strip()


def composed(text: str) -> str:
    """The text with letters and their marks as single characters where there are such (NFC)."""
    return unicodedata.normalize("NFC", text)


def clean(text: str) -> str:
    """What is visible of a cell, composed (NFC), so that the same letters are the same text."""
    return composed(visible(text))
