"""Words and paths of a command line taken as they are, so that a command need not load a validation library.

Recent versions of typer send every value, even a plain word or one that was not given, through pydantic, whose import
costs more than the whole of `approx suggest`. The commands here ask for words, paths and small whole numbers only;
what is more than that (a number typed, a list) goes the usual way. Versions of typer without that step are left alone.

Options that several commands share, each with its help.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

Json = Annotated[bool, typer.Option("--json", help="Answer as JSON on stdout.")]
Csv = Annotated[bool, typer.Option("--csv", help="Answer as CSV (UTF-8 with its mark) on stdout.")]
Rules = Annotated[Path | None, typer.Option("--rules", help="Folder of your own rule files.")]
ChildFile = Annotated[Path | None, typer.Option("--child", "-c", help="The child's file (child.toml).")]
WordsLanguage = Annotated[str, typer.Option("--language", help="Language tag, if not the child's (es-MX, deu-Latn).")]
Emerging = Annotated[bool, typer.Option("--emerging", help="Let emerging sounds and shapes in, at a cost.")]
Seed = Annotated[int, typer.Option("--seed", help="The same number gives the same choice.")]
Language = Annotated[str, typer.Option(help="Language tag (en-US, es-MX).")]
PageLanguage = Annotated[str, typer.Option("--language", help="Language of the page: en or es.")]
Notation = Annotated[str, typer.Option(help="How forms are typed: ipa or x-sampa.")]
Accent = Annotated[
    list[str] | None, typer.Option("--accent", help="A variety of rules/accents/ that is right; repeatable.")
]
By = Annotated[str, typer.Option("--by", help="Columns to group by, commas between.")]


_SLOT = "_runtime_param"
"""Where typer keeps the converter of a parameter once it is built; private to typer, hence looked for first."""


class PlainValues(TyperGroup):
    """A group that takes plain values, and whose commands do, without a validation library."""

    def get_params(self, ctx: Any) -> Any:
        params = super().get_params(ctx)
        _prepare(params)
        return params

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        command = super().get_command(ctx, cmd_name)
        if command is not None:
            # asked with the group's context: what --help is called is the same in all commands
            _prepare(command.get_params(ctx))
        return command


def _prepare(params: Iterable[Any]) -> None:
    for param in params:
        if getattr(param, _SLOT, param) is None and hasattr(param, "type_descriptor"):
            setattr(param, _SLOT, _Plain())


class _Plain:
    """Stands in for the converter of one parameter until a value needs the real one."""

    def coerce(self, value: Any, param: Any, ctx: Any) -> Any:
        wanted = param.type_descriptor.annotation
        many = param.multiple or param.nargs == -1
        if value is None:
            return () if many else None
        if not many and getattr(param.type_descriptor.parameter_info, "parser", None) is None:
            if wanted in (str, int, bool) and type(value) is wanted:
                return value
            if wanted is Path and isinstance(value, str):
                return Path(value)
        setattr(param, _SLOT, None)
        return param.get_runtime_param().coerce(value, param=param, ctx=ctx)
