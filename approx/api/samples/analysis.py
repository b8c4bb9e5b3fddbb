"""One sample looked at from all sides: scores, processes and inventory of each group, as the printed page shows them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Unpack

from approx.api.options import ScoreOptions, age_in_months, language_problem, list_problems, page_tag, score_options
from approx.api.result import OnProblem, Result, TableRows, joined_problems
from approx.api.samples.inventories import inventory_of
from approx.api.samples.processes import processes
from approx.api.samples.sample_input import SampleSource, columns_of, grouped_tokens, read_and_keep
from approx.api.samples.scores import BY, Scores
from approx.problems import Problem

if TYPE_CHECKING:
    from approx.processes.explain.sample_processes import GroupProcesses
    from approx.reports.document import Document
    from approx.reports.documents.sample_blocks import SamplePart
    from approx.samples.files.write import WrittenRows
    from approx.samples.token import Sample, Token
    from approx.scoring.sample_score import GroupScore


@dataclass(frozen=True)
class SampleAnalysis(Result):
    """`scores` as `score` gives them; `parts` with processes and inventory beside; `sample` is None where nothing was read."""

    problems: tuple[Problem, ...] = ()
    scores: Scores = field(default_factory=Scores)
    parts: tuple[SamplePart, ...] = ()
    sample: Sample | None = None

    def to_dict(self) -> dict[str, Any]:
        """What `approx score --json` prints."""
        return self.scores.to_dict()

    def to_table(self) -> TableRows:
        """What `approx score --csv` prints."""
        return self.scores.to_table()

    def lines(self) -> list[str]:
        """What `approx score` prints."""
        return self.scores.lines()

    def document(self, language: str = "en") -> Document | None:
        """The report to print: the answer in counts, then all of it with the evidence. `language`: of the page, en or es, with a
        region or that of the sample. None where there is no sample."""
        from approx.processes.explain.opportunities import default_opportunity_options
        from approx.reports.documents.analysis_document import analysis_document

        language = page_tag(language)
        if not self.parts:
            return None
        changes = self.sample.changes if self.sample else ()
        return analysis_document(self.parts, changes, default_opportunity_options(), self._tag(language))

    def evaluations(self, language: str = "en") -> list[Document]:
        """The section of an evaluation report, one a group. `language`: as of `document`."""
        from approx.processes.explain.opportunities import default_opportunity_options
        from approx.reports.documents.analysis_document import evaluation_document

        language = page_tag(language)
        if not self.parts:
            return []
        options, tag = default_opportunity_options(), self._tag(language)
        return [evaluation_document(part, options, tag) for part in self.parts]

    def _tag(self, language: str) -> str:
        from approx.reports.regions import with_region

        return with_region(language, self.parts[0].inventory.language)

    def tables(self) -> dict[str, tuple[Any, WrittenRows]]:
        """Scores, sounds and sample as the sheets of a workbook."""
        from approx.samples.files.write import sample_table

        tables: dict[str, tuple[Any, WrittenRows]] = {
            "scores": self.scores.to_table(),
            "sounds": self.scores.sounds_table(),
        }
        return tables | ({"sample": sample_table(self.sample)} if self.sample else {})


def analyse(
    sample: SampleSource,
    *,
    by: str | Iterable[str] = BY,
    language: str = "en-US",
    accents: str | Iterable[str] = (),
    age: str = "",
    on_problem: OnProblem = "keep",
    **options: Unpack[ScoreOptions],
) -> SampleAnalysis:
    """Scores as `score` gives them, processes as `processes` does, and the inventory of each group of a sample. Arguments as
    of `score`; all tokens are held.

    >>> found = analyse("samples/m12.csv")
    >>> found.parts[0].score.measures["pcc"].hits, found.document().title
    (27, 'M12: speech sample, March 2, 2026')
    """
    picked, wrong = score_options(accents, options)
    months, unread = age_in_months(age)
    wrong += [*language_problem(language), *list_problems(by=by), *unread]
    if wrong:
        return SampleAnalysis(tuple(wrong), Scores(tuple(wrong))).kept(on_problem)
    from approx.processes.accept.accept import Accents
    from approx.processes.explain.sample_processes import GroupProcesses
    from approx.scoring.judging.options import signature
    from approx.scoring.sample_score import score_group

    columns, tongue = columns_of(by), language or "en-US"
    read, table = read_and_keep(sample, tongue)
    listed, _ = grouped_tokens(read, columns)
    explained = processes(table, by=columns, language=tongue, accents=picked.accents)
    changes = {(*group.labels.values(), group.language): group for group in explained.groups}
    accepted, parts = Accents(picked.accents), []
    for labels, members in listed:
        tag = members[0].language
        found = score_group(labels, members, picked, accepted.others, age=months)
        mine = changes.get((*labels.values(), tag)) or GroupProcesses(labels, tag)
        parts.append(_part(found, mine, members, age))
    problems = joined_problems(read.problems, explained.problems, accepted.problems.values())
    scores = Scores(problems, tuple(part.score for part in parts), signature(picked), read.changes, accepted.cautions)
    return SampleAnalysis(problems, scores, tuple(parts), read).kept(on_problem)


def _part(score: GroupScore, changes: GroupProcesses, members: Sequence[Token], age: str) -> SamplePart:
    """One group with what is known of how it was taken."""
    from approx.reports.documents.sample_blocks import SamplePart

    named = [token for token in members if token.counted and token.target_word]
    by_form: dict[str, dict[str, None]] = {}
    for token in named:
        if token.produced is not None:
            by_form.setdefault(token.produced.ipa, {})[token.target_word] = None
    return SamplePart(
        score,
        changes,
        inventory_of(members),
        len({token.target_word.casefold() for token in named}),
        tuple((tuple(words), form) for form, words in by_form.items() if len(words) > 1),
        age_of(members) or age,
        tuple(dict.fromkeys(token.context for token in members if token.context)),
        tuple(dict.fromkeys(token.transcriber for token in members if token.transcriber)),
    )


def age_of(tokens: Iterable[Token]) -> str:
    """The age that all tokens agree on, as "4;5"; "" where there is none."""
    ages = {token.age for token in tokens if token.age is not None}
    months = ages.pop() if len(ages) == 1 else None
    return f"{months // 12};{months % 12}" if months is not None else ""
