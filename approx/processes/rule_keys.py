"""The keys of a `[[rule]]` and what kind of value each takes; another kind is reported, never guessed at."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

Check = Callable[[Any], bool]


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _filled(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip())


def _texts(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(map(_filled, value))


def _pairs(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(pair, list) and len(pair) == 2 and all(map(_filled, pair)) for pair in value
    )


def _whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


_KINDS: dict[str, tuple[Check, str]] = {
    "id": (_filled, 'text in quotes, such as "stopping.labial"'),
    "process": (_filled, 'the name of a process in quotes, such as "stopping"'),
    "change": (_filled, 'the change in quotes, such as "{f v} -> {p b}"'),
    "cost": (_number, "a number, such as 0.5"),
    "order": (_whole, "a whole number, such as 40"),
    "source": (_filled, 'author, year and page in quotes, or "common practice, no source"'),
    "examples": (_pairs, 'pairs of adult form and child form, such as [["fæn", "pæn"]]'),
    "kind": (_text, 'text in quotes, such as "raised"'),
    "atypical": (lambda value: isinstance(value, bool), "true or false, without quotes"),
    "uses": (_texts, 'some of ["simplify", "explain"]'),
    "language": (_text, 'a language code in quotes, such as "es"'),
    "remark": (_text, "text in quotes"),
}


def wrong_kinds(row: object) -> Iterator[tuple[str, str]]:
    """(key, what it should be) of every value in one `[[rule]]` that is not of the kind its key takes.

    Missing and unknown keys are another matter and pass. What is no table at all gives one ("rule", ...).
    """
    if not isinstance(row, dict):
        yield "rule", "a table that starts with the line [[rule]]"
        return
    for key, (fits, wanted) in _KINDS.items():
        if key in row and not fits(row[key]):
            yield key, wanted
