"""A table as a file, in the format that its name asks for."""

from __future__ import annotations

import io
import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias, get_args

from approx.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


TABLE_ENDINGS = (".csv", ".tsv", ".jsonl", ".parquet", ".xlsx")
ENDINGS = (*TABLE_ENDINGS, ".json")
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
    if wrong := ending_problem(path, TABLE_ENDINGS):
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
        from approx.samples.files.write import json_lines_text

        return json_lines_text(columns, rows).encode(), ()
    if ending == ".parquet":
        from approx.samples.files.write import parquet_bytes

        return parquet_bytes(columns_of_one_kind(columns, rows)), ()
    from approx.samples.files.write import write_csv, write_xlsx

    out = io.BytesIO()
    if ending == ".xlsx":
        problems = write_xlsx(out, {"answer": (columns, rows)})
        return out.getvalue(), problems
    write_csv(out, columns, rows, guard=guard, separator="\t" if ending == ".tsv" else ",")
    return out.getvalue(), ()


CellValue: TypeAlias = "str | int | float | None"
TableShape = Literal["", "wide", "long"]
"""How a table is cut: as the answer has it, a row a thing, or a row a value."""


@dataclass(frozen=True, slots=True)
class TableKeys:
    """What the rows of a table are about.

    `things`: the columns that say what a row of the wide table stands for. `spread`: the columns that tell the rows of one
    thing apart, whose values head the columns of the wide table; without any, the rows of a thing are numbered. `left_out`:
    columns that say the same of every row with one `spread`, and are no values. `wide`: every thing has one row already.
    """

    things: tuple[str, ...]
    spread: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    wide: bool = False


def shaped(
    columns: Sequence[str], rows: Iterator[Sequence[CellValue]], keys: TableKeys, shape: TableShape
) -> tuple[Sequence[str], Iterator[Sequence[CellValue]]]:
    """The table in another shape.

    >>> keys = TableKeys(("child",), ("measure",))
    >>> rows = [("M12", "pcc", 27, 60), ("M12", "pvc", 20, 30)]
    >>> columns, wide = shaped(("child", "measure", "hits", "out_of"), iter(rows), keys, "wide")
    >>> columns, list(wide)
    (['child', 'pcc_hits', 'pcc_out_of', 'pvc_hits', 'pvc_out_of'], [('M12', 27, 60, 20, 30)])
    >>> columns, long = shaped(("child", "measure", "hits", "out_of"), iter(rows), keys, "long")
    >>> columns, next(long)
    (('child', 'measure', 'column', 'value'), ('M12', 'pcc', 'hits', 27))
    """
    if shape not in get_args(TableShape):
        raise ValueError(f"shape: '', 'wide' or 'long', not {shape!r}")
    if shape == "long":
        return _long(columns, rows, keys)
    if shape == "wide" and not keys.wide:
        return _wide(columns, rows, keys)
    return columns, rows


def _places(columns: Sequence[str], names: Sequence[str]) -> list[int]:
    return [columns.index(name) for name in names]


def _long(
    columns: Sequence[str], rows: Iterator[Sequence[CellValue]], keys: TableKeys
) -> tuple[Sequence[str], Iterator[Sequence[CellValue]]]:
    heads = (*keys.things, *keys.spread)
    at = _places(columns, heads)
    values = [place for place, name in enumerate(columns) if name not in heads and name not in keys.left_out]
    each = ((*(row[i] for i in at), columns[place], row[place]) for row in rows for place in values)
    return (*heads, "column", "value"), each


