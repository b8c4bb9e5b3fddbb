"""Scores and the table of sounds as JSON (keys are a promise), as rows for a spreadsheet, and as lines."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import IO, Any

from approx.problems import Problem
from approx.reports.report_words import often
from approx.reports.tables.score_texts import group_texts
from approx.reports.tables.streamed_json import write_json
from approx.samples.token import CellChange
from approx.scoring.measures.breakdown import ADDED, LEFT_OFF, SoundRow
from approx.scoring.measures.catalogue import MEASURES, Score
from approx.scoring.sample_score import GroupScore
from approx.wording import counted as counted_of
from approx.wording import fill_pattern

SCORE_COLUMNS = (
    "child", "session_date", "group", "measure", "title", "hits", "out_of", "value", "low", "high", "method", "band",
    "caution", "reason", "tokens", "scored", "signature", "words",
)  # fmt: skip
SOUND_COLUMNS = (
    "child", "session_date", "group", "sound", "position", "kind", "right", "out_of", "instead", "times", "signature",
)  # fmt: skip
"""One row a substitute, and one for a sound that was always right."""
SCORE_CAUTION = "Counts describe this sample only. They are not a diagnosis."
Cautions = Mapping[str, tuple[str, ...]]
"""Adult form that was accepted -> what to think of before it is taken as right."""


def scores_json(
    groups: Sequence[GroupScore],
    mark: str,
    problems: Iterable[Problem],
    changes: Iterable[CellChange],
    cautions: Cautions,
) -> dict[str, Any]:
    """The whole answer."""
    return _head(mark, problems, changes) | {
        "groups": [
            _counted(group, cautions) | {"sounds": _sounds(group), "measures": _measures(group)} for group in groups
        ],
    }


def write_scores_json(
    out: IO[str],
    groups: Sequence[GroupScore],
    mark: str,
    problems: Iterable[Problem],
    changes: Iterable[CellChange],
    cautions: Cautions,
) -> None:
    """`score --json`, written group by group, so that the text of many groups is never held: a line each for what was
    counted, the sounds and the measures."""
    write_json(
        out,
        _head(mark, problems, changes),
        {
            "groups": (
                f'{_TEXT(_counted(group, cautions))[:-1]},\n   "sounds": [{sounds}],\n   "measures": {{{measures}}}}}'
                for group, (sounds, measures) in zip(groups, group_texts(groups), strict=True)
            )
        },
    )


_TEXT = json.JSONEncoder(ensure_ascii=False).encode


def _head(mark: str, problems: Iterable[Problem], changes: Iterable[CellChange]) -> dict[str, Any]:
    return {
        "signature": mark,
        "problems": [problem.as_json() for problem in problems],
        "changes": [
            {"column": c.column, "typed": c.typed, "read": c.read, "why": c.why, "times": c.times, "row": c.row}
            for c in changes
        ],
    }


def _counted(group: GroupScore, cautions: Cautions) -> dict[str, Any]:
    return group.labels | {
        "tokens": group.tokens,
        "scored": group.scored,
        "left_out": [{"row": row, "reason": reason} for row, reason in group.left_out],
        "accepted": [
            {"word": word, "form": form, "times": times}
            | ({"cautions": list(cautions[form])} if form in cautions else {})
            for (word, form), times in group.counts.accepted.items()
        ],
    }


def _sounds(group: GroupScore) -> list[dict[str, object]]:
    return [row.to_dict() for row in group.sounds]


def _measures(group: GroupScore) -> dict[str, dict[str, object]]:
    return {name: score.as_json() for name, score in group.measures.items()}


def score_rows(groups: Sequence[GroupScore], mark: str) -> list[tuple[str | int | float | None, ...]]:
    """One row a measure of a group; ratios as two numbers, so that no cell turns into a date."""
    rows: list[tuple[str | int | float | None, ...]] = []
    for group in groups:
        for name, score in group.measures.items():
            counted = bool(MEASURES[name].counted)
            rows.append(
                (*_labels(group), name, MEASURES[name].title, score.hits if counted else None,
                 score.out_of if counted else None, _round(score.value), _round(score.low), _round(score.high),
                 score.method, score.band, score.caution, score.reason, group.tokens, group.scored, mark, score.words)
            )  # fmt: skip
    return rows


def sound_rows(groups: Sequence[GroupScore], mark: str) -> list[tuple[str | int | float | None, ...]]:
    """The table of sounds by position: what was said instead, each on a row of its own."""
    rows: list[tuple[str | int | float | None, ...]] = []
    for group in groups:
        for row in group.sounds:
            kind = "vowel" if row.vowel else "consonant"
            head = (*_labels(group), row.sound, row.position, kind, row.right, row.out_of)
            rows += [(*head, said, times, mark) for said, times in row.instead or (("", 0),)]
    return rows


def _labels(group: GroupScore) -> tuple[str, str, str]:
    other = ", ".join(f"{k}={v}" for k, v in group.labels.items() if k not in ("child", "session_date"))
    return group.labels.get("child", ""), group.labels.get("session_date", ""), other


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def shown(name: str, score: Score) -> str:
    """One measure in words: value, what it was counted from, interval, band or why there is none; the reason where it is
    undefined. "about" stands before an interval that is approximate."""
    if score.value is None:
        return f"-  ({score.reason})"
    measure = MEASURES[name]
    unit = "%" if measure.unit == "percent" else ""
    digits = 1 if unit else 2
    text = f"{score.value:.{digits}f}{unit}"
    counted = fill_pattern(measure.counted, hits=score.hits, out_of=score.out_of)
    if counted and unit and not measure.by_words:
        counted += f" in {counted_of(score.words, 'word')}"
    if counted:
        text += f"  ({counted})"
    if score.low is not None and score.high is not None:
        about = "about " if score.method.startswith("approximate") else ""
        text += f"  {about}{score.low:.{digits}f} to {score.high:.{digits}f}"
    elif score.method:
        text += f"  {score.method}"
    if score.band or score.caution:
        text += "  " + ": ".join(filter(None, (score.band, score.caution)))
    return text


def sound_lines(rows: Iterable[SoundRow]) -> list[str]:
    """The table of sounds as a clinician writes it: "t initial  k 14 of 15; right 1"; sounds always right on one line."""
    wrong = [row for row in rows if row.instead]
    right = [f"{row.sound} {row.position} {row.out_of}" for row in rows if not row.instead]
    width = max((len(row.sound) for row in wrong), default=0)
    lines = [f"{row.sound.ljust(width)} {row.position.ljust(7)}  {instead_text(row)}" for row in wrong]
    return lines + ([f"correct every time: {', '.join(right)}"] if right else [])


def instead_text(row: SoundRow) -> str:
    """What was said for a sound and how often: "k 14 of 15; right 1"."""
    named = {LEFT_OFF: "omitted", ADDED: "with a sound added"}
    said = ", ".join(f"{named.get(said, said)} {times}" for said, times in row.instead)
    if not said:
        return f"right {row.right} of {row.out_of}"
    return f"{said} of {row.out_of}" + (f"; right {row.right}" if row.right else "")


def accepted_words(group: GroupScore) -> str:
    """What was accepted in the child's own variety, and how often."""
    return ", ".join(f"{word} [{form}] {times}x" for (word, form), times in group.counts.accepted.items())


