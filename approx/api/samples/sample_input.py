"""A sample as the public functions take it: a file, pairs, or any data frame; adult forms looked up where they are missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from io import IOBase
from os import PathLike, fspath
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from approx.samples.files.table import Table, open_table, table_of_columns
from approx.samples.files.workbook import cell_text
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from narwhals import Series
    from narwhals.typing import IntoFrame

    from approx.problems import Problem
    from approx.samples.rows.reader import Bounds
    from approx.samples.rows.sample import SampleTokens
    from approx.samples.token import PairCounts, Sample, Token

FormPairs: TypeAlias = "Iterable[tuple[str | None, str | None]]"
"""(adult form, what the child said), each in IPA; None for what was not said or is not known."""
SampleSource: TypeAlias = "str | PathLike[str] | FormPairs | IntoFrame | Table"
"""A file (CSV, TSV, XLSX; "-" is standard input), pairs, or a data frame that narwhals knows: pandas, polars, pyarrow, DuckDB."""
BY = ("child", "session_date")
"""Columns that tell the groups of a sample apart where no others are asked for."""
PAIR_COLUMNS = ("target_ipa", "produced_ipa")
LanguageGroup = tuple[tuple[str, ...], str]
"""The values of the columns by which tokens are grouped, and their language."""
LabelledTokens: TypeAlias = "list[tuple[dict[str, str], list[Token]]]"


def table_from(source: SampleSource) -> Table:
    """The rows of a source, ready to be gone through once. TypeError for what is no sample."""
    if isinstance(source, Table):
        return source
    if isinstance(source, (str, PathLike)):
        name = fspath(source)
        return open_table(name if name == "-" else Path(name))
    if isinstance(source, (list, tuple)):
        return table_of_columns(PAIR_COLUMNS, _columns_of_pairs(source))
    import narwhals

    names, native = _named_columns(source)
    frame = narwhals.from_native(native, pass_through=True)
    if isinstance(frame, narwhals.LazyFrame):
        frame = frame.collect()
    if isinstance(frame, narwhals.DataFrame):
        header = list(map(str, names or frame.columns))
        return table_of_columns(header, [_cells(column) for column in frame.iter_columns()])
    if isinstance(source, Iterable) and not isinstance(source, (Mapping, IOBase)):
        return table_of_columns(PAIR_COLUMNS, _columns_of_pairs(list(source)))
    raise TypeError(f"{_SAMPLE}, not {type(source).__name__}")


_SAMPLE = "a sample is the path of a file, an iterable of (target, produced) pairs, or a data frame"


def _named_columns(source: Any) -> tuple[list[str], Any]:  # noqa: ANN401 - whatever frame a program has
    """A frame with nothing in it that narwhals would drop or refuse: a named index of pandas is a column, as after `groupby`
    or `set_index("child")`; where two columns have one name they are numbered, and their names stand apart, as in a file."""
    from narwhals.dependencies import is_pandas_like_dataframe

    if not is_pandas_like_dataframe(source):
        return [], source
    levels = [name for name in source.index.names if name is not None and name not in source.columns]
    whole = source.reset_index(level=levels) if levels else source
    if whole.columns.is_unique:
        return [], whole
    return list(whole.columns), whole.set_axis(range(whole.shape[1]), axis=1)


def _columns_of_pairs(pairs: Sequence[Any]) -> list[list[str]]:
    for number, pair in enumerate(pairs, 1):
        if not isinstance(pair, (tuple, list)) or len(pair) != 2:  # what is in it is a child's, and is not shown
            if isinstance(pair, Mapping):
                raise TypeError(
                    f"{_SAMPLE}: item {number} is a dict, not a pair; make a data frame of dictionaries first"
                )
            raise TypeError(f"{_SAMPLE}: item {number} is a {type(pair).__name__}, not a pair")
    return [[cell_text(pair[side]) for pair in pairs] for side in (0, 1)]


def _cells(column: Series[Any]) -> list[str]:
    """A column of a data frame as the cells of a table; what is missing is an empty cell."""
    values: list[Any] = column.to_list()
    if set(map(type, values)) <= {str}:
        return values
    texts: dict[Any, str] = {}
    out = []
    for value in values:
        if type(value) is str:
            out.append(value)
        elif isinstance(value, Hashable):
            text = texts.get(value)
            out.append(text if text is not None else texts.setdefault(value, cell_text(value)))
        else:  # a list or the like, as nested data have them: no column of ours, but kept as it is
            out.append(cell_text(value))
    return out


def columns_of(by: str | Iterable[str]) -> tuple[str, ...]:
    """Columns to group by, each once; one text may name several separated by commas."""
    names = by.split(",") if isinstance(by, str) else by
    return tuple(dict.fromkeys(name.strip() for name in names if name.strip()))


def look_up(word: str, language: str) -> str | None:
    """The first reading of a gloss, from the lexicon; None if it has none."""
    from approx.lexicon import pronunciations

    readings = pronunciations(word, language)
    return readings[0].ipa if readings else None


def read_tokens(source: SampleSource, language: str = "en-US", bounds: Bounds | None = None) -> Sample:
    """Every token of a sample, with all that was typed: some 500 MB for a million rows.

    `bounds`: how far it is read, if not as far as a sample that is counted; that it was not read to its end is a problem.
    """
    from approx.samples.rows.reader import COUNTED_BOUNDS
    from approx.samples.rows.sample import read_sample_table

    return read_sample_table(table_from(source), language, look_up=look_up, bounds=bounds or COUNTED_BOUNDS)


def read_and_keep(source: SampleSource, language: str = "en-US") -> tuple[Sample, Callable[[], Table]]:
    """Every token of the whole sample; and its table with the rows as they were, as often as it is to be gone through again."""
    table, kept = table_from(source), list[list[str]]()
    later = table.rows

    def rows() -> Iterator[list[str]]:
        yield from kept
        for row in later:
            kept.append(row)
            yield row

    table.rows = rows()
    sample = read_tokens(table, language)
    return sample, lambda: replace(table, problems=list(table.problems), rows=rows())


def count_tokens(source: SampleSource, language: str, by: Sequence[str]) -> PairCounts:
    """Distinct pairs of a sample, counted by some columns and by language, context and age."""
    from approx.samples.rows.sample import count_pairs
    from approx.scoring.sample_score import SCORING_COLUMNS

    return count_pairs(table_from(source), (*by, *SCORING_COLUMNS), language, look_up=look_up)


def open_tokens(source: SampleSource, language: str, bounds: Bounds) -> SampleTokens:
    """Every token of a sample, one after the other, none of them held."""
    from approx.samples.rows.sample import SampleTokens, open_reader

    return SampleTokens(open_reader(table_from(source), language, look_up=look_up, bounds=bounds))


def grouped_tokens(sample: Sample, by: Sequence[str]) -> tuple[LabelledTokens, list[Problem]]:
    """Tokens of one language each by the values of some columns, in order of first sight.

    Two languages of one group are never put into one number: they are told apart by a label `language`. Nothing, and a
    problem each, where a column is not there.
    """
    wrong = columns_not_there(by, (*sample.columns, *sample.extra_columns))
    if wrong:
        return [], wrong
    groups: dict[LanguageGroup, list[Token]] = {}
    for token in sample.tokens:
        key = tuple(sample.value(token, name) for name in by)
        groups.setdefault((key, token.language), []).append(token)
    return list(zip(group_labels(groups, by), groups.values())), []


def columns_not_there(by: Iterable[str], there: Sequence[str]) -> list[Problem]:
    """A problem for each column to group by that neither the contract nor the sample has."""
    from approx.problems import Problem
    from approx.samples.token import COLUMNS

    hint = worded("there are: {codes}", codes=enumerated(", ", dict.fromkeys(there)))
    return [
        Problem("use.by", worded("{option} cannot be {value}", option="--by", value=f"'{name}'"), hint, symbol=name)
        for name in by
        if name not in COLUMNS and name not in there
    ]


def group_labels(groups: Iterable[LanguageGroup], by: Sequence[str]) -> list[dict[str, str]]:
    """The labels of each group: its columns, and its language where those of another language have the same."""
    listed = list(groups)
    several = Counter(key for key, _ in listed)
    return [dict(zip(by, key)) | ({"language": tag} if several[key] > 1 else {}) for key, tag in listed]