def _wide(
    columns: Sequence[str], rows: Iterator[Sequence[CellValue]], keys: TableKeys
) -> tuple[Sequence[str], Iterator[Sequence[CellValue]]]:
    at, apart = _places(columns, keys.things), _places(columns, keys.spread)
    values = [
        (place, name)
        for place, name in enumerate(columns)
        if name not in keys.things and name not in keys.spread and name not in keys.left_out
    ]
    things: dict[tuple[CellValue, ...], dict[str, Sequence[CellValue]]] = {}
    heads: dict[str, None] = {}
    for row in rows:
        said = things.setdefault(tuple(row[i] for i in at), {})
        name = "_".join(_head(columns[i], row[i]) for i in apart)
        number = 1
        head = name or f"row_{number}"
        while head in said:  # the same once more: it keeps columns of its own
            number += 1
            head = f"{name or 'row'}_{number}"
        said[head] = row
        heads[head] = None
    several = len(values) > 1
    names = [*keys.things, *(f"{head}_{name}" if several else head for head in heads for _, name in values)]
    none: Sequence[CellValue] = [None] * len(columns)
    spread = (
        (*thing, *(said.get(head, none)[place] for head in heads for place, _ in values))
        for thing, said in things.items()
    )
    return names, spread


def _head(column: str, value: CellValue) -> str:
    """The head of the columns of one value: a text speaks for itself, a number and nothing stand behind the column's name."""
    if isinstance(value, str) and value:
        return "_".join(value.split())
    return f"{column}_{value if value not in (None, '') else 'none'}"


def columns_of_one_kind(names: Sequence[str], rows: Iterable[Sequence[CellValue]]) -> dict[str, list[CellValue]]:
    """Columns by name, each of one kind, as data frames want them: whole numbers beside others become floats, numbers
    beside texts become texts."""
    columns = [list(column) for column in zip(*rows)] or [[] for _ in names]
    return dict(zip(names, map(_alike, columns), strict=True))


def _alike(values: list[CellValue]) -> list[CellValue]:
    kinds = {type(value) for value in values if value is not None}
    if kinds == {int, float}:
        return [None if value is None else float(value) for value in values]
    if len(kinds) > 1:
        return [None if value is None else str(value) for value in values]
    return values


def write_text(path: Path, text: str, force: bool = False) -> tuple[Problem, ...]:
    """Write a text as UTF-8; over an existing file only with `force`, for somebody may have edited it."""
    return write_bytes(path, text.encode(), force)


def write_bytes(path: Path, data: bytes, force: bool = False) -> tuple[Problem, ...]:
    """Write bytes to a file, whole or not at all; over an existing file only with `force`. Problems: why it was not written."""
    if not force and path.exists():
        return (Problem("file.exists", "this file is there already", "choose another name", str(path)),)
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.write_bytes(data)
        draft.replace(path)
    except OSError as error:
        draft.unlink(missing_ok=True)
        return (Problem("file.write", f"cannot write: {error.strerror}", "choose another place", str(path)),)
    return ()


MOST_SHOWN = 60
"""Rows of a table that a notebook shows."""


def html_table(columns: Sequence[str], rows: Iterable[Sequence[CellValue]], note: str = "") -> str:
    """A table for a notebook, "" without rows. What is the same in all rows stands above it once, what is empty in all is left
    out, and so are rows beyond the first, and it says so. `note`: to be read with it."""
    from html import escape
    from itertools import islice

    found = [["" if cell is None else str(cell) for cell in row] for row in islice(rows, MOST_SHOWN + 1)]
    if not found:
        return ""
    shown = found[:MOST_SHOWN]
    same = [len(shown) > 1 and len({row[at] for row in shown}) == 1 for at in range(len(columns))]
    once = " · ".join(f"{name}: {shown[0][at]}" for at, name in enumerate(columns) if same[at] and shown[0][at])
    kept = [at for at in range(len(columns)) if not same[at] and any(row[at] for row in shown)]
    head = "".join(f"<th>{escape(columns[at])}</th>" for at in kept)
    body = "".join("<tr>" + "".join(f"<td>{escape(row[at])}</td>" for at in kept) + "</tr>" for row in shown)
    if len(found) > MOST_SHOWN:
        note = f"{note} The first {MOST_SHOWN} rows; to_frame() has all.".strip()
    caption = f"<caption>{escape(once)}</caption>" if once else ""
    after = f"<p>{escape(note)}</p>" if note else ""
    return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>{after}"
