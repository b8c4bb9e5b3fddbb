"""The sections [heard] and [changes] of a child file as text: words heard, and what a child says for a sound."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence

from approx.child.profile import WordHeard

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def heard_lines(heard: Mapping[str, WordHeard], remarks: Mapping[str, str] | None = None) -> list[str]:
    """The section [heard] as lines; `remarks` by word go behind."""
    return ["[heard]", *_lines({word: heard_value(each) for word, each in heard.items()}, remarks or {})]


def change_lines(
    changes: Mapping[tuple[str, str], Sequence[str]], times: Mapping[tuple[str, str], Sequence[int]] | None = None
) -> list[str]:
    """The section [changes] as lines; `times`: in how many words each form was heard, where that is known."""
    values = {
        " ".join(filter(None, key)): json.dumps(said_value(said, (times or {}).get(key, ())), ensure_ascii=False)
        for key, said in changes.items()
    }
    return ["[changes]", *_lines(values, {})]


def said_value(said: Sequence[str], times: Sequence[int] = ()) -> str:
    """What is said for a sound as it stands in [changes]: `h t`, or `h 4, t 2` with the number of words of each."""
    return ", ".join(f"{form} {number}" for form, number in zip(said, times)) if times else " ".join(said)


def heard_value(heard: WordHeard) -> str:
    """What was heard as an inline table."""
    day = f", date = {heard.date}" if heard.date else ""
    return f"{{ form = {json.dumps(heard.form, ensure_ascii=False)}{day} }}"


def _lines(values: Mapping[str, str], remarks: Mapping[str, str]) -> list[str]:
    return [
        f"{_key(key)} = {value}" + (f"   # {remarks[key]}" if key in remarks else "") for key, value in values.items()
    ]


def _key(label: str) -> str:
    return label if _BARE.fullmatch(label) else json.dumps(label, ensure_ascii=False)
