"""What every answer of the public functions can do: problems, JSON, a table, text, a view in a notebook."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import IO, TYPE_CHECKING, Any, Literal, TypeAlias, TypeVar, cast, overload

from approx.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from narwhals.typing import IntoDataFrame
    from pandas import DataFrame

OnProblem = Literal["keep", "raise"]
"""What a function does with problems: keep them in its answer, or raise one `ProblemsError` that lists them all."""
OnProgress: TypeAlias = "Callable[[str, int, int], None]"
"""Called with what is counted ("groups scored"), how many are done, and of how many."""
CellValue = str | int | float | None
TableRows = tuple[Sequence[str], Iterable[Sequence[CellValue]]]
"""Columns and rows."""
R = TypeVar("R", bound="Result")


class Result:
    """An answer with everything that is to be said about it. An answer with a fatal problem may be empty."""

    problems: tuple[Problem, ...]

    def to_dict(self) -> dict[str, Any]:
        """What `--json` prints."""
        raise NotImplementedError

    def write_json(self, out: IO[str]) -> None:
        """What `--json` prints, written to a stream; long answers are written member by member."""
        import json

        out.write(json.dumps(self.to_dict(), ensure_ascii=False, indent=1) + "\n")

    def to_table(self) -> TableRows:
        """What `--csv` prints, as columns and rows."""
        raise NotImplementedError

    def lines(self) -> list[str]:
        """What a terminal shows, line by line; none where there is nothing to show."""
        raise NotImplementedError

    def kept(self: R, on_problem: OnProblem) -> R:
        """This answer; or, if asked, one exception with all problems where one of them is fatal."""
        if on_problem not in ("keep", "raise"):
            raise ValueError(f"on_problem: 'keep' or 'raise', not {on_problem!r}")
        if on_problem == "raise" and any(problem.fatal for problem in self.problems):
            raise ProblemsError(self.problems)
        return self

    @overload
    def to_frame(self, backend: Literal["pandas"] = "pandas") -> DataFrame: ...
    @overload
    def to_frame(self, backend: str) -> IntoDataFrame: ...
    def to_frame(self, backend: str = "pandas") -> Any:
        """What `--csv` prints, as a data frame of `backend`: pandas, polars, pyarrow or modin, which must be installed."""
        import narwhals

        columns, rows = self.to_table()
        data = dict(zip(columns, map(_alike, zip(*rows)), strict=False)) or {name: [] for name in columns}
        return narwhals.from_dict(data, backend=cast(Any, backend)).to_native()

    def __str__(self) -> str:
        return "\n".join(self.lines() or map(str, self.problems))

    def _repr_html_(self) -> str:
        """A notebook's view: problems, then the text of the terminal, in letters of one width."""
        from html import escape

        said = "".join(f"<li>{escape(str(problem))}</li>" for problem in self.problems)
        text = "\n".join(self.lines())
        return (f"<ul>{said}</ul>" if said else "") + (f"<pre>{escape(text)}</pre>" if text else "")


def _alike(column: Iterable[CellValue]) -> list[CellValue]:
    """A column whose values are of one kind, as data frames want them: whole numbers beside others become floats."""
    values = list(column)
    kinds = {type(value) for value in values if value is not None}
    if kinds == {int, float}:
        return [None if value is None else float(value) for value in values]
    if len(kinds) > 1:
        return [None if value is None else str(value) for value in values]
    return values


def joined(*groups: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems of several steps, each once, in order."""
    return tuple(dict.fromkeys(problem for group in groups for problem in group))


def fatal(problems: Iterable[Problem]) -> bool:
    """True if any of them stops an answer."""
    return any(problem.fatal for problem in problems)


def made_of(cls: type[R], found: Any, **changes: Any) -> R:
    """An answer with the fields of what a package found, some of them changed."""
    from dataclasses import fields

    return cls(**{field.name: getattr(found, field.name) for field in fields(found)} | changes)
