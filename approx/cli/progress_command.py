"""`approx progress`: probes over sessions, phases, untreated words, overlap figures and criteria, as text, data or a page."""

from __future__ import annotations

from pathlib import Path

from approx.cli.output import page_problem, print_json, print_problems, write_document
from approx.problems import BAD_DATA, WRONG_USE, Problem, exit_code
from approx.progress.criteria import ReadyCriterion, all_readiness, ready_with
from approx.progress.phases import Series, panels
from approx.progress.probe_file import Probes, read_probes
from approx.progress.rules import progress_signature
from approx.reports.document import ProgressFacts


def run(
    file: str,
    child: str,
    measures: list[str],
    treated: list[str],
    percent: float | None,
    sessions: int | None,
    as_json: bool,
    as_csv: bool,
    page: Path | None,
    svg: Path | None,
    language: str,
) -> int:
    """Read FILE and answer. `measures` keeps panels of these sets or measures; `treated` is `set=session` or `set=phase`."""
    starts, problems = _starts(treated)
    criterion, wrong = _criterion(percent, sessions)
    problems += wrong
    problems += page_problem(page)
    if problems:
        print_problems(problems)
        return WRONG_USE
    found = read_probes(file, treated=starts)
    problems = list(found.problems)
    asked = _asked(found, child, measures, problems)
    if as_csv and asked and not as_json:
        import sys

        from approx.reports.tables.progress import PROGRESS_COLUMNS, progress_rows
        from approx.samples.files.write import write_csv

        every = [series for mine in asked.values() for series in mine]
        write_csv(sys.stdout.buffer, PROGRESS_COLUMNS, progress_rows(every, progress_signature()))
    children: list[ProgressFacts] = []
    if page is not None or svg is not None or as_json or not as_csv:
        children = [_facts(code, mine, criterion) for code, mine in asked.items()]
    if as_json:
        from approx.reports.tables.progress import progress_json

        print_json(progress_json(children, problems, found.changes, progress_signature()))
    elif children and not as_csv:
        _print(children, found, language)
    if children and svg is not None:
        problems += _charts(svg, children, language)
    if children and page is not None:
        problems += _page(page, children, language)
    print_problems(problems)
    return exit_code(problems) if asked else BAD_DATA


def _print(children: list[ProgressFacts], found: Probes, language: str) -> None:
    from approx.reports.text.progress import progress_lines

    print("\n".join(line for facts in children for line in progress_lines(facts, language)))
    for change in found.changes:
        what = f"read '{change.typed}' as '{change.read}'" if change.read else f"'{change.typed}'"
        print(f"{what}: {change.why}, {change.times} times, first in row {change.row}")


def _starts(treated: list[str]) -> tuple[dict[str, str], list[Problem]]:
    starts: dict[str, str] = {}
    problems = []
    for text in treated:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            hint = "set=session, set=phase or set=no: --treated 'set 2=13'"
            problems.append(Problem("use.treated", f"--treated '{text}' names no set and start", hint))
        starts[name] = value
    return starts, problems


def _criterion(percent: float | None, sessions: int | None) -> tuple[ReadyCriterion, list[Problem]]:
    try:
        return ready_with(percent, sessions), []
    except ValueError as error:
        return ready_with(), [Problem("use.criterion", "the criterion is out of range", str(error))]


def _asked(found: Probes, child: str, measures: list[str], problems: list[Problem]) -> dict[str, list[Series]]:
    """The series that are asked for, by child. A child or measure that is not there is a problem that says what there is."""
    series = [each for each in found.series if each.points]
    codes = dict.fromkeys(each.child for each in series)
    if child and series and child not in codes:
        problems.append(Problem("use.child", f"no child '{child}'", f"there are: {', '.join(codes)}", symbol=child))
    wanted = {name.casefold() for name in measures}
    known = {name.casefold() for each in series for name in (each.name, each.measure)}
    for name in measures:
        if series and name.casefold() not in known:
            there = ", ".join(dict.fromkeys(each.name for each in series))
            problems.append(Problem("use.measure", f"no set or measure '{name}'", f"sets: {there}", symbol=name))
    out: dict[str, list[Series]] = {}
    for each in series:
        if (not child or each.child == child) and (each.untreated or _wanted(each, wanted)):
            out.setdefault(each.child, []).append(each)
    return {code: mine for code, mine in out.items() if any(_wanted(each, wanted) for each in mine)}


def _wanted(series: Series, wanted: set[str]) -> bool:
    return not wanted or series.name.casefold() in wanted or series.measure.casefold() in wanted


def _facts(code: str, mine: list[Series], criterion: ReadyCriterion) -> ProgressFacts:
    return ProgressFacts(code, panels(mine), all_readiness(mine, criterion), signature=progress_signature())


def _charts(path: Path, children: list[ProgressFacts], language: str) -> list[Problem]:
    """A file a panel: the name itself for one, with a number behind it for several."""
    from approx.cli.output import replace_file
    from approx.reports.charts.progress_chart import chart_svg

    every = [panel for facts in children for panel in facts.panels]
    problems = []
    for number, panel in enumerate(every, 1):
        place = path if len(every) == 1 else path.with_name(f"{path.stem}-{number}{path.suffix}")
        problem = replace_file(place, chart_svg(panel, "light", language))
        if problem:
            problems.append(problem)
    if len(every) > 1 and not problems:
        first, last = f"{path.stem}-1{path.suffix}", f"{path.stem}-{len(every)}{path.suffix}"
        problems.append(Problem("progress.charts", f"{len(every)} charts, in {first} to {last}", fatal=False))
    return problems


def _page(path: Path, children: list[ProgressFacts], language: str) -> list[Problem]:
    """One document of all children that were asked for."""
    from approx.reports.documents.documents import joined
    from approx.reports.text.progress import progress_document

    return write_document(path, joined([progress_document(facts, language) for facts in children]))
