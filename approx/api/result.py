"""What every answer of the public functions can do: problems, JSON, a table, text, a view in a notebook; and the problems of a run as an answer of their own."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, ClassVar, Literal, TypeAlias, TypeVar, cast, overload

from approx.api.write_table import CellValue, TableKeys, TableShape, columns_of_one_kind, html_table, shaped
from approx.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from _typeshed import DataclassInstance
    from narwhals.typing import IntoDataFrame
    from pandas import DataFrame


OnProblem = Literal["keep", "raise"]
"""What a function does with problems: keep them in its answer, or raise one `ProblemsError` that lists them all."""
OnProgress: TypeAlias = "Callable[[str, int, int], None]"
"""Called with what is counted ("groups scored"), how many are done, and of how many."""
TableRows: TypeAlias = tuple[Sequence[str], Iterable[Sequence[CellValue]]]
"""Columns and rows."""
R = TypeVar("R", bound="Result")


class Result(ABC):
    """An answer with everything that is to be said about it. An answer with a fatal problem may be empty."""

    problems: tuple[Problem, ...]
    table_keys: ClassVar[TableKeys] = TableKeys((), wide=True)
    """What the rows of the table are about: what makes it wide or long."""
    is_table: ClassVar[bool] = False
    """True where a notebook shows the rows of the table rather than the text of the terminal."""
    table_note: ClassVar[str] = ""
    """What is to be read with the table, wherever it is shown."""

    def __init_subclass__(cls) -> None:
        """One line in place of the representation that `dataclass` would write, which holds every token of a sample."""
        super().__init_subclass__()
        if "__repr__" not in vars(cls):
            cls.__repr__ = Result.__repr__  # type: ignore[method-assign]

    def __repr__(self) -> str:
        """The kind of answer, whose it is, and how many of each thing it holds, in one line."""
        return f"{type(self).__name__}({', '.join(f'{name}={value}' for name, value in self._summary())})"

    def _summary(self) -> Iterable[tuple[str, object]]:
        from dataclasses import fields

        for name in (field.name for field in fields(cast("DataclassInstance", self)) if field.repr):
            value = getattr(self, name)
            if isinstance(value, (tuple, Mapping)) and name != "problems":
                yield name, len(value)
            elif isinstance(value, str) and value and name in ("child", "word", "kind"):
                yield name, repr(value)
        yield "problems", len(self.problems)

    @abstractmethod
    def to_dict(self) -> dict[str, Any]:
        """What `--json` prints."""

    def write_json(self, out: IO[str]) -> None:
        """What `--json` prints, written to a stream; long answers are written member by member."""
        from approx.reports.tables.streamed_json import json_text

        out.write(json_text(self.to_dict()) + "\n")

    @abstractmethod
    def to_table(self) -> TableRows:
        """What `--csv` prints, as columns and rows."""

    def table(self, shape: TableShape = "") -> TableRows:
        """Columns and rows as `--csv` prints them, or as `--wide` (one row per item) or `--long` (one row per value) does."""
        columns, rows = self.to_table()
        return shaped(columns, iter(rows), self.table_keys, shape)

    def write(self, path: str | PathLike[str], *, shape: TableShape = "", guard: bool = True) -> tuple[Problem, ...]:
        """The table as a file, whole or not at all: .csv, .jsonl, .parquet, .xlsx; .json for what `--json` prints.

        `guard`: in CSV, an apostrophe before texts that a spreadsheet would take for a formula or a date. Problems: an
        ending that is none of these, a library that is missing, a place that cannot be written.
        """
        import io

        from approx.api.write_table import ending_problem, write_table, write_text

        if wrong := ending_problem(path):
            return tuple(wrong)
        if Path(path).suffix.casefold() != ".json":
            return write_table(path, *self.table(shape), guard=guard)
        text = io.StringIO()
        self.write_json(text)
        return write_text(Path(path), text.getvalue(), force=True)

    @abstractmethod
    def lines(self) -> list[str]:
        """What a terminal shows, line by line; none where there is nothing to show."""

    def kept(self: R, on_problem: OnProblem) -> R:
        """Itself; with `on_problem="raise"` a ProblemsError with all problems, if one of them is fatal."""
        if on_problem not in ("keep", "raise"):
            raise ValueError(f"on_problem: 'keep' or 'raise', not {on_problem!r}")
        if on_problem == "raise" and any(problem.fatal for problem in self.problems):
            raise ProblemsError(self.problems)
        return self

    @overload
    def to_frame(self, backend: Literal["pandas"] = "pandas", shape: TableShape = "") -> DataFrame: ...
    @overload
    def to_frame(self, backend: str, shape: TableShape = "") -> IntoDataFrame: ...
    def to_frame(self, backend: str = "pandas", shape: TableShape = "") -> Any:
        """What `--csv` prints, as a data frame of `backend`: pandas, polars, pyarrow or modin, which must be installed."""
        import narwhals

        data = columns_of_one_kind(*self.table(shape))
        return narwhals.from_dict(data, backend=cast(Any, backend)).to_native()

    def __str__(self) -> str:
        return "\n".join(self.lines() or map(str, self.problems))

    def _repr_html_(self) -> str:
        """A notebook's view: problems, then the table, or the text of the terminal in letters of one width."""
        from html import escape

        said = "".join(f"<li>{escape(str(problem))}</li>" for problem in self.problems)
        if self.is_table:
            shown = html_table(*self.to_table(), self.table_note)
        else:
            text = "\n".join(self.lines())
            shown = f"<pre>{escape(text)}</pre>" if text else ""
        return (f"<ul>{said}</ul>" if said else "") + shown


def joined_problems(*groups: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems of several steps, each once, in order."""
    return tuple(dict.fromkeys(problem for group in groups for problem in group))


def fatal(problems: Iterable[Problem]) -> bool:
    """True if any of them stops an answer."""
    return any(problem.fatal for problem in problems)


def made_of(cls: type[R], found: DataclassInstance, **changes: object) -> R:
    """An answer with the fields of what a package found, some of them changed."""
    from dataclasses import fields

    return cls(**{field.name: getattr(found, field.name) for field in fields(found)} | changes)


PROBLEM_COLUMNS = ("code", "stops", "message", "hint", "file", "line", "column", "symbol")


@dataclass(frozen=True)
class ProblemList(Result):
    """Problems in the order in which they were found."""

    problems: tuple[Problem, ...] = ()

    is_table: ClassVar[bool] = True
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
