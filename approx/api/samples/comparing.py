"""Two samples of one child, then and now, under the same rules."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from approx.api.options import accents_named, checked_age, language_problem, page_tag, text_problems
from approx.api.result import OnProblem, Result, TableRows, fatal, joined_problems
from approx.api.samples.evidence import age_of
from approx.api.samples.processes import Processes, processes
from approx.api.samples.sample_input import SampleSource, read_and_keep
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from approx.practice.compare_samples import ComparedSamples
    from approx.processes.explain.sample_processes import GroupProcesses
    from approx.reports.document import Document
    from approx.samples.token import Sample, Token


@dataclass(frozen=True)
class SampleComparison(Result):
    """Measures, words and processes of both samples side by side; `found` is None where there are no two to compare."""

    problems: tuple[Problem, ...] = ()
    found: ComparedSamples | None = None
    age: str = ""
    """Of the child at the later sample, where its tokens tell it."""

    table_keys: ClassVar[TableKeys] = TableKeys(("child",), ("kind", "name"))

    def to_dict(self) -> dict[str, Any]:
        """What `approx report --json` prints."""
        from approx.reports.tables.comparison import comparison_json

        if self.found is None:
            return {"problems": [problem.as_json() for problem in self.problems]}
        return comparison_json(self.found, self.problems)

    def to_table(self) -> TableRows:
        """A row a measure or process, then and now."""
        from approx.reports.tables.comparison import COMPARISON_COLUMNS, comparison_rows

        return COMPARISON_COLUMNS, comparison_rows(self.found) if self.found else ()

    def document(self, language: str = "en", age: str = "") -> Document | None:
        """The report as a document; None where there is nothing to compare. `language`: of the page, en or es, with a region
        or that of the samples. `age`: of the child now, for the title; "" for what the sample tells."""
        from approx.reports.documents.comparison_document import comparison_document
        from approx.reports.regions import with_region

        language, age = page_tag(language), checked_age(age)
        if self.found is None:
            return None
        tag = with_region(language, self.found.now.language)
        return comparison_document(self.found, tag, age or self.age)

    def lines(self, language: str = "en") -> list[str]:
        """The report as text."""
        from approx.reports.documents.documents import document_lines

        document = self.document(language)
        return document_lines(document) if document else []


def compare(
    then: SampleSource,
    now: SampleSource,
    *,
    child: str = "",
    accents: str | Iterable[str] = (),
    language: str = "en-US",
    on_problem: OnProblem = "keep",
) -> SampleComparison:
    """Two samples of one child, scored by the same rules: measures with n and intervals, processes in counts, shared words.

    Args:
        then: the earlier sample, as in `score`; its last session, if it has several.
        now: the later sample; its last session. The same sample may be given twice: its first session is then compared
            with its last.
        child: the child's code, if the samples have several children.
        accents: dialects or accents (files of `rules/accents/`) whose forms count as correct.
        language: language tag of rows that do not name one.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> found = approx.compare("samples/m12.csv", "samples/m12_later.csv").found
    >>> found.then.date < found.now.date, found.measures[0].name
    (True, 'pcc')
    """
    names, refused_accents = accents_named(accents)
    wrong = [*language_problem(language), *refused_accents, *text_problems(child=child)]
    if wrong:
        return SampleComparison(tuple(wrong)).kept(on_problem)
    same = then is now or (isinstance(then, str) and then == now)
    read = [read_and_keep(source, language or "en-US") for source in ([then] if same else [then, now])]
    said = joined_problems(*(sample.problems for sample, _ in read))
    picked, problem = _picked([sample for sample, _ in read], child)
    if picked is None:
        # of a file that could not be read it is no news that nothing is in it
        told = [problem] if problem and not (problem.code == "report.none" and fatal(said)) else []
        return SampleComparison(joined_problems(said, told)).kept(on_problem)
    from approx.practice.compare_samples import SessionTokens, compare_tokens

    explained = [processes(again(), language=language or "en-US", accents=names) for _, again in read]
    first, last = (
        SessionTokens(tokens, _processes_of(tokens, each))
        for tokens, each in zip(picked, (explained[0], explained[-1]), strict=True)
    )
    found, more = compare_tokens(first, last, explained[-1].signature, names)
    problems = joined_problems(said, *(each.problems for each in explained), more, found.problems)
    return SampleComparison(problems, found, age_of(last.tokens)).kept(on_problem)


def _processes_of(tokens: Sequence[Token], explained: Processes) -> GroupProcesses:
    """The processes of the group that some tokens of one child and session are."""
    from approx.processes.explain.sample_processes import GroupProcesses

    one = tokens[0]
    labels = {"child": one.child, "session_date": one.session_date}
    mine = (
        group for group in explained.groups if group.language == one.language and labels.items() <= group.labels.items()
    )
    return next(mine, GroupProcesses(labels, one.language))


def _picked(samples: Sequence[Sample], child: str) -> tuple[tuple[list[Token], list[Token]] | None, Problem | None]:
    """The tokens then and now: of one child, one session each; or why there are none."""
    groups: list[dict[tuple[str, str], list[Token]]] = []
    for sample in samples:
        found: dict[tuple[str, str], list[Token]] = {}
        for token in sample.tokens:
            if not child or token.child == child:
                found.setdefault((token.child, token.session_date), []).append(token)
        groups.append(dict(sorted(found.items(), key=lambda item: item[0][1])))
    first, last = groups[0], groups[-1]
    codes = dict.fromkeys(token.child for sample in samples for token in sample.tokens)
    if child and codes and child not in codes:
        message = worded("{option} cannot be {value}", option="--child", value=f"'{child}'")
        return None, Problem(
            "use.child", message, worded("there are: {codes}", codes=enumerated(", ", codes)), symbol=child
        )
    if not first or not last:
        code = f" of child '{child}'" if child else ""
        return None, Problem(
            "report.none", worded("no tokens{code} in one of the files", code=code), "check the files and the code"
        )
    children = {key[0] for found in groups for key in found}
    if len(children) > 1 and not child:
        hint = "say which: --child " + " or ".join(sorted(name or "(none)" for name in children))
        return None, Problem("report.child", "the files hold more than one child", hint)
    if len(groups) == 1 and len(first) < 2:
        return None, Problem("report.one", "one file with one session", "give two files, or a file with two dates")
    return (list(first.values())[0 if len(groups) == 1 else -1], list(last.values())[-1]), None
