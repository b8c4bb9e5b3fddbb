"""Sounds and measures of groups written straight into JSON text: those of many groups, whole columns at a time.

The same text as the encoder makes of `SoundRow.to_dict` and `Score.as_json`, in a fraction of its time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from json.encoder import encode_basestring

from approx.scoring.bulk.group_measures import BANDED, GroupMeasures, MeasuredGroups
from approx.scoring.bulk.group_slots import GroupSlots, SlotCounts
from approx.scoring.measures.breakdown import SoundRow
from approx.scoring.measures.catalogue import MEASURES, Score
from approx.scoring.sample_score import GroupScore

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
            sounds = list(map(_sound_text, slots.different_sounds))
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


@lru_cache(maxsize=4096)
def _kind_text(sound: str, position: str, vowel: bool) -> str:
    return f'{{"sound": {encode_basestring(sound)}, "position": "{position}", "vowel": {"true" if vowel else "false"}'


@lru_cache(maxsize=1 << 14)
def _instead_text(said: str, times: int) -> str:
    return f'{{"said": {encode_basestring(said)}, "times": {times}}}'
