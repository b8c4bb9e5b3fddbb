"""Two samples side by side as JSON; the keys are a promise."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from approx.practice.compare_samples import MeasurePair, NowThen, ScoredSample
from approx.problems import Problem
from approx.processes.explain.opportunities import OpportunityOptions
from approx.processes.explain.sample_processes import Tally
from approx.scoring.measures.catalogue import Score


def now_then_json(found: NowThen, problems: Iterable[Problem]) -> dict[str, Any]:
    """The whole comparison; with a fatal problem its lists are empty."""
    return {
        "signature": found.now.signature,
        "process_signature": found.now.process_signature,
        "problems": [problem.as_json() for problem in problems],
        "child": found.now.child,
        "then": _sample(found.then),
        "now": _sample(found.now),
        "sampling_differs_in": list(found.differ),
        "measures": [_pair(pair) for pair in found.measures],
        "same_words": {"words": list(found.shared), "measures": [_pair(pair) for pair in found.same_words]},
        "words": {
            "right_both": list(found.right_both), "newly_right": list(found.newly_right), "no_longer_right": list(found.no_longer_right),
        },
        "processes": [
            {"process": pair.name, "then": _tally(pair.then, found.chances), "now": _tally(pair.now, found.chances)}
            for pair in found.processes
        ],
    }  # fmt: skip


COMPARISON_COLUMNS = (
    "child", "kind", "name", "then_hits", "then_out_of", "then", "then_low", "then_high", "now_hits", "now_out_of", "now", "now_low",
    "now_high",
)  # fmt: skip


def comparison_rows(found: NowThen) -> Iterator[tuple[str | int | float | None, ...]]:
    """A row a measure (of all words, and of the words both samples have) and a process, then and now."""
    child = found.now.child
    for kind, pairs in (("measure", found.measures), ("measure of the same words", found.same_words)):
        for pair in pairs:
            yield child, kind, pair.name, *_numbers(pair.then), *_numbers(pair.now)
    for process in found.processes:
        yield child, "process", process.name, *_counts(process.then), *_counts(process.now)


def _numbers(score: Score) -> tuple[int | float | None, ...]:
    ends = (None if end is None else round(end, 3) for end in (score.value, score.low, score.high))
    return score.hits, score.out_of, *ends


def _counts(tally: Tally | None) -> tuple[int | float | None, ...]:
    if tally is None:
        return None, None, None, None, None
    share = None if tally.percent is None else round(tally.percent, 1)
    return tally.occurrences, tally.chances, share, None, None


def _sample(sample: ScoredSample) -> dict[str, Any]:
    return {
        "session_date": sample.date, "language": sample.language, "tokens": sample.score.tokens, "scored": sample.score.scored,
        "words": len(sample.words), "contexts": list(sample.contexts), "transcribers": list(sample.transcribers),
        "left_out": [{"row": row, "reason": reason} for row, reason in sample.score.left_out],
    }  # fmt: skip


def _pair(pair: MeasurePair) -> dict[str, Any]:
    return {"measure": pair.name, "then": pair.then.as_json(), "now": pair.now.as_json()}


def _tally(tally: Tally | None, options: OpportunityOptions) -> dict[str, Any] | None:
    if tally is None:
        return None
    return {
        "occurrences": tally.occurrences, "chances": tally.chances,
        "percent": None if tally.percent is None else round(tally.percent, 1), "standing": tally.standing(options), "words": list(tally.words),
    }  # fmt: skip
