"""The published JSON Schema of every `--json`: what keys there are, what stands in them, which may be missing.

The files stand in `approx/reports/schemas/` and are part of the package. Keys may be added to an answer, so the schemas are
open; the tests close them, so that no key is printed that no schema names.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, ClassVar

from approx.api.options import choice_problem, text_problems
from approx.api.result import OnProblem, Result, TableRows
from approx.api.write_table import TableKeys
from approx.problems import Problem

SCHEMA_FOLDER = Path(__file__).parent.parent / "reports" / "schemas"
_COMMON = "common"


@dataclass(frozen=True)
class AnswerSchema(Result):
    """The schema of one answer, whole in itself."""

    table_keys: ClassVar[TableKeys] = TableKeys(("key",), wide=True)
    problems: tuple[Problem, ...] = ()
    name: str = ""
    schema: dict[str, Any] = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """The schema."""
        return self.schema

    def to_table(self) -> TableRows:
        """A row a key of the answer itself, with what it holds."""
        needed = self.schema.get("required", ())
        rows = [
            (key, "yes" if key in needed else "no", says.get("description", ""))
            for key, says in self.schema.get("properties", {}).items()
        ]
        return ("key", "always", "holds"), rows

    def lines(self) -> list[str]:
        """The schema as JSON, which is what a schema is read as."""
        return json.dumps(self.schema, ensure_ascii=False, indent=1).splitlines() if self.schema else []


def schema_names() -> list[str]:
    """Names of all answers that have a schema: commands, with a hyphen for a blank, and `problems`."""
    return sorted(path.stem for path in SCHEMA_FOLDER.glob("*.json") if path.stem != _COMMON)


def schema(name: str, *, on_problem: OnProblem = "keep") -> AnswerSchema:
    """The JSON Schema (2020-12) of what a command prints with `--json`.

    >>> schema("align").schema["properties"]["links"]["type"]
    'array'
    """
    if refused_name := text_problems(name=name):
        return AnswerSchema(tuple(refused_name)).kept(on_problem)
    plain = "-".join(name.lower().replace("_", "-").split())
    wrong = choice_problem("schema", plain, schema_names())
    if wrong:
        return AnswerSchema(tuple(wrong), name).kept(on_problem)
    return AnswerSchema((), plain, _whole(plain)).kept(on_problem)


def _whole(name: str) -> dict[str, Any]:
    """A schema with the parts of `common.json` that it names, so that it needs no other file."""
    found, common = _read(name), _read(_COMMON)["$defs"]
    used: dict[str, Any] = {}

    def within(part: object) -> object:
        if isinstance(part, list):
            return [within(each) for each in part]
        if not isinstance(part, dict):
            return part
        out: dict[str, object] = {key: within(value) for key, value in part.items() if key != "$ref"}
        if "$ref" in part:
            called = part["$ref"].rsplit("/", 1)[1]
            out["$ref"] = f"#/$defs/{called}"
            if called not in used:
                used[called] = {}
                used[called] = within(common[called])
        return out

    whole = {key: within(value) for key, value in found.items()}
    return whole | ({"$defs": used} if used else {})


@cache
def _read(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((SCHEMA_FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return found
