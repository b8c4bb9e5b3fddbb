"""Options that several commands share, each with its help, and those of every answer that is a table too; what a value may be is
checked by `approx.api` for all faces.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar, cast

import click

from approx.cli.output import AnswerFormat, format_problems, refuse

if TYPE_CHECKING:
    from approx.api.write_table import TableShape

F = TypeVar("F", bound=Callable[..., Any])
Decorator = Callable[[F], F]
OptionValue: TypeAlias = Any
"""What stands behind an option, and what click makes of what was typed there. It is any type: which one an option has stands
where it is declared, and the functions of `approx.api` check it for every face."""
PATH = click.Path(path_type=Path)


class _Number(click.ParamType[object]):
    """A number as it was typed: `approx.api` says what is wrong with it, as it does to a program."""

    name = "n"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> object:
        """The number; the text itself where it is none."""
        from approx.api.options import typed_number

        return typed_number(value) if isinstance(value, str) else value


NUMBER = _Number()


class _Renamed(click.Option):
    """An option under a better name; the last of its names is the old one, which still works and is not shown."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """The line of help, without the old name."""
        shown = copy(self)
        shown.opts = self.opts[:-1]
        return click.Option.get_help_record(shown, ctx)


def option(*names: str, help: str, old: str = "", **more: OptionValue) -> Callable[[F], F]:
    """An option with its help; a default that says something is shown. `old`: the name it had before."""
    shown = more.get("default") not in (None, "", (), False)
    if old:
        return click.option(*names, old, help=help, show_default=shown, cls=_Renamed, **more)
    return click.option(*names, help=help, show_default=shown, **more)


def flag(name: str, help: str, to: str = "") -> Callable[[F], F]:
    """A switch that is off unless it is given; `to` is the name it has in the function."""
    names = (name, to) if to else (name,)
    return click.option(*names, is_flag=True, help=help)


def argument(name: str, help: str, **more: OptionValue) -> Callable[[F], F]:
    """A value without a name before it."""
    return click.argument(name, help=help, **more)


def several(name: str, help: str, to: str = "") -> Callable[[F], F]:
    """An option that may be given several times."""
    names = (name, to) if to else (name,)
    return click.option(*names, multiple=True, help=f"{help} Repeatable.")


as_json = flag("--json", "Write JSON to stdout.", "as_json")
as_csv = flag("--csv", "Write CSV (UTF-8 with BOM) to stdout.", "as_csv")
rules = option("--rules", type=PATH, default=None, help="Folder of your own rule files.")
child_file = option("--child", "-c", type=PATH, default=None, help="The child's file (child.toml).")
words_language = option("--language", default="", help="Language tag, if it is not the child's (es-MX, deu-Latn).")
emerging = flag("--emerging", "Also use emerging sounds and syllable shapes (ranked lower).")
language = option("--language", default="en-US", help="Language of rows that do not name one (en-US, es-MX).")
form_language = option("--language", default="en-US", help="Language tag (en-US, es-MX).")
page_language = option("--language", default="en", help="Language of the page: en or es, or with a region (es-MX).")
page = option("--page", type=PATH, default=None, help="Also write a printable page: .html, .docx or .pdf.")
paper = option("--paper", default="", help="Paper size: a4 or letter (default: the region's usual size).")
language_of_page = option("--page-language", default="en", help="Language of the page: en or es, or with a region.")
child_age = option(
    "--child",
    type=PATH,
    default=None,
    help="The child's file: its accents count as correct; its age, if the sample gives none.",
)
age = option("--age", default="", help='Age of the child for the title of the page: "4;5".')
notation = option("--notation", default="ipa", help="How forms are typed: ipa or x-sampa.")
lost_r = option("--lost-r", default="deletion", help="What to call an omitted postvocalic r: deletion or vocalization.")
accent = several("--accent", "Accept a dialect or accent (see rules/accents/) as correct.")
sample = argument("file", 'A sample: CSV, TSV, XLSX and others; "-" is stdin.')


def by(default: str) -> Callable[[F], F]:
    """Columns to group by."""
    return option("--by", default=default, help="Columns to group by, separated by commas.")


def seed(default: int) -> Callable[[F], F]:
    """The number that fixes what is drawn at random."""
    return option("--seed", type=NUMBER, default=default, help="Random seed: the same number gives the same selection.")


def answers(command: F) -> F:
    """The options of an answer that is a table too; the command gets them as `form`."""

    @as_json
    @as_csv
    @flag("--jsonl", "Write JSON Lines to stdout: one object per row.", "lines")
    @option("--parquet", type=PATH, default=None, help="Write the table as Parquet (needs pyarrow).")
    @flag("--plain", "Plain CSV: no BOM, no protection against spreadsheet formulas.")
    @flag("--wide", "Wide table: one row per item.")
    @flag("--long", "Long table: one row per value.", "long")
    @option(
        "--allow-problems",
        type=NUMBER,
        default=0,
        help="Exit with 0 if there are no more than this many data problems.",
    )
    @option(
        "--problems",
        type=PATH,
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
