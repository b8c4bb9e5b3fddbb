"""Two samples of one child, then and now, counted by one set of rules: what can stand side by side, and what changed in counts.

Nothing is compared across different counting rules, children or languages: those are problems, named. Whether a change
matters is the clinician's to say; here are the counts, how the samples differ, and the words that both have.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

from approx.ipa.word import Word
from approx.problems import Problem
from approx.processes.accept.accept import Accents
from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally
from approx.processes.explain.opportunities import default_opportunity_options as default_opportunities
from approx.processes.explain.sample_processes import GroupProcesses
from approx.progress.rules import progress_table
from approx.samples.token import Token
from approx.scoring.alignment.align import Linker
from approx.scoring.judging.options import ScoringOptions, default_scoring_options, signature
from approx.scoring.measures.catalogue import MEASURES, Score
from approx.scoring.sample_score import GroupScore, score_group
from approx.wording import enumerated, worded


class Varieties(Protocol):
    """Accepted adult forms of the child's own variety."""

    def others(
        self, targets: Sequence[Word], said: Sequence[Word], glosses: Sequence[str], language: str, linker: Linker
    ) -> Sequence[Sequence[Word]]:
        """Of many pairs the other forms that are nearer, none where the target itself is nearest."""
        ...


@dataclass(frozen=True, slots=True)
class ScoredSample:
    """One sample, counted: `signature` and `process_signature` name the rules. `words`: its glosses, in order of first sight.

    `right`: glosses of which every scored try was right.
    """

    child: str
    date: str
    language: str
    score: GroupScore
    processes: GroupProcesses
    signature: str
    process_signature: str
    words: tuple[str, ...] = ()
    right: tuple[str, ...] = ()
    contexts: tuple[str, ...] = ()
    transcribers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MeasurePair:
    """One measure of both samples."""

    name: str
    title: str
    unit: str
    then: Score
    now: Score


@dataclass(frozen=True, slots=True)
class ProcessPair:
    """One process in both samples; None where the sample gave it no opportunity."""

    name: str
    then: ProcessTally | None
    now: ProcessTally | None


@dataclass(frozen=True, slots=True)
class ComparedSamples:
    """What stands side by side. `same_words`: the measures over the words that both samples have, none where they share none.

    `newly_right`, `no_longer_right`: words of both. `differ`: what differs between the samplings: words, contexts,
    transcribers, size. With a fatal problem everything else is empty.
    """

    then: ScoredSample
    now: ScoredSample
    measures: tuple[MeasurePair, ...] = ()
    same_words: tuple[MeasurePair, ...] = ()
    shared: tuple[str, ...] = ()
    newly_right: tuple[str, ...] = ()
    no_longer_right: tuple[str, ...] = ()
    right_both: tuple[str, ...] = ()
    processes: tuple[ProcessPair, ...] = ()
    differ: tuple[str, ...] = ()
    opportunity_options: OpportunityOptions = field(default_factory=OpportunityOptions)
    problems: tuple[Problem, ...] = ()


def score_sample(
    labels: Mapping[str, str],
    tokens: Sequence[Token],
    options: ScoringOptions,
    varieties: Varieties,
    processes: GroupProcesses,
    process_signature: str,
) -> ScoredSample:
    """Some tokens of one child, session and language, scored; their processes stand beside, with the rules they were counted
    by."""
    language = tokens[0].language if tokens else options.language
    score = score_group(dict(labels), tokens, options, varieties.others)
    mark = signature(replace(options, language=language))
    names = [
        (token.target_word or (token.target.ipa if token.target else "")).lower() for token in tokens if token.target
    ]
    wrong = {word for (word, _, right) in score.counts.forms if not right}
    said = dict.fromkeys(word for (word, _, _) in score.counts.forms)
    return ScoredSample(
        labels.get("child", ""), labels.get("session_date", ""), language, score, processes, mark, process_signature,
        tuple(dict.fromkeys(names)),
        tuple(word for word in said if word not in wrong),
        tuple(sorted({token.context for token in tokens if token.context})),
        tuple(sorted({token.transcriber for token in tokens if token.transcriber})),
    )  # fmt: skip


def compare_samples(
    then: ScoredSample,
    now: ScoredSample,
    opportunity_options: OpportunityOptions,
    same_words: tuple[GroupScore, GroupScore] | None = None,
) -> ComparedSamples:
    """Both side by side. `same_words`: the scores of both on the words they share (`shared_words`)."""
    problems = comparable(then, now)
    if any(problem.fatal for problem in problems):
        return ComparedSamples(then, now, opportunity_options=opportunity_options, problems=problems)
    shared = shared_words(then, now)
    right_then, right_now = set(then.right), set(now.right)
    names = dict.fromkeys([*now.processes.tallies, *then.processes.tallies])
    processes = [ProcessPair(name, _told(then, name), _told(now, name)) for name in names]
    seen = [pair for pair in processes if (pair.then and pair.then.occurrences) or (pair.now and pair.now.occurrences)]
    seen.sort(
        key=lambda pair: (
            -(pair.then.occurrences if pair.then else 0),
            -(pair.now.occurrences if pair.now else 0),
            pair.name,
        )
    )
    return ComparedSamples(
        then, now, _pairs(then.score, now.score), _pairs(*same_words) if same_words else (), shared,
        tuple(word for word in shared if word in right_now and word not in right_then),
        tuple(word for word in shared if word in right_then and word not in right_now),
        tuple(word for word in shared if word in right_then and word in right_now),
        tuple(seen), _differences(then, now), opportunity_options, problems,
    )  # fmt: skip


