"""How a command answers and where things go: as text, JSON, CSV, JSON Lines or Parquet; data on stdout, problems on stderr, files
in one piece; how problems end the command, and how far a long run is.
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from approx.problems import BAD_DATA, WRONG_USE, Problem, exit_code

if TYPE_CHECKING:
    from approx.api.result import Result
    from approx.api.write_table import TableShape
    from approx.reports.document import Document
    from approx.reports.text.drawn import Part
    from approx.samples.files.table import Table


@dataclass(frozen=True, slots=True)
class AnswerFormat:
    """What was asked for. `plain`: CSV for programs. `allowed`: problems of the data that do not end in exit code 1.
    `problems`: the file that problems are written to as well."""

    json: bool = False
    csv: bool = False
    lines: bool = False
    parquet: Path | None = None
    plain: bool = False
    shape: TableShape = ""
    allowed: int = 0
    problems: Path | None = None

    @property
    def text(self) -> bool:
        """True where a person reads the answer."""
        return not (self.json or self.csv or self.lines or self.parquet)

    @property
    def table(self) -> bool:
        """True where the answer is the rows of a table."""
        return self.csv or self.lines or self.parquet is not None

    def code(self, problems: Iterable[Problem]) -> int:
        """The exit code: 0 too where there are no more problems than are allowed."""
        listed = list(problems)
        code = exit_code(listed)
        return 0 if code == BAD_DATA and sum(problem.fatal for problem in listed) <= self.allowed else code


def format_problems(form: AnswerFormat, two_shapes: bool) -> Iterable[Problem]:
    """What contradicts itself, and names of files that are not what is written to them."""
    asked = [name for name, on in (("--json", form.json), ("--csv", form.csv), ("--jsonl", form.lines)) if on]
    if len(asked) > 1:
        yield Problem("use.format", f"{' and '.join(asked)} are {len(asked)} answers", "choose one")
    if form.plain and not form.csv:
        yield Problem("use.plain", "--plain is a kind of CSV", "add --csv")
    if two_shapes:
        yield Problem("use.shape", "--wide and --long are two tables", "choose one")
    elif form.shape and not form.table:
        yield Problem("use.shape", f"--{form.shape} is the shape of a table", "add --csv, --jsonl or --parquet FILE")
    if form.allowed:
        from approx.api.options import number_problem

        yield from number_problem("answer.allow_problems", form.allowed)
    if form.parquet is not None and form.parquet.suffix.casefold() != ".parquet":
        yield Problem("use.ending", f"'{form.parquet.name}' is not what --parquet writes", "end the name in .parquet")
    if form.problems is not None:
        from approx.api.write_table import ending_problem

        yield from ending_problem(form.problems)


def print_json(data: object) -> None:
    """One JSON document, IPA as it is."""
    print(json.dumps(data, ensure_ascii=False, indent=1))


def print_problems(problems: Iterable[Problem]) -> None:
    """A line each, in order."""
    for problem in problems:
        print(problem, file=sys.stderr)


def print_lines(lines: Iterable[str]) -> None:
    """Lines of text; nothing where there is none."""
    sys.stdout.writelines(f"{line}\n" for line in lines)


def draw(parts: Iterable[Part]) -> None:
    """Lines, and tables cut to the width of the terminal."""
    import shutil

    from approx.reports.text.drawn import drawn

    print_lines(drawn(parts, shutil.get_terminal_size().columns))


def is_terminal() -> bool:
    """True where a person looks at the answer, so that tables may be drawn."""
    return sys.stdout.isatty()


def end(code: int) -> None:
    """The command is over, with this exit code."""
    raise click.exceptions.Exit(code)


def refuse(problems: Sequence[Problem], form: AnswerFormat | None = None) -> None:
    """Wrong use: a line each, in the file that was named for them too, and nothing is done. Without problems, nothing happens."""
    if problems:
        print_problems(_written_too(tuple(problems), form))
        end(WRONG_USE)


def _written_too(problems: tuple[Problem, ...], form: AnswerFormat | None) -> tuple[Problem, ...]:
    """Problems, written into the file that was named for them, if one was, with what kept it from being written."""
    from approx.api.write_table import ending_problem

    if form is None or form.problems is None or ending_problem(form.problems):
        return problems
    from approx.api.result import ProblemList

    return problems + ProblemList(problems).write(form.problems)


def show(answer: Result, form: AnswerFormat, lines: Callable[[], Iterable[str]] | None = None) -> None:
    """Data on stdout, as was asked for; nothing where an option was refused.

    `lines`: makes the text of the terminal, where it is not that of `answer.lines()`.
    """
    if exit_code(answer.problems) == WRONG_USE:
        return
    if form.parquet is not None:
        refuse(answer.write(form.parquet, shape=form.shape), form)
    with _for_a_reader():
        if form.json:
            answer.write_json(sys.stdout)
        elif form.csv:
            from approx.samples.files.write import write_csv

            sys.stdout.flush()
            write_csv(sys.stdout.buffer, *answer.table(form.shape), guard=not form.plain)
        elif form.lines:
            from approx.samples.files.write import write_json_lines

            write_json_lines(sys.stdout, *answer.table(form.shape))
        elif form.text:
            print_lines(answer.lines() if lines is None else lines())


@contextmanager
def _for_a_reader() -> Iterator[None]:
    """Data for a reader that may leave (head, less): the rest is dropped, problems and exit code stay as they would be."""
    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - it lives as long as the process


def finish(problems: Iterable[Problem], form: AnswerFormat | None = None) -> None:
    """Problems on stderr, in the file that was named for them, and the exit code that goes with them."""
    told = tuple(dict.fromkeys(problems))
    with _for_a_reader():
        pass
    told = _written_too(told, form)
    print_problems(told)
    end(form.code(told) if form is not None else exit_code(told))


def page_problems(
    path: Path | None, paper: str = "", language: str = "en", age: str = "", option: str = "language"
) -> list[Problem]:
    """What is wrong with a page's name, paper or language, or the age on it, before any work is done.

    `option`: that for the language.
    """
    from approx.api.options import age_problem, page_language_problem, paper_problem

    wrong = page_language_problem(language, option) if language != "en" else []
    if path is not None:
        from approx.reports.documents.documents import FORMATS

        if path.suffix.casefold() not in FORMATS:
            wrong.append(Problem("use.page", f"'{path.name}' is no page", "end the name in " + " or ".join(FORMATS)))
    return [*wrong, *(paper_problem(paper) if paper else ()), *age_problem(age)]


def with_force(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems of writing a file, as a command says them that has the option --force."""
    return tuple(
        replace(problem, hint="choose another name, or add --force") if problem.code == "file.exists" else problem
        for problem in problems
    )


