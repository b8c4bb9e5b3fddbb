"""Two samples side by side, and two transcribers of one: as JSON, whose keys are a promise, and as lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from approx.practice.compare_samples import ComparedSamples, MeasurePair, ScoredSample
from approx.problems import Problem
from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally
from approx.scoring.agreement import AGREEMENT_PARTS, Agreement
from approx.scoring.measures.accuracy import MeasureValue
from approx.scoring.measures.catalogue import Score
from approx.wording import counted


def comparison_json(found: ComparedSamples, problems: Iterable[Problem]) -> dict[str, Any]:
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
            {"process": pair.name, "then": _tally(pair.then, found.opportunity_options), "now": _tally(pair.now, found.opportunity_options)}
            for pair in found.processes
        ],
    }  # fmt: skip


COMPARISON_COLUMNS = (
    "child", "kind", "name", "then_hits", "then_out_of", "then", "then_low", "then_high", "now_hits", "now_out_of", "now", "now_low",
    "now_high",
)  # fmt: skip


def comparison_rows(found: ComparedSamples) -> Iterator[tuple[str | int | float | None, ...]]:
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


def _counts(tally: ProcessTally | None) -> tuple[int | float | None, ...]:
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


def _tally(tally: ProcessTally | None, options: OpportunityOptions) -> dict[str, Any] | None:
    if tally is None:
        return None
    return {
        "occurrences": tally.occurrences, "chances": tally.chances,
        "percent": None if tally.percent is None else round(tally.percent, 1), "standing": tally.standing(options), "words": list(tally.words),
    }  # fmt: skip


def agreement_json(found: Agreement, words: Sequence[str], alone: int) -> dict[str, Any]:
    """Every part with hits and n, kappa, and the list of differences."""
    out: dict[str, Any] = {name: _value(getattr(found, name)) for name in AGREEMENT_PARTS}
    out["kappa"] = found.kappa
    out["tokens"] = len(words)
    out["left_alone"] = alone
    out["differences"] = [
        {
            "word": words[each.token],
            "one": each.one,
            "other": each.other,
            "vowel": each.vowel,
            "narrow_only": each.narrow_only,
        }
        for each in found.differences
    ]
    return out


def _value(value: MeasureValue) -> dict[str, Any]:
    return {"hits": value.hits, "out_of": value.out_of, "value": value.value, "reason": value.reason}


DIFFERENCE_COLUMNS = ("word", "one", "other", "vowel", "narrow_only")


def difference_rows(found: Agreement, words: Sequence[str]) -> list[tuple[str, str, str, str, str]]:
    """A row a sound that the two wrote differently; "" for no sound."""
    return [
        (words[each.token], each.one, each.other, "yes" if each.vowel else "no", "yes" if each.narrow_only else "no")
        for each in found.differences
    ]


def agreement_lines(found: Agreement, words: Sequence[str]) -> list[str]:
    """For the terminal."""
    lines = [f"{counted(len(words), 'token')} in both files"]
    for name in AGREEMENT_PARTS:
        value: MeasureValue = getattr(found, name)
        text = "-" if value.value is None else f"{value.value:.1f}%"
        lines.append(f"  {name.replace('_', ', ')}: {text} ({value.hits} of {value.out_of})")
    kappa = "-" if found.kappa is None else f"{found.kappa:.2f}"
    lines.append(f"  kappa on right or wrong of target consonants: {kappa}")
    lines += [
        f"  {words[each.token]}: {each.one or 'nothing'} / {each.other or 'nothing'}" for each in found.differences
    ]
    lines.append("Expect disagreement, more with fine detail (common practice: 85 % broad is a usual floor).")
    return lines
