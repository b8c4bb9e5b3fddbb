"""Where each key and value of a TOML text stands, so that a problem can name line and column.

The standard reader gives places only for text that is not TOML. This one runs after it, on text it has read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

KeyPath = tuple[str, ...]
"""Keys from the top: ("consonants", "all", "established")."""

_STRINGS = (r'"""(?:\\.|[^\\])*?"{3,5}', r"'''.*?'{3,5}", r'"(?:\\.|[^"\\])*"', r"'[^']*'")
_STRING = re.compile("|".join(_STRINGS), re.DOTALL)
_REMARK = re.compile(f"({_STRING.pattern})|#[^\n]*", re.DOTALL)
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"(?:\s|#[^\n]*)*")
_PLAIN = re.compile(r"[^,\]}\n#]*")


class ValuePlace(NamedTuple):
    """Offsets in the text: of the key, and of the first and last character of its value (last excluded)."""

    path: KeyPath
    key: int
    first: int
    last: int


class TomlPlaces:
    """Looks up keys, and symbols in their values, in one valid TOML text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.found = list(_statements(text))

    def of(self, path: KeyPath, symbol: str = "") -> tuple[int | None, int | None]:
        """Line and column (from 1) of a key, or of `symbol` in its value.

        A key without a line of its own has the place of what lies below it; (None, None) where the text holds
        nothing of that path.
        """
        place = next((place for place in self.found if place.path == path), None)
        place = place or next((place for place in self.found if place.path[: len(path)] == path), None)
        if place is None:
            return None, None
        at = place.key
        if symbol:
            inside = re.compile(rf"""(?<![^\s"',\[]){re.escape(symbol)}(?![^\s"',\]])""")
            value = _REMARK.sub(lambda found: found[1] or " " * len(found[0]), self.text[place.first : place.last])
            hit = inside.search(value)
            at = place.first + (hit.start() if hit else 0)
        return self.line_and_column(at)

    def line_and_column(self, at: int) -> tuple[int, int]:
        """Line and column, from 1, of a character."""
        return self.text.count("\n", 0, at) + 1, at - self.text.rfind("\n", 0, at)


def _statements(text: str) -> Iterator[ValuePlace]:
    """Every header and every key of the text, those of inline tables too."""
    table: KeyPath = ()
    at = _skip(text, 0)
    while at < len(text):
        if text[at] == "[":
            size = 2 if text.startswith("[[", at) else 1
            table, end = _key(text, at + size)
            yield ValuePlace(table, at, at, end)
            at = end + size
        else:
            pair = list(_pair(text, at, table))
            yield from pair
            at = pair[0].last
        at = _skip(text, at)


def _pair(text: str, at: int, table: KeyPath) -> Iterator[ValuePlace]:
    """One `key = value`, then what an inline table in it holds."""
    key, end = _key(text, at)
    first = _skip(text, text.index("=", end) + 1)
    path = (*table, *key)
    yield ValuePlace(path, at, first, _value_end(text, first))
    if text[first] == "{":
        at = _skip(text, first + 1)
        while text[at] != "}":
            inner = list(_pair(text, at, path))
            yield from inner
            at = _skip(text, inner[0].last)
            at = _skip(text, at + 1) if text[at] == "," else at


def _key(text: str, at: int) -> tuple[KeyPath, int]:
    """A bare, quoted or dotted key and where it ends."""
    parts: list[str] = []
    while True:
        at = _skip(text, at)
        quoted = _STRING.match(text, at)
        found = quoted or _BARE.match(text, at)
        if found is None:
            return tuple(parts), at
        parts.append(found[0][1:-1] if quoted else found[0])
        at = _skip(text, found.end())
        if not text.startswith(".", at):
            return tuple(parts), at
        at += 1


def _value_end(text: str, at: int) -> int:
    """Where the value that starts at `at` ends."""
    string = _STRING.match(text, at)
    if string:
        return string.end()
    if text[at] not in "[{":
        plain = _PLAIN.match(text, at)
        return plain.end() if plain else at
    depth = 0
    while True:
        string = _STRING.match(text, at)
        if string:
            at = string.end()
        else:
            depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(text[at], 0)
            at += 1
        if depth == 0:
            return at
        at = _skip(text, at)


def _skip(text: str, at: int) -> int:
    """The next character that is neither blank nor remark."""
    found = _BLANK.match(text, at)
    return found.end() if found else at
