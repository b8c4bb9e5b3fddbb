"""Sentences for a person that keep what they were made of: the pattern as the source writes it, and the values put into it.

In English such a sentence is the text itself. Another language looks the pattern up and puts the same values in
(`reports/messages.py`), so that nothing is guessed back from a finished sentence and no value is read as a part of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping


class Worded(str):
    """A sentence, with its pattern and the values of the gaps. A value that is itself `Worded` or `Enumeration` is ours and has a pattern of its own."""

    pattern: str
    values: Mapping[str, object]

    def __new__(cls, text: str, pattern: str = "", values: Mapping[str, object] | None = None) -> Worded:
        """`pattern`: with gaps such as {word}; the text itself where none is given."""
        made = super().__new__(cls, text)
        made.pattern, made.values = pattern or text, values or {}
        return made


class Enumeration(str):
    """Parts with a sign between them, each said by itself in another language."""

    sign: str
    parts: tuple[str, ...]

    def __new__(cls, text: str, sign: str = "", parts: tuple[str, ...] = ()) -> Enumeration:
        """`text`: the parts with the sign between them."""
        made = super().__new__(cls, text)
        made.sign, made.parts = sign, parts or (text,)
        return made


def worded(pattern: str, **values: object) -> Worded:
    """The sentence of a pattern with its gaps filled."""
    return Worded(pattern.format(**values), pattern, values)


def enumerated(sign: str, parts: Iterable[str]) -> Enumeration:
    """As `sign.join(parts)`, with the parts kept."""
    kept = tuple(parts)
    return Enumeration(sign.join(kept), sign, kept)
