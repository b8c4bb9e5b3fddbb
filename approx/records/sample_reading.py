"""A typed table made ready to be kept: its heading found, each row read, the child's code put where a name may stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO

from approx.problems import Problem
from approx.records.refusals import RefusalError, refusal
from approx.records.rows import SampleRow
from approx.scoring.sample import sample_of
from approx.scoring.sample_guard import unguarded
from approx.scoring.sample_headers import lay_out
from approx.scoring.sample_table import Table, open_table, table_of
from approx.scoring.sample_token import Sample

LookUp = Callable[[str, str], str | None]
MOST_ROWS = 50_000


@dataclass(frozen=True, slots=True)
class Manner:
    """How the forms are read; the arguments of `approx.scoring.sample_of`."""

    language: str = "en-US"
    look_up: LookUp | None = None
    notation: str = "ipa"
    day_first: bool | None = None


@dataclass(frozen=True, slots=True)
class ReadTable:
    """Heading and rows as they will be kept, and everything there is to say about them."""

    header: tuple[str, ...]
    rows: tuple[SampleRow, ...]
    date: str
    remarks: tuple[Problem, ...]


def typed_file(data: bytes, file: str, sheet: str | None = None) -> tuple[Table, list[list[str]]]:
    """The table in a file and its rows without the apostrophes that guard them. Refused where it cannot be read."""
    table = open_table(BytesIO(data), sheet, file)
    rows = [list(row) for row in table.rows]
    fatal = [problem for problem in table.problems if problem.fatal]
    if fatal:
        raise RefusalError(*fatal)
    if table.unclosed:
        places = ", ".join(str(row) for row in sorted(table.unclosed)[:9])
        message = f"a quotation mark is opened and not closed (row {places})"
        raise refusal("quotation", message, "close it, or write it twice inside a cell", '"')
    if table.guarded:
        table.header = [unguarded(cell) for cell in table.header]
        rows = [[unguarded(cell) for cell in row] for row in rows]
    return table, rows


def read_typed(
    header: Sequence[object], rows: Sequence[Sequence[object]], code: str, manner: Manner, file: str = ""
) -> ReadTable:
    """Read a typed table. Problems of single rows are remarks: what was typed is kept, right or wrong.

    Refused without a column of productions, with nothing in it, or with rows of several children.
    """
    table = table_of([str(cell) for cell in header], rows, file)
    cells = [list(row) for row in table.rows]
    if len(cells) > MOST_ROWS:
        raise refusal("long", f"more than {MOST_ROWS:,} rows", "enter it in parts")
    layout = lay_out(table.header, cells[:200], file)
    remarks = list(_above(table))
    if "child" in layout.at:
        remarks += _own_code(cells, layout.at["child"], code)
    sample = sample_of(
        table.header, cells, manner.language, look_up=manner.look_up, notation=manner.notation,
        day_first=manner.day_first, file=file,
    )  # fmt: skip
    if "produced_ipa" not in layout.at or not (sample.tokens or sample.refused):
        raise RefusalError(*sample.problems or (Problem("sample.empty", "no row holds anything", "type the words"),))
    dates = [token.session_date for token in sample.tokens if token.session_date]
    return ReadTable(
        tuple(table.header), tuple(_rows(cells, sample)), min(dates, default=""), (*remarks, *sample.problems)
    )


def _above(table: Table) -> tuple[Problem, ...]:
    if not table.above:
        return ()
    message = f"{table.above} rows above the heading are not kept"
    return (Problem("sample.above", message, "rows are counted from the heading", fatal=False),)


def _own_code(cells: list[list[str]], place: int, code: str) -> list[Problem]:
    """The code of the child in the column that names the child, whatever name stood there; rows of one child only."""
    named = [row for row in cells if len(row) > place and row[place].strip()]
    others = {row[place].strip().casefold() for row in named}
    if len(others) > 1:
        hint = "enter the rows of each child with that child"
        raise refusal("several_children", f"the rows are of {len(others)} children", hint)
    if others <= {code.casefold()}:
        return []
    for row in named:
        row[place] = code
    message = f"the column of the child now says {code} in all {len(named)} rows"
    return [Problem("records.code_put", message, "codes in place of names", fatal=False)]


def _rows(cells: list[list[str]], sample: Sample) -> list[SampleRow]:
    """Each typed row with what was read of it; attempts of one cell stand together."""
    read: dict[int, tuple[list[str], list[str], list[str]]] = {}
    for token in sample.tokens:
        targets, produced, kinds = read.setdefault(token.row, ([], [], []))
        targets.append(token.target.ipa if token.target else "")
        produced.append(token.produced.ipa if token.produced else "")
        kinds.append(token.kind)
    refused = frozenset(sample.refused)
    out = []
    for number, row in enumerate(cells, 2):
        targets, produced, kinds = read.get(number, ([], [], []))
        kind = " / ".join(dict.fromkeys(kinds)) or ("refused" if number in refused else "blank")
        target = " / ".join(dict.fromkeys(filter(None, targets)))
        out.append(SampleRow(number, tuple(row), target, " / ".join(produced), kind))
    return out
