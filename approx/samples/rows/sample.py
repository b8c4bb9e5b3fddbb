"""A transcribed sample from a sheet: every row a token, or left out, refused or blank with a line that says so.

`read_sample` holds all tokens; `count_pairs` holds none of them and takes a million rows; `SampleReader` is the pass
that both go through.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from operator import itemgetter
from pathlib import Path
from typing import IO

from approx.problems import Problem
from approx.samples.files.table import Table, open_table, table_of
from approx.samples.rows.pairs import LookUp
from approx.samples.rows.reader import COUNTED_BOUNDS, Bounds, SampleReader
from approx.samples.token import COLUMNS, COUNTED, CellChange, Pair, PairCounts, Sample, Token, TokenKind, token_cell
from approx.wording import worded

__all__ = [
    "COLUMNS", "COUNTED", "CellChange", "TokenKind", "LookUp", "Pair", "PairCounts", "Sample", "SampleReader", "SampleTokens", "Token",
    "count_pairs", "grouped_rows", "open_reader", "read_sample", "sample_of",
]  # fmt: skip

_LABELS = ("child", "session_date", "context", "transcriber", "cue", "note")

Source = Path | IO[bytes] | str
MOST_GROUPS, FEW_ROWS, MOST_SILENT = 15_000, 20, 300_000
"""Groups beyond which a file is not read on if they have fewer than so many rows each; rows without an answer beyond which
it is not, if most are such."""

GroupKey = tuple[str, ...]
"""The values of the columns by which rows are grouped."""


def open_reader(
    source: Source | Table,
    language: str = "en-US",
    *,
    look_up: LookUp | None = None,
    notation: str = "ipa",
    day_first: bool | None = None,
    sheet: str | None = None,
    file: str = "",
    bounds: Bounds = COUNTED_BOUNDS,
) -> SampleReader:
    """One pass over a source, not yet begun. The arguments are those of `read_sample`; `bounds`: how far it is read."""
    table = source if isinstance(source, Table) else open_table(_source(source), sheet, file)
    return SampleReader(table, language, look_up, notation, day_first, bounds)


def read_sample(
    source: Source,
    language: str = "en-US",
    *,
    look_up: LookUp | None = None,
    notation: str = "ipa",
    day_first: bool | None = None,
    sheet: str | None = None,
    file: str = "",
) -> Sample:
    """A sample from a path, a binary stream, or "-" for standard input: CSV, TSV or XLSX.

    language: tag of rows without a language of their own. look_up: (word, language) -> IPA, asked where `target_ipa`
    is empty. notation: "ipa" or "x-sampa". day_first: how to read 03/04/2026, which is refused without it.
    sheet: name of a sheet in a workbook. file: name used in problems. Nothing in the data raises an error.
    """
    return _collect(
        open_reader(source, language, look_up=look_up, notation=notation, day_first=day_first, sheet=sheet, file=file)
    )


def read_sample_table(
    table: Table, language: str = "en-US", *, look_up: LookUp | None = None, bounds: Bounds = COUNTED_BOUNDS
) -> Sample:
    """A sample from a table that is open already; the arguments as of `open_reader`."""
    return _collect(SampleReader(table, language, look_up, bounds=bounds))


def sample_of(
    header: Sequence[str],
    rows: Iterable[Sequence[object]],
    language: str = "en-US",
    *,
    look_up: LookUp | None = None,
    notation: str = "ipa",
    day_first: bool | None = None,
    file: str = "",
    bounds: Bounds = COUNTED_BOUNDS,
) -> Sample:
    """A sample from rows in memory, such as those of a data frame; numbers, dates and None are cells too."""
    return _collect(SampleReader(table_of(header, rows, file), language, look_up, notation, day_first, bounds))


def grouped_rows(reader: SampleReader, by: Sequence[str]) -> Iterator[tuple[int, GroupKey, tuple[Pair, ...]]]:
    """Each row's number, the values of its `by` columns, and the pairs of its attempts; nothing is held.

    A `by` column that the file lacks is "" in every row where the contract has it; else it is refused, and no row is read. Of the columns
    beside the forms, only those of `by` are read. The reader is finished when the rows are.
    """
    groups = _Groups(reader, by)
    for row, group, pairs in groups:
        yield row, group.name, pairs
    groups.finish()


@dataclass(slots=True)
class _Group:
    """Rows that agree, as typed, in the columns of a grouping, with the cells of the first of them."""

    name: GroupKey
    cells: Sequence[str]
    rows: int = 0
    counts: dict[Pair, int] = field(default_factory=dict)


class _Groups:
    """The groups of a sample by some columns; several that were typed differently may have one name."""

    def __init__(self, reader: SampleReader, by: Sequence[str]) -> None:
        self.reader, self.by = reader, tuple(by)
        layout, self._refused = reader.layout, False
        for column in by:
            if column not in COLUMNS and column not in layout.extra:
                self._refused = True
                there = ", ".join((*layout.at, *layout.extra))
                message = worded("{option} cannot be {value}", option="--by", value=f"'{column}'")
                reader.log.wrong(Problem("use.by", message, worded("there are: {codes}", codes=there), symbol=column))
        places = [layout.at.get(column, layout.extra.get(column, -1)) for column in by]
        found = [place for place in places if place >= 0]
        self._key: Callable[[Sequence[str]], object] = itemgetter(*found) if found else lambda cells: ""
        self._seen: dict[object, _Group] = {}

    def __iter__(self) -> Iterator[tuple[int, _Group, tuple[Pair, ...]]]:
        """Each row of the reader with its group, and the pairs of its attempts; none where a column is refused."""
        if self._refused:
            return
        key, seen = self._key, self._seen
        for row, cells, pairs in self.reader:
            group = seen.get(key(cells)) or self._new(row, cells, pairs)
            group.rows += 1
            yield row, group, pairs

    def _new(self, row: int, cells: Sequence[str], pairs: tuple[Pair, ...]) -> _Group:
        value = self.reader.labels.value
        own = (pairs[0].language if column == "language" else value(column, cells, row) for column in self.by)
        group = self._seen[self._key(cells)] = _Group(tuple(own), cells)
        if len(self._seen) > MOST_GROUPS and row < FEW_ROWS * len(self._seen):
            what = " and ".join(self.by)
            why = worded(
                "more than {groups} groups by {what}, with few rows each", groups=f"{MOST_GROUPS:,}", what=what
            )
            self.reader.stop(row, why, "group by fewer columns, or split the file")
        return group

    def finish(self) -> Iterable[_Group]:
        """All groups in order of first sight; the reader's log is complete then."""
        for group in self._seen.values():
            for column in self.by:
                self.reader.labels.used(column, group.cells, group.rows - 1)
        self.reader.finish()
        return self._seen.values()


