"""Groups and tokens of a sample with their processes, written as they come: a file may have a million tokens."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from typing import IO, Any

from approx.processes.derivation import Derivation
from approx.processes.explain_many import Readings
from approx.processes.sample_processes import Heard
from approx.reports.process_data import uses_json

_text = json.JSONEncoder(ensure_ascii=False).encode


class TokenTexts:
    """Writes tokens; what is said of readings is made once for all tokens that have them."""

    Writer = Callable[[int, Heard, Derivation], str]
    """Row, what was said, the reading taken for it -> text."""

    def __init__(self) -> None:
        # by identity, which is quick; what is kept beside each text holds the identity
        self._made: dict[tuple[int, int], tuple[Readings, Derivation, str]] = {}

    def json(self, row: int, heard: Heard, reading: Derivation) -> str:
        """One token: its row, forms, processes, and other readings by name."""
        word, target, produced = _text(heard.word), _text(heard.target.ipa), _text(heard.produced.ipa)
        rest = self._kept(heard.readings, reading, _reading_json)
        return f'{{"row": {row}, "word": {word}, "target": {target}, "produced": {produced}, {rest}'

    def line(self, row: int, heard: Heard, reading: Derivation) -> str:
        """The same for the terminal."""
        names = self._kept(heard.readings, reading, _reading_line)
        return f"  row {row}\t{heard.word}\t{heard.target.ipa}\t{heard.produced.ipa}\t{names}"

    def _kept(self, readings: Readings, reading: Derivation, make: Callable[[Readings, Derivation], str]) -> str:
        key = id(readings), id(reading)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = readings, reading, make(readings, reading)
        return found[2]


def _reading_json(readings: Readings, reading: Derivation) -> str:
    data = {
        "processes": uses_json(reading),
        "unexplained": list(reading.unexplained),
        "readings": [list(other.names) for other in readings if other is not reading],
    }
    return _text(data)[1:]


def _reading_line(_: Readings, reading: Derivation) -> str:
    return ", ".join((*reading.names, *("unexplained" for _ in reading.unexplained[:1]))) or "no change"


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


def spread(data: Mapping[str, Any]) -> str:
    """An object as JSON with a line for each key, and for each member of a list."""
    lines = (
        f"{_text(key)}: {_members(value) if isinstance(value, list) else _text(value)}" for key, value in data.items()
    )
    return "{\n   " + ",\n   ".join(lines) + "\n  }"


def _members(values: list[Any]) -> str:
    return "[\n    " + ",\n    ".join(map(_text, values)) + "\n   ]" if values else "[]"
