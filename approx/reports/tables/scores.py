"""Scores as JSON (keys are a promise), as rows for a spreadsheet, and as lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from approx.problems import Problem
from approx.samples.token import CellChange
from approx.scoring.measures.catalogue import MEASURES, Score
from approx.scoring.sample_score import GroupScore

SCORE_COLUMNS = (
    "child", "session_date", "group", "measure", "title", "hits", "out_of", "value", "low", "high", "method",
    "band", "caution", "reason", "tokens", "scored", "signature",
)  # fmt: skip
CAUTION = "Counts describe this sample only. They are not a diagnosis."


def scores_json(
    groups: Sequence[GroupScore], mark: str, problems: Iterable[Problem], changes: Iterable[CellChange]
) -> dict[str, Any]:
    """The whole answer."""
    return {
        "signature": mark,
        "problems": [problem.as_json() for problem in problems],
        "changes": [
            {"column": c.column, "typed": c.typed, "read": c.read, "why": c.why, "times": c.times, "row": c.row}
            for c in changes
        ],
        "groups": [
            group.labels
            | {
                "tokens": group.tokens,
                "scored": group.scored,
                "left_out": [{"row": row, "reason": reason} for row, reason in group.left_out],
                "accepted": [
                    {"word": word, "form": form, "times": times}
                    for (word, form), times in group.counts.accepted.items()
                ],
                "measures": {name: score.as_json() for name, score in group.measures.items()},
            }
            for group in groups
        ],
    }


def score_rows(groups: Sequence[GroupScore], mark: str) -> list[tuple[str | int | float | None, ...]]:
    """One row a measure of a group; ratios as two numbers, so that no cell turns into a date."""
    rows: list[tuple[str | int | float | None, ...]] = []
    for group in groups:
        other = ", ".join(f"{k}={v}" for k, v in group.labels.items() if k not in ("child", "session_date"))
        for name, score in group.measures.items():
            rows.append(
                (group.labels.get("child", ""), group.labels.get("session_date", ""), other, name, MEASURES[name].title,
                 score.hits, score.out_of, _round(score.value), _round(score.low), _round(score.high), score.method,
                 score.band, score.caution, score.reason, group.tokens, group.scored, mark)
            )  # fmt: skip
    return rows


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def shown(name: str, score: Score) -> str:
    """One measure in words: value, n, interval; "-" and the reason where undefined."""
    if score.value is None:
        return f"-  ({score.reason})"
    unit = " %" if MEASURES[name].unit == "percent" else ""
    digits = 1 if unit else 2
    text = f"{score.value:.{digits}f}{unit}  ({score.hits} of {score.out_of})"
    if score.low is not None and score.high is not None:
        text += f"  {score.low:.{digits}f} to {score.high:.{digits}f}"
    if score.band:
        text += f"  {score.band}: {score.caution}" if score.caution else f"  {score.band}"
    return text


def accepted_words(group: GroupScore) -> str:
    """What was accepted in the child's own variety, and how often."""
    return ", ".join(f"{word} [{form}] {times}x" for (word, form), times in group.counts.accepted.items())


def score_lines(groups: Sequence[GroupScore], mark: str, changes: Iterable[CellChange]) -> list[str]:
    """For the terminal: every number beside its n and interval, what was left out, what was changed."""
    lines: list[str] = []
    for group in groups:
        title = ", ".join(f"{name} {value}" for name, value in group.labels.items() if value)
        lines += [f"{title or 'sample'}: {group.tokens} tokens, {group.scored} scored"]
        width = max(len(MEASURES[name].title) for name in group.measures)
        lines += [
            f"  {MEASURES[name].title.ljust(width)}  {shown(name, score)}" for name, score in group.measures.items()
        ]
        if group.left_out:
            lines.append("  left out: " + "; ".join(f"row {row} ({reason})" for row, reason in group.left_out[:20]))
        if group.counts.accepted:
            lines.append("  accepted as right: " + accepted_words(group))
        lines.append("")
    for change in changes:
        lines.append(
            f"read '{change.typed}' as '{change.read}' in {change.column}: {change.why}, {change.times} times, first in row {change.row}"
        )
    return [*lines, CAUTION, f"signature: {mark}"]
