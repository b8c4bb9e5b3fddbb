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
    @options.flag("--jsonl", "Write JSON Lines to stdout: one object per row.", "lines")
    @options.option("--parquet", type=options.PATH, default=None, help="Write the table as Parquet (needs pyarrow).")
    @options.flag("--plain", "Plain CSV: no BOM, no protection against spreadsheet formulas.")
    @options.flag("--wide", "Wide table: one row per item.")
    @options.flag("--long", "Long table: one row per value.", "long")
    @options.option(
        "--allow-problems",
        type=options.NUMBER,
        default=0,
        help="Exit with 0 if there are no more than this many data problems.",
    )
    @options.option(
        "--problems",
        type=options.PATH,
        default=None,
        help="Write the problems and their summary to a file (.json, .csv).",
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