def comparable(then: ScoredSample, now: ScoredSample) -> tuple[Problem, ...]:
    """Why two samples must not be compared; a remark where the earlier one is not dated before the later."""
    out: list[Problem] = []
    if then.child != now.child:
        message = worded(
            "the samples are of two children, {child} and {child2}",
            child=then.child or "(no code)",
            child2=now.child or "(no code)",
        )
        out.append(Problem("compare.child", message, "compare samples of one child"))
    if then.language != now.language:
        message = worded(
            "the samples are in two languages, {language} and {language2}",
            language=then.language,
            language2=now.language,
        )
        out.append(Problem("compare.language", message, "each language is compared with itself"))
    for one, other in ((then.signature, now.signature), (then.process_signature, now.process_signature)):
        parts = [part for part in _different(one, other) if not part.startswith("language")]
        if parts:
            message = worded("the samples were counted by different rules: {parts}", parts=enumerated(", ", parts))
            out.append(Problem("compare.rules", message, "score both again with the same options and the same version"))
    for sample in (then, now):
        if not sample.score.scored:
            message = worded("nothing in the sample of {date} can be scored", date=sample.date or "no date")
            out.append(Problem("compare.empty", message, "fill in adult forms and productions"))
    if not any(problem.fatal for problem in out) and then.date and now.date and then.date >= now.date:
        message = worded(
            "the earlier sample ({date}) is not dated before the later one ({date2})", date=then.date, date2=now.date
        )
        out.append(Problem("compare.date", message, "check which is which", fatal=False))
    return tuple(out)


def _different(one: str, other: str) -> list[str]:
    """`key (value, value)` for every part of two signatures that is not the same."""
    first, second = (dict(part.partition(":")[::2] for part in text.split("|")) for text in (one, other))
    names = dict.fromkeys([*first, *second])
    return [
        f"{name} ({first.get(name, '-')}, {second.get(name, '-')})"
        for name in names
        if first.get(name) != second.get(name)
    ]


def shared_words(then: ScoredSample, now: ScoredSample) -> tuple[str, ...]:
    """Words that were scored in both, in the order of the earlier sample."""
    later = {word for (word, _, _) in now.score.counts.forms}
    return tuple(dict.fromkeys(word for (word, _, _) in then.score.counts.forms if word in later))


def _pairs(then: GroupScore, now: GroupScore) -> tuple[MeasurePair, ...]:
    names = progress_table()["report"]["measures"]
    return tuple(
        MeasurePair(name, MEASURES[name].title, MEASURES[name].unit, then.measures[name], now.measures[name])
        for name in names
        if then.measures[name].value is not None or now.measures[name].value is not None
    )


def _told(sample: ScoredSample, name: str) -> ProcessTally | None:
    tally = sample.processes.tallies.get(name)
    return tally if tally is not None and tally.chances else None


def _differences(then: ScoredSample, now: ScoredSample) -> tuple[str, ...]:
    out = []
    if set(then.words) != set(now.words):
        out.append("words")
    if then.contexts != now.contexts:
        out.append("contexts")
    if then.transcribers != now.transcribers:
        out.append("transcribers")
    if then.score.scored != now.score.scored:
        out.append("size")
    return tuple(out)


@dataclass(frozen=True, slots=True)
class SessionTokens:
    """The tokens of one child and session, at least one, and their processes as the whole sample bears them out."""

    tokens: Sequence[Token]
    processes: GroupProcesses


def compare_tokens(
    then: SessionTokens, now: SessionTokens, process_signature: str, accents: Sequence[str] = ()
) -> tuple[ComparedSamples, tuple[Problem, ...]]:
    """Then and now of one child; the words they share are counted apart as well. `process_signature`: by which rules the
    processes were counted.

    `accents`: varieties of rules/accents/ that count as right, beside those of the options; unknown ones are problems.
    """
    usual = default_scoring_options()
    options = replace(usual, accents=tuple(sorted({*usual.accents, *accents})))
    accepted = Accents(options.accents)

    def scored(one: SessionTokens) -> ScoredSample:
        labels = {"child": one.tokens[0].child, "session_date": one.tokens[0].session_date}
        return score_sample(labels, one.tokens, options, accepted, one.processes, process_signature)

    first, last = scored(then), scored(now)
    shared = set(shared_words(first, last))
    narrowed = [[token for token in one.tokens if _name(token) in shared] for one in (then, now)]
    same = [score_group({}, tokens, options, accepted.others) for tokens in narrowed if tokens]
    found = compare_samples(first, last, default_opportunities(), (same[0], same[1]) if len(same) > 1 else None)
    return found, tuple(accepted.problems.values())


def _name(token: Token) -> str:
    return (token.target_word or (token.target.ipa if token.target else "")).lower()