def score_lines(
    groups: Sequence[GroupScore], mark: str, changes: Iterable[CellChange], cautions: Cautions
) -> list[str]:
    """For the terminal: every number beside its n and interval, what was left out, what was changed."""
    lines: list[str] = []
    for group in groups:
        title = ", ".join(f"{name} {value}" for name, value in group.labels.items() if value)
        lines += [f"{title or 'sample'}: {counted_of(group.tokens, 'token')}, {group.scored} scored"]
        if group.sounds:
            lines += ["  what was said for each sound:", *("    " + line for line in sound_lines(group.sounds))]
        width = max(len(MEASURES[name].title) for name in group.measures)
        lines += [
            f"  {MEASURES[name].title.ljust(width)}  {shown(name, score)}" for name, score in group.measures.items()
        ]
        if group.left_out:
            lines.append("  left out: " + "; ".join(f"row {row} ({reason})" for row, reason in group.left_out[:20]))
        if group.counts.accepted:
            lines.append("  accepted as right: " + accepted_words(group))
            said = [text for _, form in group.counts.accepted for text in cautions.get(form, ())]
            lines += [f"      {text}" for text in dict.fromkeys(said)]
        lines.append("")
    for change in changes:
        lines.append(
            f"read '{change.typed}' as '{change.read}' in {change.column}: {change.why}, {often(change.times)}, first in row {change.row}"
        )
    return [*lines, SCORE_CAUTION, f"signature: {mark}"]
