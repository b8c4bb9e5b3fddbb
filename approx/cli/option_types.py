"""Options that several commands share, each with its help."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

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
