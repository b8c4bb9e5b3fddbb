"""The commands that look at what a child said: samples, pairs of forms, probes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from approx.cli import options
from approx.cli.options import NUMBER, PATH, OptionValue, answers, argument, flag, option, several
from approx.cli.output import (
    AnswerFormat,
    ProgressBar,
    finish,
    opened_table,
    page_problems,
    print_lines,
    refuse,
    show,
    with_force,
    write_document,
)
from approx.problems import Problem, exit_code


@click.command()
@argument("target", "Adult form in IPA.")
@argument("produced", "What the child said, in IPA.")
@options.form_language
@options.accent
@options.notation
@options.lost_r
@options.rules
@answers
def explain(target: str, produced: str, accent: tuple[str, ...], form: AnswerFormat, **given: OptionValue) -> None:
    """The processes that lead from an adult form to what the child said."""
    from approx.api.samples.pairs import explain as ask

    found = ask(target, produced, accents=accent, **given)
    show(found, form)
    finish(found.problems, form)


@click.command()
@argument("target", "Adult form in IPA.")
@argument("produced", "What the child said, in IPA.")
@options.form_language
@options.notation
@answers
def align(target: str, produced: str, form: AnswerFormat, **given: OptionValue) -> None:
    """Match each sound of a production with a sound of its target."""
    from approx.api.samples.pairs import align as ask

    found = ask(target, produced, **given)
    show(found, form)
    finish(found.problems, form)


@click.command()
@options.sample
@options.language
@options.by("child,session_date")
@flag("--tokens", "One line per token.")
@flag("--no-words", "Counts only, without the words and tokens behind them.")
@option("--lost-sounds", default="count", help="Whether omitted sounds count as opportunities: count or drop.")
@option(
    "--weak-syllables", default="all", help='Weak syllables counted as opportunities: all, or "pretonic and medial".'
)
@option(
    "--least-opportunities",
    old="--least-chances",
    type=NUMBER,
    default=4,
    help="Minimum opportunities before a process is judged.",
)
@option("--active-percent", type=NUMBER, default=20.0, help="A process is active from this percentage.")
@option("--frequent-percent", type=NUMBER, default=40.0, help="A process is frequent from this percentage.")
@option("--criterion", default="percent", help="Judge processes by percent or by instances.")
@option("--instances", type=NUMBER, default=5, help="Number of instances needed with --criterion instances.")
@options.lost_r
@options.accent
@options.rules
@options.page
@options.paper
@options.language_of_page
@options.child_age
@answers
def processes(
    file: str,
    tokens: bool,
    no_words: bool,
    accent: tuple[str, ...],
    page: Path | None,
    paper: str,
    page_language: str,
    child: Path | None,
    form: AnswerFormat,
    **given: OptionValue,
) -> None:
    """Processes in a sample: occurrences, opportunities and words."""
    from approx.api.samples.processes import processes as ask

    refuse(page_problems(page, paper, page_language, option="page_language"), form)
    age, own, problems = _of_child(child)
    bar = ProgressBar("")
    found = ask(opened_table(file), accents=(*accent, *own), on_progress=bar, word_lists=not no_words, **given)
    bar.clear()
    show(found, form, lambda: found.each_line(tokens))
    document = found.document(page_language, age) if page is not None else None
    if page is not None and document is not None:
        problems += write_document(page, document, paper)
    finish([*found.problems, *problems], form)


def _of_child(child: Path | None) -> tuple[str, tuple[str, ...], list[Problem]]:
    """The age and the accents in a child's file, and what is wrong with the file."""
    if child is None:
        return "", (), []
    from approx.api.practice.children import read_child

    known = read_child(child)
    if known.profile is None:
        return "", (), [*known.problems]
    return known.profile.age or "", known.profile.accent, [*known.problems]


@click.command()
@options.sample
@options.language
@options.by("child,session_date")
@options.accent
@several("--set", "A measure option: name=value.", "settings")
@answers
@flag("--sounds", "Write the table of sounds by position and their substitutes instead.")
@option("--xlsx", type=PATH, default=None, help="Also write scores and sample to a workbook.")
@options.page
@options.paper
@options.language_of_page
@options.child_age
def score(
    file: str,
    language: str,
    by: str,
    accent: tuple[str, ...],
    settings: tuple[str, ...],
    form: AnswerFormat,
    sounds: bool,
    xlsx: Path | None,
    page: Path | None,
    paper: str,
    page_language: str,
    child: Path | None,
) -> None:
    """Every measure per child and session, with n and interval; what was left out and why."""
    from approx.api.options import read_settings
    from approx.api.samples.scores import score as ask

    changes, wrong = read_settings(settings)
    if sounds and not form.table:
        wrong.append(Problem("use.sounds", "--sounds chooses a table", "add --csv; text and --json have it anyway"))
    refuse([*wrong, *page_problems(page, paper, page_language, option="page_language")], form)
    # two of the options have names of their own on the command line: either way of giving them is right
    changes["age"], own, problems = _of_child(child)
    accent, language = (*accent, *own, *changes.pop("accents", ())), changes.pop("language", language)
    bar = ProgressBar("")
    beside = page is not None or xlsx is not None
    found = ask(
        opened_table(file), by=by, language=language, accents=accent, evidence=beside, on_progress=bar, **changes
    )
    bar.clear()
    if xlsx is not None and found.groups:
        problems += _workbook(xlsx, found.tables())
    document = found.document(page_language) if page is not None else None
    if page is not None and document is not None:
        problems += write_document(page, document, paper)
    show(found.sounds() if sounds else found, form)
    finish([*found.problems, *problems], form)


