"""Probes over time: phases, overlap figures, and whether a stated criterion is met."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, cast

from approx.api.options import checked_age, list_problems, number_problem, page_tag, refused, text_problems
from approx.api.result import OnProblem, Result, TableRows, joined_problems
from approx.api.samples.sample_input import SampleSource, table_from
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from approx.progress.criteria import ReadyCriterion, RungStep
    from approx.progress.phases import Series
    from approx.progress.probe_file import Probes
    from approx.reports.document import Document, ProgressFacts
    from approx.samples.token import CellChange


@dataclass(frozen=True)
class ProgressReport(Result):
    """Panels and criteria of each child. `changes`: what was read otherwise than typed."""

    problems: tuple[Problem, ...] = ()
    children: tuple[ProgressFacts, ...] = ()
    signature: str = ""
    changes: tuple[CellChange, ...] = ()
    series: tuple[Series, ...] = ()

    table_keys: ClassVar[TableKeys] = TableKeys(
        ("child", "measure", "word_set", "untreated", "treated_from", "signature"), ("session",)
    )

    def to_dict(self) -> dict[str, Any]:
        """What `approx progress --json` prints."""
        from approx.reports.tables.progress import progress_json

        return progress_json(self.children, self.problems, self.changes, self.signature)

    def to_table(self) -> TableRows:
        """A row a probe."""
        from approx.reports.tables.progress import PROGRESS_COLUMNS, progress_rows

        return PROGRESS_COLUMNS, progress_rows(self.series, self.signature)

    def lines(self, language: str = "en") -> list[str]:
        """The tables and criteria of each child as text."""
        from approx.reports.text.progress import change_line, progress_lines

        language = page_tag(language)
        lines = [line for facts in self.children for line in progress_lines(facts, language)]
        return [*lines, *map(change_line, self.changes)] if lines else []

    def document(self, language: str = "en", age: str = "") -> Document | None:
        """One document of all children; None where there is none. `language`: of the page, en or es, with or without a region.
        `age`: of the child, as "4;5", where there is one."""
        from dataclasses import replace

        from approx.reports.documents.documents import joined_documents as bound
        from approx.reports.text.progress import progress_document

        language, age = page_tag(language), checked_age(age)
        alone = age if len(self.children) == 1 else ""
        found = [progress_document(replace(facts, age=facts.age or alone), language) for facts in self.children]
        return bound(found) if found else None

    def charts(self, language: str = "en") -> list[str]:
        """The charts as SVG: one a child and measure, its sets as panels under each other."""
        from approx.reports.charts.progress_chart import stacked_svg
        from approx.reports.text.progress import stacks

        language = page_tag(language)
        return [stacked_svg(stack, "light", language) for facts in self.children for stack in stacks(facts.panels)]


def progress(
    probes: SampleSource | Sequence[Series],
    *,
    child: str = "",
    measures: str | Iterable[str] = (),
    treated: Mapping[str, str | int] | None = None,
    percent: float | None = None,
    sessions: int | None = None,
    forms: Iterable[RungStep] = (),
    latest_session: int | None = None,
    on_problem: OnProblem = "keep",
) -> ProgressReport:
    """Probes over time: phases, medians, overlap figures, and whether a stated criterion is met.

    Args:
        probes: a file or a data frame of probes, or a list of `Series`.
        child: only this child's code.
        measures: only these sets or measures.
        treated: for each set the session or phase in which its treatment began, or "no" if it is not treated:
            {"set 2": 13}.
        percent: criterion for moving up: percent correct.
        sessions: criterion for moving up: number of consecutive sessions at that percentage.
        forms: the forms aimed at (`RungStep`), each from a session on, if the probes are of one child.
        latest_session: the session up to which the last of these forms is counted; None for that of the last probe.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> report = approx.progress("samples/probes.csv")
    >>> report.children[0].panels[0].series[0].name
    'set 1'
    """
    from approx.progress.criteria import ready_with
    from approx.progress.rules import progress_signature

    steps, strange = _forms_of(forms)
    wrong = [
        *strange,
        *([] if percent is None else number_problem("progress.percent", percent)),
        *([] if sessions is None else number_problem("progress.sessions", sessions)),
        *([] if latest_session is None else number_problem("latest_session", latest_session, _SESSIONS)),
    ]
    wrong += [*text_problems(child=child), *list_problems(measures=measures), *_treated_problem(treated)]
    if wrong:
        return ProgressReport(tuple(wrong)).kept(on_problem)
    starts = {name: str(start) for name, start in (treated or {}).items()}
    found = _probes_of(probes, starts)
    names = [measures] if isinstance(measures, str) else list(measures)
    asked, unknown = _asked(found, child, names)
    mark = progress_signature()
    children = tuple(_facts(code, mine, ready_with(percent, sessions)) for code, mine in asked.items())
    series = tuple(one for mine in asked.values() for one in mine)
    if steps and len(children) > 1:
        hint = worded("there are: {codes}", codes=enumerated(", ", asked))
        unknown.append(Problem("use.forms", "the files hold more than one child", hint))
    elif steps:
        children = (_with_forms(children[0] if children else None, child, steps, series, latest_session),)
    none = [] if children or unknown or any(p.fatal for p in found.problems) else [_NONE]
    return ProgressReport(joined_problems(found.problems, unknown, none), children, mark, found.changes, series).kept(
        on_problem
    )


def _probes_of(source: SampleSource | Sequence[Series], starts: Mapping[str, str]) -> Probes:
    from approx.progress.phases import Series
    from approx.progress.probe_file import Probes, read_probe_table

    if isinstance(source, (list, tuple)):
        series = tuple(each for each in source if isinstance(each, Series))
        if len(series) == len(source):
            return Probes(series, (), (), (), 0, 0, 0)
    return read_probe_table(table_from(cast("SampleSource", source)), starts)


def _facts(child: str, series: Sequence[Series], criterion: ReadyCriterion) -> ProgressFacts:
    from approx.progress.criteria import all_readiness
    from approx.progress.phases import panels
    from approx.progress.rules import progress_signature
    from approx.reports.document import ProgressFacts

    return ProgressFacts(child, panels(series), all_readiness(series, criterion), signature=progress_signature())


_SESSIONS = 0, 1_000_000


def _forms_of(forms: object) -> tuple[tuple[RungStep, ...], list[Problem]]:
    from approx.progress.criteria import RungStep

    found = tuple(forms) if isinstance(forms, Iterable) and not isinstance(forms, str) else (None,)
    steps = tuple(each for each in found if isinstance(each, RungStep))
    if len(steps) == len(found):
        return steps, []
    return (), [refused("forms", forms, worded("a list of forms, each from a session on"))]


def _with_forms(
    facts: ProgressFacts | None, child: str, steps: Sequence[RungStep], series: Sequence[Series], latest: int | None
) -> ProgressFacts:
    """What is known of the child, with how long each form lasted."""
    from dataclasses import replace

    from approx.progress.criteria import rung_histories
    from approx.progress.rules import progress_signature
    from approx.reports.document import ProgressFacts

    if latest is None:
        latest = max((point.session for each in series for point in each.points), default=0)
    known = facts or ProgressFacts(child, (), signature=progress_signature())
    return replace(known, rungs=rung_histories(steps, latest))


def treated_from(texts: Iterable[str]) -> tuple[dict[str, str], list[Problem]]:
    """`set=session` or `set=phase` texts as `progress` takes them, and those that are none."""
    starts: dict[str, str] = {}
    problems = []
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            hint = "set=session, set=phase or set=no: --treated 'set 2=13'"
            problems.append(
                Problem("use.treated", worded("--treated '{text}' names no set and start", text=text), hint)
            )
        starts[name.strip()] = value.strip()
    return starts, problems


_NONE = Problem("progress.none", "no probe to show", "one row per probe: child, word_set, session, right, out_of")


def _treated_problem(treated: object) -> list[Problem]:
    if treated is None or isinstance(treated, Mapping) and all(isinstance(name, str) for name in treated):
        return []
    return [refused("treated", treated, worded("a session or phase for each set: {example}", example="{'set 2': 13}"))]


def _asked(found: Probes, child: str, measures: list[str]) -> tuple[dict[str, list[Series]], list[Problem]]:
    """The series that are asked for, by child. A child or measure that is not there is a problem that says what there is."""
    problems: list[Problem] = []
    series = [each for each in found.series if each.points]
    codes = dict.fromkeys(each.child for each in series)
    if child and series and child not in codes:
        problems.append(
            Problem(
                "use.child",
                worded("{option} cannot be {value}", option="--child", value=f"'{child}'"),
                worded("there are: {codes}", codes=enumerated(", ", codes)),
                symbol=child,
            )
        )
    wanted = {name.casefold() for name in measures}
    known = {name.casefold() for each in series for name in (each.name, each.measure)}
    for name in measures:
        if series and name.casefold() not in known:
            there = ", ".join(dict.fromkeys(each.name for each in series))
            problems.append(
                Problem(
                    "use.measure",
                    worded("{option} cannot be {value}", option="--measure", value=f"'{name}'"),
                    worded("sets: {there}", there=there),
                    symbol=name,
                )
            )
    out: dict[str, list[Series]] = {}
    for each in series:
        if (not child or each.child == child) and (each.untreated or _wanted(each, wanted)):
            out.setdefault(each.child, []).append(each)
    return {code: mine for code, mine in out.items() if any(_wanted(each, wanted) for each in mine)}, problems


def _wanted(series: Series, wanted: set[str]) -> bool:
    return not wanted or series.name.casefold() in wanted or series.measure.casefold() in wanted
