"""How a command answers: as text, JSON, CSV, JSON Lines or Parquet; how a table is cut; how problems end the command."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from approx.problems import BAD_DATA, Problem, exit_code

if TYPE_CHECKING:
    from approx.api.write_table import TableShape


@dataclass(frozen=True, slots=True)
class AnswerFormat:
    """What was asked for. `plain`: CSV for programs. `allowed`: problems of the data that do not end in exit code 1.
    `problems`: the file that problems are written to as well."""

    json: bool = False
    csv: bool = False
    lines: bool = False
    parquet: Path | None = None
    plain: bool = False
    shape: TableShape = ""
    allowed: int = 0
    problems: Path | None = None

    @property
    def text(self) -> bool:
        """True where a person reads the answer."""
        return not (self.json or self.csv or self.lines or self.parquet)

    @property
    def table(self) -> bool:
        """True where the answer is the rows of a table."""
        return self.csv or self.lines or self.parquet is not None

    def code(self, problems: Iterable[Problem]) -> int:
        """The exit code: 0 too where there are no more problems than are allowed."""
        listed = list(problems)
        code = exit_code(listed)
        return 0 if code == BAD_DATA and sum(problem.fatal for problem in listed) <= self.allowed else code


def format_problems(form: AnswerFormat, two_shapes: bool) -> Iterable[Problem]:
    """What contradicts itself, and names of files that are not what is written to them."""
    asked = [name for name, on in (("--json", form.json), ("--csv", form.csv), ("--jsonl", form.lines)) if on]
    if len(asked) > 1:
        yield Problem("use.format", f"{' and '.join(asked)} are {len(asked)} answers", "choose one")
    if form.plain and not form.csv:
        yield Problem("use.plain", "--plain is a kind of CSV", "add --csv")
    if two_shapes:
        yield Problem("use.shape", "--wide and --long are two tables", "choose one")
    elif form.shape and not form.table:
        yield Problem("use.shape", f"--{form.shape} is the shape of a table", "add --csv, --jsonl or --parquet FILE")
    if form.allowed:
        from approx.api.options import number_problem

        yield from number_problem("answer.allow_problems", form.allowed)
    if form.parquet is not None and form.parquet.suffix.casefold() != ".parquet":
        yield Problem("use.ending", f"'{form.parquet.name}' is not what --parquet writes", "end the name in .parquet")
    if form.problems is not None:
        from approx.api.write_table import ending_problem

        yield from ending_problem(form.problems)
