"""A sample read from any format and given out in another: its rows under the usual headings, forms as they were typed."""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from approx.api.options import language_problem
from approx.api.result import OnProblem, Result, TableRows
from approx.api.samples.sample_input import SampleSource, read_tokens
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.samples.token import Sample


@dataclass(frozen=True)
class SampleRows(Result):
    """The rows of a sample; `sample` is None where an option was refused. Refused rows stand in `problems` alone."""

    is_table: ClassVar[bool] = True
    table_keys: ClassVar[TableKeys] = TableKeys(("child", "session_date", "target_word"), wide=True)
    problems: tuple[Problem, ...] = ()
    sample: Sample | None = None

    def to_dict(self) -> dict[str, Any]:
        """What `approx convert --json` prints."""
        columns, rows = self.to_table()
        said = [problem.as_json() for problem in self.problems]
        return {
            "columns": list(columns),
            "rows": [dict(zip(columns, row, strict=True)) for row in rows],
            "problems": said,
        }

    def to_table(self) -> TableRows:
        """A row a row that was read, under the usual headings, other columns after them."""
        from approx.samples.files.write import sample_table
        from approx.samples.token import COLUMNS

        return sample_table(self.sample) if self.sample else (COLUMNS, ())

    def lines(self) -> list[str]:
        """The rows of `to_table`, headings first, with tabs between the cells."""
        columns, rows = self.to_table()
        return ["\t".join("" if cell is None else str(cell) for cell in row) for row in (columns, *rows)]

    def write_cldf(self, folder: str | PathLike[str]) -> tuple[Problem, ...]:
        """Write the sample as a CLDF word list into a folder; needs pycldf. Problems: what is not in it, or why nothing is."""
        from approx.samples.files.write import write_cldf

        if self.sample is None:
            return ()
        try:
            return write_cldf(Path(folder), self.sample)
        except ImportError as error:
            hint = "pip install 'approx-speech[cldf]'"
            return (
                Problem("file.library", worded("CLDF needs the package {name}", name=error.name), hint, str(folder)),
            )
        except OSError as error:
            return (
                Problem(
                    "file.write",
                    worded("cannot write: {strerror}", strerror=error.strerror),
                    "choose another place",
                    str(folder),
                ),
            )


def convert(sample: SampleSource, *, language: str = "en-US", on_problem: OnProblem = "keep") -> SampleRows:
    """A sample from any format, to be given out in another: `.write("sample.parquet")`, `.write_cldf("folder")`, `.to_frame()`.

    Args: as of `score`.

    >>> rows = convert("samples/m12.csv")
    >>> columns, cells = rows.to_table()
    >>> len(list(cells)), columns[:2]
    (25, ('child', 'session_date'))
    """
    wrong = language_problem(language)
    if wrong:
        return SampleRows(tuple(wrong)).kept(on_problem)
    read = read_tokens(sample, language or "en-US")
    return SampleRows(read.problems, read).kept(on_problem)
