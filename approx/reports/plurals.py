"""Counts in words: "1 token", "2 tokens"."""

from __future__ import annotations

from gettext import NullTranslations

_plural = NullTranslations().ngettext


def counted(number: int, one: str, many: str = "") -> str:
    """A count with its noun; `many` where it is not `one` with an s."""
    return f"{number} {_plural(one, many or f'{one}s', number)}"


def often(number: int) -> str:
    """How often: "once", "2 times"."""
    return _plural("once", f"{number} times", number)
