"""Errors as values: what is wrong, where it stands, and the way out.

A `Problem` is returned, never raised, so that one run lists every problem of a file. Exceptions are kept for
mistakes of a calling program. Printed as `file:line:column: message; hint [code]`, which editors understand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

FINE, BAD_DATA, WRONG_USE = 0, 1, 2
"""Exit codes of every command: fine, problems in the data (all listed), wrong use."""

_UNSEEN = {
    sign: f"<U+{sign:04X}>"
    for sign in (*range(0x20), *range(0x7F, 0xA0), 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))
}
"""Signs that would steer a terminal, or turn the rest of a line round, and how they are printed."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong in something a person wrote.

    `line` and `column` count from 1 (row 1 is the header of a table); None where they make no sense.
    `fatal` is False for a remark that stops nothing.
    """

    code: str
    message: str
    hint: str = ""
    file: str = ""
    line: int | None = None
    column: int | None = None
    symbol: str = ""
    fatal: bool = True

    def __str__(self) -> str:
        place = ":".join(str(p) for p in (self.file, self.line, self.column) if p not in (None, ""))
        text = f"{self.message}; {self.hint}" if self.hint else self.message
        return f"{place + ': ' if place else ''}{text} [{self.code}]".translate(_UNSEEN)

    def at(self, file: str = "", line: int | None = None, column: int | None = None) -> Problem:
        """A copy of this problem with its place filled in where it was still unknown."""
        return replace(
            self,
            file=self.file or file,
            line=self.line if self.line is not None else line,
            column=self.column if self.column is not None else column,
        )

    def as_json(self) -> dict[str, Any]:
        """The promise of `--json`: every field by name, empty ones left out."""
        fields = ("code", "message", "hint", "file", "line", "column", "symbol")
        return {name: getattr(self, name) for name in fields if getattr(self, name) not in (None, "")}


class ProblemsError(ValueError):
    """Raised where a calling program asked for it (`on_problem="raise"`): one exception with every problem of a run."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


def exit_code(problems: Iterable[Problem]) -> int:
    """2 if an option was refused (the code begins with `use.`), else 1 if any problem is fatal, else 0."""
    fatal = [problem for problem in problems if problem.fatal]
    if any(problem.code.startswith("use.") for problem in fatal):
        return WRONG_USE
    return BAD_DATA if fatal else FINE
