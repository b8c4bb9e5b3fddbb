"""JSON of long answers: indented text in a third of the library's time, and long lists written member by member, so that
they are never held together."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import lru_cache
from json.encoder import encode_basestring
from math import isfinite
from typing import IO, Any

_plain = json.JSONEncoder(ensure_ascii=False).encode
_SCALARS: dict[type, Callable[[Any], str]] = {
    str: encode_basestring,
    bool: lambda value: "true" if value else "false",
    int: repr,
    float: lambda value: repr(value) if isfinite(value) else _plain(value),
    type(None): lambda value: "null",
}


def json_text(value: object, line: str = "\n") -> str:
    """What `json.dumps(value, ensure_ascii=False, indent=1)` gives, for keys that are texts. TypeError for what is no JSON.

    `line`: how the line begins that the value stands on. The library indents in Python, one generator within another; joined
    texts take a third of its time.
    """
    scalar = _SCALARS.get(type(value))
    if scalar is not None:
        return scalar(value)
    if isinstance(value, str):  # a sentence that knows its pattern
        return encode_basestring(value)
    inner = line + " "
    if isinstance(value, dict):
        # most values are scalars: one call less for each of them
        parts = [
            _before(key) + (_SCALARS[type(each)](each) if type(each) in _SCALARS else json_text(each, inner))
            for key, each in value.items()
        ]
        return f"{{{inner}{(',' + inner).join(parts)}{line}}}" if parts else "{}"
    if isinstance(value, (list, tuple)):
        parts = [json_text(each, inner) for each in value]
        return f"[{inner}{(',' + inner).join(parts)}{line}]" if parts else "[]"
    return _plain(value)


@lru_cache(maxsize=4096)
def _before(key: str) -> str:
    """A key, the same in every member of a list, as it stands before its value."""
    return encode_basestring(key) + ": "


def write_json(out: IO[str], data: Mapping[str, Any], lists: Mapping[str, Iterable[str]]) -> None:
    """One JSON document: `data`, and then each of the lists from the texts of its members, which are never held together."""
    head = json_text(data)
    out.write(head[: head.rindex("}")].rstrip())
    for name, members in lists.items():
        out.write(f',\n "{name}": [')
        out.writelines(_joined(members))
        out.write("\n ]")
    out.write("\n}\n")


BETWEEN = ",\n  "
"""Between the members of such a list: many of them may come as one text."""
_LONG = 1 << 16


def _joined(members: Iterable[str]) -> Iterator[str]:
    """The members of a list, a line each, joined to long texts: many small writes take longer than making what is written."""
    before, together, size = "\n  ", list[str](), 0
    for member in members:
        together.append(member)
        size += len(member)
        if size > _LONG:
            yield before + BETWEEN.join(together)
            before, together, size = BETWEEN, [], 0
    if together:
        yield before + BETWEEN.join(together)