def _workbook(path: Path, tables: dict[str, Any]) -> list[Problem]:
    """The workbook, written whole; what kept it from being written."""
    from io import BytesIO

    from approx.api.write_table import write_bytes
    from approx.samples.files.write import write_xlsx

    book = BytesIO()
    problems = [*write_xlsx(book, tables)]
    return problems + [*write_bytes(path, book.getvalue(), force=True)] if book.getvalue() else problems


@click.command()
@options.sample
@options.language
@options.by("child,session_date")
@options.accent
@options.page
@options.paper
@options.language_of_page
@options.child_age
def evaluation(
    file: str,
    language: str,
    by: str,
    accent: tuple[str, ...],
    page: Path | None,
    paper: str,
    page_language: str,
    child: Path | None,
) -> None:
    """The speech sound section of an evaluation report: counts, and blanks for the clinician to fill in."""
    from approx.api.samples.scores import score as ask
    from approx.reports.documents.documents import document_lines, joined_documents

    refuse(page_problems(page, paper, page_language, option="page_language"))
    age, own, problems = _of_child(child)
    found = ask(opened_table(file), by=by, language=language, accents=(*accent, *own), age=age, evidence=True)
    sections = found.evaluations(page_language)
    if sections:
        document = joined_documents(sections)
        if page is None:
            print_lines(document_lines(document))
        else:
            problems += write_document(page, document, paper)
    finish([*found.problems, *problems])


@click.command()
@argument("one", "One transcriber's sample.")
@argument("other", "The other transcriber's sample.")
@options.language
@answers
def agree(one: str, other: str, language: str, form: AnswerFormat) -> None:
    """Agreement between two transcribers, with the list of differences."""
    from approx.api.samples.agreement import agree as ask

    found = ask(one, other, language=language)
    show(found, form)
    finish(found.problems, form)


@click.command()
@options.sample
@options.language
@options.by("child")
@option("--criterion", default="", help="When a sound counts as in the inventory: see rules/inventory.toml.")
@option("--write", type=PATH, default=None, help="Write a child file from the inventory.")
@flag("--force", "Overwrite an existing file.")
@answers
def inventory(file: str, write: Path | None, force: bool, form: AnswerFormat, **given: OptionValue) -> None:
    """Sounds by position with numbers of tokens and words; clusters, vowels, shapes."""
    import sys

    from approx.api.samples.inventories import inventory as ask

    found = ask(opened_table(file), **given)
    show(found, form)
    problems = [*found.problems]
    if write is not None and found.groups:
        faults = with_force(found.to_child(write, force=force))
        problems += faults
        if not faults:
            which = f" from {found.written_from}" if found.written_from else ""
            print(f"{write}: written{which}; check it line by line, then `approx child show {write}`", file=sys.stderr)
    finish(problems, form)


@click.command()
@argument("file", "A sample to learn from.")
@argument("words", 'Words separated by commas, or a file of them (one word or phrase per line, or CSV); "-" is stdin.')
@option("--language", default="", help="Language tag, if it is not the sample's.")
@options.accent
@option("--top", type=NUMBER, default=5, help="Number of forms to list per word.")
@option("--probe", type=NUMBER, default=5, help="Number of words most worth probing next.")
@options.rules
@answers
def predict(file: str, words: str, accent: tuple[str, ...], form: AnswerFormat, **given: OptionValue) -> None:
    """How this child will likely say new words, with probabilities."""
    from approx.api.samples.predicting import predict as ask

    found = ask(file, words, accents=accent, **given)
    show(found, form)
    finish(found.problems, form)


