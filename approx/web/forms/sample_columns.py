"""A pasted or uploaded table looked at before it is kept: its cells, what each column seems to hold, rows that stand twice."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO, StringIO

from approx.problems import Problem
from approx.records.database.rows import Refused, StoredSample
from approx.samples.columns.headers import lay_out, recognised
from approx.samples.token import COLUMNS
from approx.wording import worded

LEAVE_OUT, KEEP = "", "kept"
"""What a column can be besides one of the contract: left out, or kept under its own name."""

CHOICES = ("target_word", "target_ipa", "produced_ipa", "session_date", "context", "attempt", "cue", "note", "transcriber",
           "language", "age", "child")  # fmt: skip
"""Meanings a column can be given, those of every sample first."""

_NUMBERED = re.compile(r"^\s*\d+\s*[.)]\s+")
_MARKED = re.compile(
    r"^\s*(?P<word>[^/\[\]]+?)\s*[:=-]?\s*(?:/(?P<target>[^/]+)/)?\s*[:=→>-]*\s*\[(?P<said>[^\]]*)\]\s*$"
)
_SIGNS = ("\t", ";", "|", ",")
_BETWEEN = (r"\s*→\s*", r"\s*=>?\s*", r"\s*>\s*", r"\s*:\s+", r"\s+[-–—]\s+", r"\s{2,}", r"\s+")
_DATE = re.compile(r"^\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}$")
_SAME_SAMPLE = 0.8


@dataclass(frozen=True, slots=True)
class LookedAt:
    """All rows as cells, whether the first is a heading, and the meaning that each column seems to have."""

    rows: tuple[tuple[str, ...], ...]
    headed: bool
    columns: tuple[str, ...]

    def as_text(self) -> str:
        """The cells with tabs between, as they travel in the page."""
        out = StringIO()
        csv.writer(out, delimiter="\t", lineterminator="\n").writerows(self.rows)
        return out.getvalue()


def cells_of(text: str) -> list[list[str]]:
    r"""Lines as cells, by the separator that most lines agree on; numbers before the words are taken off.

    >>> cells_of("1. spoon: pun\n2. cup: tʌp")
    [['spoon', 'pun'], ['cup', 'tʌp']]
    """
    lines = [line for line in text.replace("\ufeff", "").splitlines() if line.strip()]
    for sign in _SIGNS:
        rows = [row for row in csv.reader(StringIO("\n".join(lines)), delimiter=sign) if any(c.strip() for c in row)]
        if _agree(rows):
            return [[cell.strip() for cell in row] for row in rows]
    bare = [_NUMBERED.sub("", line).strip() for line in lines]
    marked = [_MARKED.match(line) for line in bare]
    if sum(found is not None for found in marked) >= _SAME_SAMPLE * len(lines):
        return [
            [found["word"], found["target"] or "", found["said"]] if found else [line]
            for found, line in zip(marked, bare)
        ]
    for pattern in _BETWEEN:
        rows = [re.split(pattern, line) for line in bare]
        if _agree(rows):
            return rows
    return [[line] for line in bare]


def file_cells(data: bytes, name: str) -> list[list[str]] | Refused:
    """The cells of an uploaded file, its heading first; refused with what is wrong with it."""
    from approx.samples.files.table import open_table
    from approx.samples.files.write import unguarded

    table = open_table(BytesIO(data), None, name)
    fatal = tuple(problem for problem in table.problems if problem.fatal)
    if fatal:
        return Refused(fatal)
    rows = [list(table.header), *(list(row) for row in table.rows)]
    return [[unguarded(cell) for cell in row] for row in rows]


def looked_at(cells: Sequence[Sequence[str]]) -> LookedAt:
    """What the cells seem to be; an empty table has no columns."""
    width = max((len(row) for row in cells), default=0)
    rows = tuple(tuple(row) + ("",) * (width - len(row)) for row in cells)
    if not rows:
        return LookedAt((), False, ())
    headed = recognised(rows[0]) > 0 and len(rows) > 1
    body = rows[1:] if headed else rows
    return LookedAt(rows, headed, _by_heading(rows) if headed else _by_content(body))


def chosen_columns(
    rows: Sequence[Sequence[str]], headed: bool, columns: Sequence[str]
) -> tuple[list[str], list[list[str]]] | Refused:
    """Heading and rows for the meanings that were chosen; refused without what the child said, or with one chosen twice."""
    names = list(rows[0]) if headed and rows else []
    twice = [name for name in dict.fromkeys(columns) if name in COLUMNS and columns.count(name) > 1]
    problems = [
        Problem("sample.column", worded("two columns are called '{name}'", name=name), "choose another meaning for one")
        for name in twice
    ]
    if "produced_ipa" not in columns:
        problems.append(
            Problem("sample.column", "no column says what the child said", "choose it in the list above that column")
        )
    if problems:
        return Refused(tuple(problems))
    at = [place for place, name in enumerate(columns) if name != LEAVE_OUT]
    header = [
        columns[place] if columns[place] != KEEP else (names[place] if place < len(names) else f"column {place + 1}")
        for place in at
    ]
    body = rows[1:] if headed else rows
    return header, [[row[place] if place < len(row) else "" for place in at] for row in body]


def same_rows(header: Sequence[str], rows: Sequence[Sequence[str]], stored: StoredSample) -> bool:
    """True where nearly all rows stand in a kept sample already."""
    kept = [frozenset(cell.strip() for cell in row if cell.strip()) for row in stored.cells()]
    wanted = [place for place, name in enumerate(header) if name in ("target_word", "target_ipa", "produced_ipa")]
    mine = [frozenset(row[place].strip() for place in wanted if row[place].strip()) for row in rows]
    mine = [row for row in mine if row]
    return bool(mine) and sum(any(row <= other for other in kept) for row in mine) >= _SAME_SAMPLE * len(mine)


def _agree(rows: Sequence[Sequence[str]]) -> bool:
    """True where most rows have one and the same number of cells, more than one."""
    counts = [len(row) for row in rows]
    most = max(set(counts), key=counts.count, default=0)
    return most > 1 and counts.count(most) >= _SAME_SAMPLE * len(counts)


def _by_heading(rows: Sequence[Sequence[str]]) -> tuple[str, ...]:
    at = {place: name for name, place in lay_out(rows[0], rows[1:200], "").at.items()}
    return tuple(at.get(place, KEEP if name.strip() else LEAVE_OUT) for place, name in enumerate(rows[0]))


def _by_content(rows: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """By what the cells look like: dates, running numbers, words in plain letters, and forms: the last are the child's."""
    columns = list(zip(*rows))
    kinds = [_kind(column) for column in columns]
    out = [{"date": "session_date"}.get(kind, LEAVE_OUT) for kind in kinds]
    texts = [place for place, kind in enumerate(kinds) if kind in ("word", "form")]
    if not texts:
        return tuple(out)
    forms = [place for place in texts if kinds[place] == "form"]
    said = forms[-1] if forms else texts[-1]
    out[said] = "produced_ipa"
    left = [place for place in texts if place != said]
    words = [place for place in left if kinds[place] == "word"]
    if words:
        out[words[0]] = "target_word"
    target = next((place for place in left if kinds[place] == "form" and out[place] == LEAVE_OUT), None)
    if target is not None:
        out[target] = "target_ipa"
    for place in words[1:]:
        out[place] = "note"
    return tuple(out)


def _kind(cells: Sequence[str]) -> str:
    filled = [cell.strip() for cell in cells if cell.strip()]
    if not filled:
        return "empty"
    if all(_DATE.match(cell) for cell in filled):
        return "date"
    if all(cell.isdecimal() for cell in filled):
        return "number"
    marked = sum(not cell.isascii() or cell[0] in "/[" for cell in filled)
    return "form" if marked >= len(filled) / 3 else "word"
