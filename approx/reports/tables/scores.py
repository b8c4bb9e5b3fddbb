"""Scores and the table of sounds as JSON (keys are a promise), as rows for a spreadsheet, and as lines.

The JSON of many groups is written as text, whole columns at a time: the same as the encoder makes of `SoundRow.to_dict` and
`Score.as_json`, in a fraction of its time."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from json.encoder import encode_basestring
from typing import IO, Any

from approx.problems import Problem
from approx.reports.report_words import often
from approx.reports.tables.streamed_json import write_json
from approx.samples.token import CellChange
from approx.scoring.bulk.chosen_pairs import GroupSlots, SlotCounts, SoundColumns
from approx.scoring.bulk.group_measures import BANDED, GroupMeasures, MeasuredGroups
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


_BAND = "\0"
"""Stands where the band of a group comes."""


def group_texts(groups: Iterable[GroupScore]) -> Iterator[tuple[str, str]]:
    """Of each group the members of its list of sounds, and of its measures by name."""
    slots: GroupSlots | None = None
    measured: MeasuredGroups | None = None
    sounds, measures = list[str](), list[str]()
    for group in groups:
        counted, scores = group.counts.slots, group.measures
        if not isinstance(counted, SlotCounts) or not isinstance(scores, GroupMeasures):
            yield ", ".join(map(_sound_text, group.sounds)), ", ".join(map(_score_text, scores.values()))
            continue
        if counted.of_all is not slots:
            slots = counted.of_all
            sounds = _sound_texts(slots.sound_columns)
        if scores.of_all is not measured:
            measured = scores.of_all
            measures = _measure_texts(measured)
        text = measures[scores.place]
        for name in BANDED:
            text = text.replace(_BAND, _score_text(scores[name]), 1)
        yield ", ".join([sounds[number] for number in counted.sound_numbers()]), text


def _measure_texts(measured: MeasuredGroups) -> list[str]:
    """The measures of each group; of a banded one only where it comes."""
    patterns, figures = list[str](), list[Sequence[object]]()
    for name, column in measured.columns.items():
        if name in BANDED:
            patterns.append(_BAND)
            continue
        counted = '"hits": %s, "out_of": %s, ' if MEASURES[name].counted else ""
        patterns.append(f'"{name}": {{{counted}"value": %s, "low": %s, "high": %s, "words": %s%s}}')
        figures += [column.hits, column.out_of] if counted else []
        figures += [*map(_figures, (column.value, column.low, column.high)), column.words]
        told = [_told(method, "", "", reason) for method, reason in column.tellings]
        figures.append(list(map(told.__getitem__, column.told)))
    pattern = ", ".join(patterns)
    return [pattern % row for row in zip(*figures)]


def _figures(values: Sequence[float]) -> list[str]:
    """Many figures as the encoder writes them, but NaN as null."""
    import orjson

    text = orjson.dumps(values)[1:-1].decode()
    texts = text.split(",") if text else []
    if "e" in text or "0.0000" in text:  # 0.00001 and 1e-7, which Python writes as 1e-05 and 1e-07
        return [repr(float(each)) if "e" in each or each.startswith("0.0000") else each for each in texts]
    return texts


def _score_text(score: Score) -> str:
    """A measure by its name."""
    name, hits, out_of, value, low, high, method, band, caution, reason, _, words = score
    counted = f'"hits": {hits}, "out_of": {out_of}, ' if MEASURES[name].counted else ""
    figures = f'"value": {_figure(value)}, "low": {_figure(low)}, "high": {_figure(high)}, "words": {words}'
    return f'"{name}": {{{counted}{figures}{_told(method, band, caution, reason)}}}'


def _figure(value: float | None) -> str:
    return "null" if value is None else repr(value)


@lru_cache(maxsize=4096)
def _told(*texts: str) -> str:
    """What is told beside the figures, where there is something."""
    told = zip(("method", "band", "caution", "reason"), texts)
    return "".join([f', "{key}": {encode_basestring(text)}' for key, text in told if text])


def _sound_text(row: SoundRow) -> str:
    """A sound."""
    sound, position, vowel, right, out_of, others = row
    instead = ", ".join([_instead_text(*other) for other in others])
    return f'{_kind_text(sound, position, vowel)}, "right": {right}, "out_of": {out_of}, "instead": [{instead}]}}'


def _sound_texts(columns: SoundColumns) -> list[str]:
    """Sounds, many at once."""
    kinds, kind, right, out_of, said, ends = columns
    heads = [_kind_text(sound, position, vowel) for vowel, sound, position in kinds]
    different = {other: _instead_text(*other) for other in set(said)}
    others = list(map(different.__getitem__, said))
    return [
        f'{heads[number]}, "right": {fine}, "out_of": {tried}, "instead": [{", ".join(others[begin:end])}]}}'
        for number, fine, tried, begin, end in zip(kind, right, out_of, (0, *ends), ends)
    ]


@lru_cache(maxsize=4096)
def _kind_text(sound: str, position: str, vowel: bool) -> str:
    return f'{{"sound": {encode_basestring(sound)}, "position": "{position}", "vowel": {"true" if vowel else "false"}'


@lru_cache(maxsize=1 << 14)
def _instead_text(said: str, times: int) -> str:
    return f'{{"said": {encode_basestring(said)}, "times": {times}}}'