@click.command()
@argument("file", 'Probes (CSV, TSV, XLSX); "-" is stdin.')
@option("--child", "-c", default="", help="Only this child's code.")
@several("--measure", "Only this set or measure.", "measures")
@several("--treated", "When treatment of a set began: set=session or set=phase.")
@option("--percent", type=NUMBER, default=None, help="Criterion for moving up: percent correct.")
@option("--sessions", type=NUMBER, default=None, help="Number of consecutive sessions.")
@answers
@options.page
@options.paper
@options.age
@option("--svg", type=PATH, default=None, help="Also write the chart.")
@options.page_language
def progress(
    file: str,
    treated: tuple[str, ...],
    form: AnswerFormat,
    page: Path | None,
    paper: str,
    age: str,
    svg: Path | None,
    language: str,
    **given: OptionValue,
) -> None:
    """Probes over time: phases, medians, overlap figures, whether a stated criterion is met."""
    from approx.api.samples.probes import progress as ask
    from approx.api.samples.probes import treated_from

    starts, wrong = treated_from(treated)
    refuse([*wrong, *page_problems(page, paper, language, age)], form)
    found = ask(file, treated=starts, **given)
    show(found, form, lambda: found.lines(language))
    problems = [*found.problems]
    if svg is not None:
        problems += _charts(svg, found.charts(language))
    document = found.document(language, age) if page is not None else None
    if page is not None and document is not None:
        problems += write_document(page, document, paper)
    finish(problems, form)


def _charts(path: Path, charts: list[str]) -> list[Problem]:
    """A file a child and measure: the name itself for one, with a number behind it for several."""
    from approx.api.write_table import write_text

    problems: list[Problem] = []
    for number, chart in enumerate(charts, 1):
        place = path if len(charts) == 1 else path.with_name(f"{path.stem}-{number}{path.suffix}")
        problems += write_text(place, chart, force=True)
    if len(charts) > 1 and not problems:
        first, last = f"{path.stem}-1{path.suffix}", f"{path.stem}-{len(charts)}{path.suffix}"
        problems.append(Problem("progress.charts", f"{len(charts)} charts, in {first} to {last}", fatal=False))
    return problems


@click.command()
@argument("then", "The earlier sample.")
@argument("now", "The later sample; may be the same file with two dates.")
@option("--child", "-c", default="", help="The child's code, if there are several.")
@options.accent
@answers
@options.page
@options.paper
@options.age
@options.page_language
@option("--sample-language", default="en-US", help="Language of rows that do not name one.")
def report(
    then: str,
    now: str,
    child: str,
    accent: tuple[str, ...],
    form: AnswerFormat,
    page: Path | None,
    paper: str,
    age: str,
    language: str,
    sample_language: str,
) -> None:
    """Compare two samples scored by the same rules: measures with n and intervals, processes, in counts."""
    from approx.api.samples.comparing import compare

    refuse(page_problems(page, paper, language, age), form)
    found = compare(then, now, child=child, accents=accent, language=sample_language)
    show(found, form, lambda: found.lines(language))
    problems = [*found.problems]
    document = found.document(language, age) if page is not None and not exit_code(problems) else None
    if page is not None and document is not None:
        problems += write_document(page, document, paper)
    finish(problems, form)


@click.command()
@options.sample
@options.language
@option("--cldf", type=PATH, default=None, help="Write a CLDF word list to this folder (needs pycldf).")
@option("--xlsx", type=PATH, default=None, help="Write a workbook.")
@answers
def convert(file: str, language: str, cldf: Path | None, xlsx: Path | None, form: AnswerFormat) -> None:
    """Convert a sample to another format: the usual headings, forms as typed."""
    from approx.api.samples.converting import convert as ask

    if xlsx is not None and xlsx.suffix.casefold() != ".xlsx":
        refuse([Problem("use.ending", f"'{xlsx.name}' is not what --xlsx writes", "end the name in .xlsx")], form)
    found = ask(opened_table(file), language=language)
    problems = [*found.problems]
    if xlsx is not None:
        problems += found.write(xlsx)
    if cldf is not None:
        problems += found.write_cldf(cldf)
    if not form.text or (xlsx is None and cldf is None):
        show(found, form)
    finish(problems, form)


@click.command()
@argument("file", 'Goals (CSV, TSV, XLSX), one row per goal with its parts in columns; "-" is stdin.')
@option("--child", "-c", default="", help="Only this child's code.")
@options.page_language
@options.page
@options.paper
@answers
def goals(file: str, child: str, language: str, page: Path | None, paper: str, form: AnswerFormat) -> None:
    """Goals as measurable sentences; a missing part stays a gap in square brackets.

    Columns, in any order: child, target, form, setting, help, percent, trials, sessions, due, measured_by, right, out_of,
    level_date.
    """
    from approx.api.samples.goals import goals as ask

    refuse(page_problems(page, paper, language), form)
    found = ask(file, child=child, language=language)
    show(found, form)
    problems = [*found.problems]
    document = found.document() if page is not None and not exit_code(problems) else None
    if page is not None and document is not None:
        problems += write_document(page, document, paper)
    finish(problems, form)