def write_document(path: Path, document: Document, paper: str = "") -> tuple[Problem, ...]:
    """Write the file whole or not at all, in the format that its name asks for."""
    from approx.api.write_table import write_bytes
    from approx.reports.documents.documents import printed

    try:
        content = printed(document, path.suffix, paper)
    except ImportError as error:
        hint = "install approx again: it brings this package along"
        return (Problem("page.library", f"a library for {path.suffix} is not there ({error.name})", hint, str(path)),)
    return write_bytes(path, content, force=True)


STEP = 20_000
"""Rows between two moves of the line; a file of fewer shows none."""
_WIDTH, _BLOCK = 30, 1 << 20


class ProgressBar:
    """One line on stderr, written over as work goes on. Nothing is written unless stderr is a terminal."""

    def __init__(self, what: str, total: int = 0) -> None:
        self.what, self.total = what, total
        self.shown = 0
        self.wanted = sys.stderr.isatty()

    def __call__(self, what: str, done: int, total: int) -> None:
        """How far it is; as the public functions tell it."""
        self.what, self.total = what, total
        self.move(done)

    def move(self, done: int) -> None:
        """Show how far it is: a bar where the whole is known, else the number alone."""
        if not self.wanted:
            return
        text = f"{done:,} {self.what}"
        if self.total:
            share = min(1.0, done / self.total)
            full = round(share * _WIDTH)
            text = f"[{'#' * full}{'-' * (_WIDTH - full)}] {share:4.0%}  {done:,} of {self.total:,} {self.what}"
        print("\r" + text.ljust(self.shown), end="", file=sys.stderr, flush=True)
        self.shown = len(text)

    def clear(self) -> None:
        """Take the line away."""
        if self.shown:
            print("\r" + " " * self.shown + "\r", end="", file=sys.stderr, flush=True)
            self.shown = 0


def opened_table(file: str) -> Table:
    """FILE ("-" is stdin) as a table; where a person waits at a terminal its rows are counted as they are read."""
    from approx.api.samples.sample_input import table_from

    table = table_from(file)
    bar = ProgressBar("rows read")
    if bar.wanted:
        bar.total = _rows(Path(file)) if file != "-" else 0
        table.rows = _watched(table.rows, bar)
    return table


def _watched(rows: Iterator[list[str]], bar: ProgressBar) -> Iterator[list[str]]:
    for number, row in enumerate(rows):
        if number and not number % STEP:
            bar.move(number)
        yield row
    bar.clear()


def _rows(path: Path) -> int:
    """Lines of a text file; 0 where it is none, or cannot be read again."""
    if not path.is_file() or path.suffix.lower() not in (".csv", ".tsv", ".txt"):
        return 0
    with path.open("rb") as stream:
        return sum(block.count(b"\n") for block in iter(lambda: stream.read(_BLOCK), b""))


@contextmanager
def uncollected() -> Iterator[None]:
    """Without the collector of cycles, in this process only and for one command: what a run makes stays until its end or
    refers to no cycle, and searching it again and again takes a third of the time, once at the end a tenth."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.freeze()
            gc.enable()
