"""The problems of a run as an answer of their own: a summary by kind, and each with its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from approx.api.result import Result, TableRows
from approx.api.write_table import TableKeys
from approx.problems import Problem

PROBLEM_COLUMNS = ("code", "stops", "message", "hint", "file", "line", "column", "symbol")


@dataclass(frozen=True)
class ProblemList(Result):
    """Problems in the order in which they were found."""

    problems: tuple[Problem, ...] = ()

    table_keys: ClassVar[TableKeys] = TableKeys(("code", "file", "line", "column"), wide=True)

    def to_dict(self) -> dict[str, Any]:
        """Numbers of all and of those that stop something, a line a kind with its first place, then every problem."""
        kinds: dict[str, list[Problem]] = {}
        for problem in self.problems:
            kinds.setdefault(problem.code, []).append(problem)
        return {
            "total": len(self.problems),
            "stopping": sum(problem.fatal for problem in self.problems),
            "summary": [
                {
                    "code": code,
                    "times": len(each),
                    "stopping": sum(one.fatal for one in each),
                    "first": each[0].as_json(),
                }
                for code, each in kinds.items()
            ],
            "problems": [problem.as_json() for problem in self.problems],
        }

    def to_table(self) -> TableRows:
        """A row a problem; `stops`: whether something was left out for it."""
        return PROBLEM_COLUMNS, [
            (p.code, "yes" if p.fatal else "no", p.message, p.hint, p.file, p.line, p.column, p.symbol)
            for p in self.problems
        ]

    def lines(self) -> list[str]:
        """A line a problem, as stderr has them."""
        return list(map(str, self.problems))
