"""A table as a file, in the format that its name asks for."""

from __future__ import annotations

import io
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from approx.api.files import write_bytes
from approx.api.table_shape import columns_of_one_kind
from approx.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from approx.api.table_shape import CellValue

TABLES = (".csv", ".tsv", ".jsonl", ".parquet", ".xlsx")
ENDINGS = (*TABLES, ".json")
"""What an answer can be written as; .json is no table but the whole of it."""


def ending_problem(path: str | PathLike[str], endings: Sequence[str] = ENDINGS) -> list[Problem]:
    """What is wrong with the name of a file that something is to be written to."""
    name = Path(path).name
    if Path(name).suffix.casefold() in endings:
        return []
    return [Problem("use.ending", f"'{name}' names no format", "end the name in " + " or ".join(endings), symbol=name)]


def write_table(
    path: str | PathLike[str],
    columns: Sequence[str],
    rows: Iterable[Sequence[CellValue]],
    *,
    guard: bool = True,
    force: bool = True,
) -> tuple[Problem, ...]:
    """Write a table whole or not at all; over an existing file only with `force`. `guard`: of CSV and TSV, for spreadsheets."""
    if wrong := ending_problem(path, TABLES):
        return tuple(wrong)
    try:
        data, problems = _bytes(Path(path).suffix.casefold(), columns, rows, guard)
    except ImportError as error:
        hint = "pip install 'approx-speech[parquet]', or write .jsonl"
        return (Problem("file.library", f"{Path(path).name} needs the package {error.name}", hint, str(path)),)
    return (*problems, *write_bytes(Path(path), data, force))


def _bytes(
    ending: str, columns: Sequence[str], rows: Iterable[Sequence[CellValue]], guard: bool
) -> tuple[bytes, tuple[Problem, ...]]:
    if ending == ".jsonl":
        from approx.samples.files.write_data import json_lines_text

        return json_lines_text(columns, rows).encode(), ()
    if ending == ".parquet":
        from approx.samples.files.write_data import parquet_bytes

        return parquet_bytes(columns_of_one_kind(columns, rows)), ()
    from approx.samples.files.write import write_csv, write_xlsx

    out = io.BytesIO()
    if ending == ".xlsx":
        problems = write_xlsx(out, {"answer": (columns, rows)})
        return out.getvalue(), problems
    write_csv(out, columns, rows, guard=guard, separator="\t" if ending == ".tsv" else ",")
    return out.getvalue(), ()
