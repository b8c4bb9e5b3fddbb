"""One sample looked at from all sides: scores, processes and inventory of each group, as the printed page shows them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Unpack

from approx.api.options import ScoreOptions, language_problem, score_options
from approx.api.result import OnProblem, Result, TableRows, joined
from approx.api.samples.inventories import inventory_of
from approx.api.samples.sample_input import SampleSource, columns_of, grouped, read_tokens
from approx.api.samples.scores import BY, Scores, age_in_months
from approx.problems import Problem

if TYPE_CHECKING:
    from approx.reports.documents.sample_page import SamplePart
    from approx.samples.files.write import Rows
    from approx.samples.token import Sample


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

    def page(self) -> str:
        """The printable page: what the child has, what changes, scores, with the evidence beside each claim."""
        from approx.processes.explain.opportunities import default_options
        from approx.reports.documents.sample_page import sample_page

        changes = self.sample.changes if self.sample else ()
        return sample_page(self.parts, changes, default_options(), self.scores.signature)

    def tables(self) -> dict[str, tuple[Any, Rows]]:
        """Scores, sounds and sample as the sheets of a workbook."""
        from approx.samples.files.write import sample_table

        tables: dict[str, tuple[Any, Rows]] = {"scores": self.scores.to_table(), "sounds": self.scores.sounds_table()}
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
    """Scores, processes and inventory of each group of a sample. Arguments as of `score`; all tokens are held.

    >>> found = analyse("samples/m12.csv")
    >>> found.parts[0].score.measures["pcc"].hits, "velar fronting" in found.page()
    (27, True)
    """
    names = [accents] if isinstance(accents, str) else list(accents)
    picked, wrong = score_options(names, options)
    months, unread = age_in_months(age)
    wrong += [*language_problem(language), *unread]
    if wrong:
        return SampleAnalysis(tuple(wrong), Scores(tuple(wrong))).kept(on_problem)
    from approx.processes.accept.accents_used import Accents
    from approx.processes.explain.explain import Explainer
    from approx.processes.explain.opportunities import default_options
    from approx.processes.explain.sample_processes import explain_sample, pairs_of
    from approx.processes.rules.ruleset import load
    from approx.reports.documents.sample_page import SamplePart
    from approx.scoring.judging.options import signature
    from approx.scoring.sample_score import score_group

    read = read_tokens(sample, language or "en-US")
    listed, more = grouped(read, columns_of(by))
    accepted, rules, chances = Accents(picked.accents), load(), default_options()
    parts = []
    for labels, members in listed:
        tag = members[0].language
        found = score_group(labels, members, picked, accepted.others, age=months)
        changes = explain_sample(Explainer(rules, tag), pairs_of(members, accepted).get(tag, ()), chances)
        parts.append(SamplePart(found, changes, inventory_of(members)))
    problems = joined(read.problems, more, rules.problems, accepted.problems.values())
    scores = Scores(problems, tuple(part.score for part in parts), signature(picked), read.changes, accepted.cautions)
    return SampleAnalysis(problems, scores, tuple(parts), read).kept(on_problem)
