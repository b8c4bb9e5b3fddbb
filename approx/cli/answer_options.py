"""The options of every answer that is a table too: written, checked and explained once for all commands."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

from approx.cli import options
from approx.cli.answer_format import AnswerFormat, format_problems
from approx.cli.output import refuse

if TYPE_CHECKING:
    from approx.api.write_table import TableShape

F = TypeVar("F", bound=Callable[..., Any])


def answers(command: F) -> F:
    """The options of an answer that is a table too; the command gets them as `form`."""

    @options.as_json
    @options.as_csv
    @options.flag("--jsonl", "Answer as JSON Lines on stdout: an object a row.", "lines")
    @options.option("--parquet", type=options.PATH, default=None, help="Write the table as Parquet (needs pyarrow).")
    @options.flag("--plain", "CSV for programs: no mark, no guard against formulas.")
    @options.flag("--wide", "The table with a row a thing, its values beside each other.")
    @options.flag("--long", "The table with a row a value.", "long")
    @options.option(
        "--allow-problems", type=options.NUMBER, default=0, help="So many problems in the data still end with code 0."
    )
    @options.option(
        "--problems", type=options.PATH, default=None, help="Write problems and their summary (.json, .csv)."
    )
    @wraps(command)
    def asked(
        *values: object,
        as_json: bool,
        as_csv: bool,
        lines: bool,
        parquet: Path | None,
        plain: bool,
        wide: bool,
        long: bool,
        allow_problems: int,
        problems: Path | None,
        **given: object,
    ) -> object:
        shape: TableShape = "wide" if wide else "long" if long else ""
        form = AnswerFormat(as_json, as_csv, lines, parquet, plain, shape, allow_problems, problems)
        refuse(list(format_problems(form, wide and long)), form)
        answer: object = command(*values, form=form, **given)
        return answer

    return cast(F, asked)
