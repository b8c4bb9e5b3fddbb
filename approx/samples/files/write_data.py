"""Rows out for other programs: JSON Lines, and Parquet by pyarrow (extra `parquet`)."""

from __future__ import annotations

import io
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import IO

from approx.samples.files.write import Rows, Value


def write_json_lines(out: IO[str], header: Sequence[str], rows: Rows) -> None:
    """One object a line, a key a column; texts and numbers as they are, null for nothing. Raises OSError."""
    text = json.JSONEncoder(ensure_ascii=False).encode
    for row in rows:
        out.write(text(dict(zip(header, row, strict=True))) + "\n")


def parquet_bytes(columns: Mapping[str, Sequence[Value]]) -> bytes:
    """A Parquet file of columns by name, each of one kind. ImportError where pyarrow is not installed."""
    import pyarrow
    from pyarrow import parquet

    # a column without a single value would have no kind, which few readers take
    arrays = {
        name: pyarrow.array(values, type=None if any(value is not None for value in values) else pyarrow.string())
        for name, values in columns.items()
    }
    out = io.BytesIO()
    parquet.write_table(pyarrow.table(arrays), out)
    return out.getvalue()


def json_lines_text(header: Sequence[str], rows: Iterable[Sequence[Value]]) -> str:
    """The text that `write_json_lines` writes."""
    out = io.StringIO()
    write_json_lines(out, header, rows)
    return out.getvalue()