def count_pairs(
    source: Source | Table,
    by: Sequence[str] = ("child", "session_date"),
    language: str = "en-US",
    *,
    look_up: LookUp | None = None,
    notation: str = "ipa",
    day_first: bool | None = None,
    sheet: str | None = None,
    file: str = "",
) -> PairCounts:
    """How often each pair of adult form and production occurs, in each group of rows that agree in the `by` columns.

    Memory grows with the distinct pairs in each group, not with the rows. Columns: see `grouped_rows`.
    """
    table = source if isinstance(source, Table) else open_table(_source(source), sheet, file)
    reader = SampleReader(table, language, look_up, notation, day_first)
    found = _Groups(reader, by)
    left_out: dict[GroupKey, list[tuple[int, str]]] = {}
    silent = 0
    for row, group, pairs in found:
        counts = group.counts
        for pair in pairs:
            counts[pair] = counts.get(pair, 0) + 1
            if pair.reason:
                left_out.setdefault(group.name, []).append((row, pair.reason))
                silent += 1
                if silent > MOST_SILENT and 5 * silent > 4 * row:
                    why = worded("more than {rows} rows are ignored", rows=f"{MOST_SILENT:,}")
                    reader.stop(row, why, "is it a sample?")
    groups: dict[GroupKey, dict[Pair, int]] = {}
    for group in found.finish():
        counts = groups.setdefault(group.name, group.counts)
        if counts is not group.counts:
            for pair, times in group.counts.items():
                counts[pair] = counts.get(pair, 0) + times
    return PairCounts(
        tuple(by), groups, left_out, reader.log.problems(), reader.log.changes(), reader.layout.names,
        reader.rows, reader.blank, tuple(reader.refused),
    )  # fmt: skip


def _source(source: Source) -> Path | IO[bytes] | str:
    return Path(source) if isinstance(source, str) and source != "-" else source


class SampleTokens:
    """The tokens of a source, one after the other: go through it once; none is held here.

    Of the token that came last: `reason`, why it is not counted ("" for one that is), and `extra`, its cells in columns that
    are not of the contract. After the last token the reader's log is complete.
    """

    def __init__(self, reader: SampleReader) -> None:
        self.reader = reader
        self.reason, self.extra = "", tuple[str, ...]()

    def __iter__(self) -> Iterator[Token]:
        reader = self.reader
        layout, value, typed = reader.layout, reader.labels.value, reader.forms.typed
        seen: set[tuple[str, str]] = set()
        for row, cells, pairs in reader:
            typed_target, typed_produced = typed(cells, "target_ipa"), typed(cells, "produced_ipa")
            labels = {column: value(column, cells, row) for column in _LABELS}
            seen.add((labels["child"], labels["session_date"]))
            if len(seen) > MOST_GROUPS and row < FEW_ROWS * len(seen):
                why = worded("more than {groups} children and sessions, with few rows each", groups=f"{MOST_GROUPS:,}")
                reader.stop(row, why, "split the file")
            first, age = int(value("attempt", cells, row) or 1), value("age", cells, row)
            months = int(age) if age else None
            self.extra = tuple([value(column, cells, row) for column in layout.extra])
            for attempt, pair in enumerate(pairs, first):
                self.reason = pair.reason
                yield Token(
                    row=row,
                    target_word=pair.target_word,
                    target=pair.target,
                    produced=pair.produced,
                    typed_target=typed_target,
                    typed_produced=typed_produced,
                    attempt=attempt,
                    language=pair.language,
                    kind=pair.kind,
                    age=months,
                    **labels,
                )
        reader.finish()

    def value(self, token: Token, column: str) -> str:
        """A cell of the token that came last, in any column, as text. KeyError for one that the source lacks."""
        if column in self.reader.layout.extra:
            return self.extra[tuple(self.reader.layout.extra).index(column)]
        return token_cell(token, column)


def _collect(reader: SampleReader) -> Sample:
    said, tokens, left_out = SampleTokens(reader), list[Token](), list[tuple[int, str]]()
    extra: dict[int, tuple[str, ...]] = {}
    for token in said:
        tokens.append(token)
        if said.extra:
            extra[token.row] = said.extra
        if said.reason:
            left_out.append((token.row, said.reason))
    return Sample(
        tuple(tokens), tuple(left_out), reader.log.problems(), reader.log.changes(), reader.layout.names,
        tuple(reader.layout.extra), extra, reader.rows, reader.blank, tuple(reader.refused),
    )  # fmt: skip
