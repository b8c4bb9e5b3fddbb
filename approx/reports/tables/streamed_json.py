"""JSON of long lists, written member by member, so that they are never held together."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import IO, Any


def write_json(out: IO[str], data: Mapping[str, Any], lists: Mapping[str, Iterable[str]]) -> None:
    """One JSON document: `data`, and then each of the lists from the texts of its members, which are never held together."""
    head = json.dumps(data, ensure_ascii=False, indent=1)
    out.write(head[: head.rindex("}")].rstrip())
    for name, members in lists.items():
        out.write(f',\n "{name}": [')
        between = "\n  "
        for member in members:
            out.write(between + member)
            between = ",\n  "
        out.write("\n ]")
    out.write("\n}\n")
