"""Every measure of a sample, by child and session or any other columns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import IO, TYPE_CHECKING, Any, ClassVar, Unpack

from approx.api.options import (
    ScoreOptions,
    language_problem,
    list_problems,
    page_tag,
    score_options,
    switch_problems,
    typed_age_in_months,
)
from approx.api.result import OnProblem, OnProgress, Result, TableRows, joined_problems
from approx.api.samples.sample_input import (
    BY,
    SampleSource,
    columns_of,
    count_tokens,
    grouped_tokens,
    read_and_keep,
    read_tokens,
)
from approx.api.write_table import TableKeys
from approx.problems import Problem

if TYPE_CHECKING:
    from approx.api.samples.evidence import SampleEvidence
    from approx.processes.accept.accept import Accents
    from approx.reports.document import Document
    from approx.reports.documents.sample_blocks import SamplePart
    from approx.samples.files.write import WrittenRows
    from approx.samples.token import CellChange
    from approx.scoring.judging.options import ScoringOptions
    from approx.scoring.sample_score import GroupScore


@dataclass(frozen=True)
class Scores(Result):
    """Measures of each group, with n, interval, and what was left out and why. `changes`: what was read otherwise than typed.
    `cautions`: of an adult form accepted in the child's variety, what to think of before it is taken as right. `evidence`: what
    `document`, `evaluations` and `tables` show beside the scores, where `score` was asked for it."""

    problems: tuple[Problem, ...] = ()
    groups: tuple[GroupScore, ...] = ()
    signature: str = ""
    changes: tuple[CellChange, ...] = ()
    cautions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    evidence: SampleEvidence | None = field(default=None, repr=False, compare=False)

    is_table: ClassVar[bool] = True
    table_keys: ClassVar[TableKeys] = TableKeys(
        ("child", "session_date", "group", "tokens", "scored", "signature"), ("measure",), ("title",)
    )

    def to_dict(self) -> dict[str, Any]:
        """What `approx score --json` prints."""
        from approx.reports.tables.scores import scores_json

        return scores_json(self.groups, self.signature, self.problems, self.changes, self.cautions)

    def write_json(self, out: IO[str]) -> None:
        """What `--json` prints, written group by group."""
        from approx.reports.tables.scores import write_scores_json

        write_scores_json(out, self.groups, self.signature, self.problems, self.changes, self.cautions)

    def sounds(self) -> SoundCounts:
        """The sounds by position alone, as an answer with a table of its own."""
        return SoundCounts(self.problems, self)

    def sounds_table(self) -> TableRows:
        """A row for each sound in each position and what was said for it."""
        from approx.reports.tables.scores import SOUND_COLUMNS, sound_rows

        return SOUND_COLUMNS, sound_rows(self.groups, self.signature)

    def to_table(self) -> TableRows:
        """A row a measure of a group."""
        from approx.reports.tables.scores import SCORE_COLUMNS, score_rows

        return SCORE_COLUMNS, score_rows(self.groups, self.signature)

    def lines(self) -> list[str]:
        """Every number beside its n and interval."""
        from approx.reports.tables.scores import score_lines

        return score_lines(self.groups, self.signature, self.changes, self.cautions) if self.groups else []

    def document(self, language: str = "en") -> Document | None:
        """The report to print: the answer in counts, then all of it with the evidence. `language`: of the page, en or es, with a
        region or that of the sample. None where nothing was scored; ValueError where the evidence was not asked for."""
        from approx.processes.explain.opportunities import default_opportunity_options
        from approx.reports.documents.analysis_document import analysis_document

        language, parts = page_tag(language), self._parts()
        if not parts:
            return None
        return analysis_document(parts, self.changes, default_opportunity_options(), _tag(language, parts))

    def evaluations(self, language: str = "en") -> list[Document]:
        """The section of an evaluation report, one a group. `language`, ValueError: as of `document`."""
        from approx.processes.explain.opportunities import default_opportunity_options
        from approx.reports.documents.analysis_document import evaluation_document

        language, parts = page_tag(language), self._parts()
        options = default_opportunity_options()
        return [evaluation_document(part, options, _tag(language, parts)) for part in parts]

    def tables(self) -> dict[str, tuple[Any, WrittenRows]]:
        """Scores, sounds and sample as the sheets of a workbook; the sample only where the evidence was asked for."""
        from approx.samples.files.write import sample_table

        tables: dict[str, tuple[Any, WrittenRows]] = {"scores": self.to_table(), "sounds": self.sounds_table()}
        return tables | ({"sample": sample_table(self.evidence.sample)} if self.evidence else {})

    def _parts(self) -> tuple[SamplePart, ...]:
        if self.evidence is None and self.groups:
            raise ValueError("nothing stands beside these scores: ask with score(sample, evidence=True)")
        return self.evidence.parts if self.evidence else ()


def _tag(language: str, parts: Sequence[SamplePart]) -> str:
    from approx.reports.regions import with_region

    return with_region(language, parts[0].inventory.language)


@dataclass(frozen=True)
class SoundCounts(Result):
    """What was said for each sound in each position, of each group of `scores`."""

    problems: tuple[Problem, ...] = ()
    scores: Scores = field(default_factory=Scores)
    is_table: ClassVar[bool] = True
    table_keys: ClassVar[TableKeys] = TableKeys(
        ("child", "session_date", "group", "sound", "position", "kind", "right", "out_of", "signature"), ("instead",)
    )

    def to_dict(self) -> dict[str, Any]:
        """What `approx score --json` prints, which has the sounds too."""
        return self.scores.to_dict()

    def to_table(self) -> TableRows:
        """A row a sound in a position and what was said for it."""
        return self.scores.sounds_table()

    def lines(self) -> list[str]:
        """What `approx score` prints, which has the sounds too."""
        return self.scores.lines()


def score(
    sample: SampleSource,
    *,
    by: str | Iterable[str] = BY,
    language: str = "en-US",
    accents: str | Iterable[str] = (),
    age: str = "",
    evidence: bool = False,
    on_problem: OnProblem = "keep",
    on_progress: OnProgress | None = None,
    **options: Unpack[ScoreOptions],
) -> Scores:
    """Every measure per child and session, with n, interval, band and caution; what was left out, and why.

    Args:
        sample: a file, (adult form, production) pairs in IPA, or a data frame with the columns of a sample: child,
            session_date, target_word, target_ipa, produced_ipa; optionally context, attempt, language, age and others.
        by: columns to group by; "" for one group.
        language: language tag of rows that do not name one.
        accents: dialects or accents (files of `rules/accents/`) whose forms count as correct.
        age: the child's age ("3;2"), if no row of the sample gives one.
        evidence: keep every token, with the processes and inventory of each group, for `.document()`, `.evaluations()`
            and `.tables()`.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.
        on_progress: called with what is counted, how many are done, and out of how many.
        **options: choices that the published measures leave open, such as repeats="first". `rules/measures.toml` has the
            values, default and source of each.
            What is scored: repeats, runs, doubtful, unidentified, additions_wrong, vowel_epenthesis_is_addition,
            final_voicing_errors, unstressed_h_and_ng_right, lisp_is_distortion, coalescence, metathesis, syllabic,
            spanish_glides.
            Single measures: pmlu_cap, pmlu_vowels, pmlu_distortions_right, pmlu_syllabic_point, pwp_of_sample,
            pwc_distortions_right, pwv, variability, tokens_a_word, h_is_fricative, w_is_velar, postvocalic_r,
            wcm_syllabic, ipc_variegation, ipc_clusters, ipc_tr_homorganic.
            Intervals: interval_words, confidence.

    >>> import approx
    >>> pcc = approx.score("samples/m12.csv", by="child").groups[0].measures["pcc"]
    >>> pcc.hits, pcc.out_of, pcc.value
    (27, 60, 45.0)
    >>> approx.score([("spun", "pun"), ("ki", "ti")], by="").groups[0].measures["pcc"].hits
    2
    >>> approx.score("samples/m12.csv", evidence=True).document().title
    'M12: speech sample, March 2, 2026'
    """
    picked, wrong = score_options(accents, options)
    months, unread = typed_age_in_months(age)
    wrong += [*language_problem(language), *list_problems(by=by), *unread, *switch_problems(evidence=evidence)]
    if wrong:
        return Scores(tuple(wrong)).kept(on_problem)
    columns, tongue = columns_of(by), language or "en-US"
    if not evidence:
        return _score(sample, columns, tongue, picked, months, on_progress).kept(on_problem)
    from approx.api.samples.evidence import evidence_of
    from approx.api.samples.processes import processes

    read, again = read_and_keep(sample, tongue)
    found = _score(again(), columns, tongue, picked, months, on_progress)
    explained = processes(again(), by=columns, language=tongue, accents=picked.accents)
    problems = joined_problems(read.problems, found.problems, explained.problems)
    beside = evidence_of(read, found.groups, explained, columns, age)
    return replace(found, problems=problems, evidence=beside).kept(on_problem)


def _score(
    sample: SampleSource,
    by: tuple[str, ...],
    language: str,
    options: ScoringOptions,
    age: int | None,
    on_progress: OnProgress | None,
) -> Scores:
    from approx.processes.accept.accept import Accents
    from approx.scoring.judging.options import signature
    from approx.scoring.sample_score import score_counts

    accepted = Accents(options.accents)
    if options.repeats != "every":
        return _score_in_order(sample, by, language, options, age, accepted)
    found = count_tokens(sample, language, by)
    told = None
    if on_progress is not None:
        say = on_progress

        def told(done: int, of: int) -> None:
            say("groups scored", done, of)

    groups = score_counts(found, options, accepted.others, False, told=told, age=age)
    problems = joined_problems(found.problems, accepted.problems.values())
    return Scores(problems, tuple(groups), signature(options), found.changes, accepted.cautions)


def _score_in_order(
    sample: SampleSource,
    by: tuple[str, ...],
    language: str,
    options: ScoringOptions,
    age: int | None,
    accepted: Accents,
) -> Scores:
    """Where it matters which attempt came first: token by token."""
    from approx.scoring.judging.options import signature
    from approx.scoring.sample_score import score_group

    read = read_tokens(sample, language)
    listed, wrong = grouped_tokens(read, by)
    groups = [score_group(labels, members, options, accepted.others, age=age) for labels, members in listed]
    problems = joined_problems(read.problems, wrong, accepted.problems.values())
    return Scores(problems, tuple(groups), signature(options), read.changes, accepted.cautions)
