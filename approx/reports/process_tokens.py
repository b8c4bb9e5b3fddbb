"""Tokens of a sample with their processes, one a line, written as they come: a file may have a million of them."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import IO, Any

from approx.processes.derivation import Derivation
from approx.processes.sample_processes import Heard
from approx.reports.process_data import uses_json


class TokenTexts:
    """Writes tokens; all but the row is made once for each distinct pair and reading."""

    Writer = Callable[[int, Heard, Derivation], str]
    """Row, what was said, the reading taken for it -> text."""

    def __init__(self) -> None:
        self._made: dict[tuple[Heard, Derivation], str] = {}

    def json(self, row: int, heard: Heard, reading: Derivation) -> str:
        """One token: its row, forms, processes, and other readings by name."""
        rest = self._made.get((heard, reading))
        if rest is None:
            data = {
                "word": heard.word,
                "target": heard.target.ipa,
                "produced": heard.produced.ipa,
                "processes": uses_json(reading),
                "unexplained": list(reading.unexplained),
                "readings": [list(other.names) for other in heard.readings if other is not reading],
            }
            rest = self._made[heard, reading] = json.dumps(data, ensure_ascii=False)[1:]
        return f'{{"row": {row}, {rest}'

    def line(self, row: int, heard: Heard, reading: Derivation) -> str:
        """The same for the terminal."""
        rest = self._made.get((heard, reading))
        if rest is None:
            names = ", ".join((*reading.names, *("unexplained" for _ in reading.unexplained[:1]))) or "no change"
            rest = f"{heard.word}\t{heard.target.ipa}\t{heard.produced.ipa}\t{names}"
            self._made[heard, reading] = rest
        return f"  row {row}\t{rest}"


def write_json(out: IO[str], data: dict[str, Any], tokens: Iterable[str]) -> None:
    """One JSON document: `data` and then `tokens`, never held together."""
    head = json.dumps(data, ensure_ascii=False, indent=1)
    out.write(head[: head.rindex("}")].rstrip() + ',\n "tokens": [')
    between = "\n  "
    for token in tokens:
        out.write(between + token)
        between = ",\n  "
    out.write("\n ]\n}\n")
