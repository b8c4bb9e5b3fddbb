"""Sentences for a person that keep what they were made of: the pattern as the source writes it, and the values put into it. Nouns follow their number: a pattern holds both
forms, as in "{words} {words:word|words}".

In English such a sentence is the text itself. Another language looks the pattern up and puts the same values in
(`reports/messages.py`), so that nothing is guessed back from a finished sentence and no value is read as a part of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from gettext import NullTranslations
from string import Formatter
from typing import Any

_plural = NullTranslations().ngettext
"""The rule of number that English and Spanish share: one form for 1, the other for every other number."""


def plural_form(number: object, one: str, other: str) -> str:
    """The form of a noun (or of words that agree with it) that goes with a number; a number already written out is one too."""
    return _plural(one, other, 1 if str(number) == "1" else 2)


def counted(number: object, one: str, other: str = "") -> str:
    """A count with its noun: "1 word", "2 words". `other` where it is not `one` with an s."""
    return f"{number} {plural_form(number, one, other or f'{one}s')}"


class _Pattern(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:  # noqa: ANN401 - as the library has it
        one, either, other = format_spec.partition("|")
        return plural_form(value, one, other) if either else str(super().format_field(value, format_spec))


_PATTERN = _Pattern()


def fill_pattern(pattern: str, **values: object) -> str:
    """A pattern with its gaps filled. {words} is a value; {words:word|words} is the noun for that value, one or more."""
    return _PATTERN.vformat(pattern, (), values) if "|" in pattern else pattern.format(**values)


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
    """The sentence of a pattern with its gaps filled (`fill_pattern`)."""
    return Worded(fill_pattern(pattern, **values), pattern, values)


def enumerated(sign: str, parts: Iterable[str]) -> Enumeration:
    """As `sign.join(parts)`, with the parts kept."""
    kept = tuple(parts)
    return Enumeration(sign.join(kept), sign, kept)
