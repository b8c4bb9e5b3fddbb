"""JSON of long answers: indented text in a third of the library's time, and long lists written member by member, so that
they are never held together."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from json.encoder import encode_basestring
from typing import IO, Any

_plain = json.JSONEncoder(ensure_ascii=False).encode


def json_text(value: object, depth: int = 0) -> str:
    """What `json.dumps(value, ensure_ascii=False, indent=1)` gives, for keys that are texts. TypeError for what is no JSON.

    The library indents in Python, one generator within another; joined texts take a third of its time.
    """
    if type(value) is str:
        return encode_basestring(value)
    if value is None or value is True or value is False:
        return "null" if value is None else "true" if value else "false"
    before, last = "\n" + " " * (depth + 1), "\n" + " " * depth
    if isinstance(value, dict):
        if not value:
            return "{}"
        parts = [f"{encode_basestring(key)}: {json_text(each, depth + 1)}" for key, each in value.items()]
        return "{" + before + ("," + before).join(parts) + last + "}"
    if isinstance(value, (list, tuple)):
        if not value:
            return "[]"
        return "[" + before + ("," + before).join([json_text(each, depth + 1) for each in value]) + last + "]"
    return _plain(value)


def write_json(out: IO[str], data: Mapping[str, Any], lists: Mapping[str, Iterable[str]]) -> None:
    """One JSON document: `data`, and then each of the lists from the texts of its members, which are never held together."""
    head = json_text(data)
    out.write(head[: head.rindex("}")].rstrip())
    for name, members in lists.items():
        out.write(f',\n "{name}": [')
        out.writelines(_joined(members))
        out.write("\n ]")
    out.write("\n}\n")


_LONG = 1 << 16


def _joined(members: Iterable[str]) -> Iterator[str]:
    """The members of a list, a line each, joined to long texts: many small writes take longer than making what is written."""
    before, together, size = "\n  ", list[str](), 0
    for member in members:
        together.append(member)
        size += len(member)
        if size > _LONG:
            yield before + ",\n  ".join(together)
            before, together, size = ",\n  ", [], 0
    if together:
        yield before + ",\n  ".join(together)
