"""Accuracy in tables: by sound and position with the substitutes, by consonant, manner, place and class."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from approx.scoring.judging.counts import Counts
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.judging.structure import class_of_eight, manner, place
from approx.scoring.measures.accuracy import MeasureValue, percent

LEFT_OFF, ADDED = "∅", "+"
"""How the table of sounds writes that nothing was said for a sound, and that it was said with another one added to it."""


class SoundRow(NamedTuple):
    """One target sound in one position: right so many times of all, and what was said instead, commonest first.

    `instead`: (what was said, times); LEFT_OFF for nothing, ADDED for an added sound that makes a right one wrong.
    """

    sound: str
    position: str
    vowel: bool
    right: int
    out_of: int
    instead: tuple[tuple[str, int], ...]

    def to_dict(self) -> dict[str, object]:
        """As in `score --json`, key `sounds`."""
        return {
            "sound": self.sound,
            "position": self.position,
            "vowel": self.vowel,
            "right": self.right,
            "out_of": self.out_of,
            "instead": [{"said": said, "times": times} for said, times in self.instead],
        }


def sounds_by_position(slots: Mapping[Slot, int]) -> tuple[SoundRow, ...]:
    """What was said for each target sound in each position; consonants first, most errors first, then by sound.

    `slots` as in `Counts`. Positions: `Slot`. What is right: as `accuracy.pcc` and `accuracy.pvc`; an allophone is right.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> rows = sounds_by_position(count_pairs([("ti", "ki"), ("toʊ", "koʊ"), ("ˈteɪbəl", "ˈteɪbəl")]).slots)
    >>> rows[0].sound, rows[0].position, rows[0].right, rows[0].out_of, rows[0].instead
    ('t', 'initial', 1, 3, (('k', 2),))
    """
    found: dict[tuple[bool, str, str], list[tuple[Slot, int]]] = {}
    for entry in slots.items():
        slot = entry[0]
        key = slot.vowel, slot.target, slot.position
        if key in found:
            found[key].append(entry)
        else:
            found[key] = [entry]
    rows = map(sound_row, found.values())
    return tuple(sorted(rows, key=lambda row: (row.vowel, row.right - row.out_of, row.sound, row.position)))


def sound_row(slots: Sequence[tuple[Slot, int]]) -> SoundRow:
    """The row of one sound in one position, from its slots with how often each was met."""
    right = out_of = 0
    instead: dict[str, int] = {}
    for slot, times in slots:
        out_of += times
        said = instead_of(slot)
        if said:
            instead[said] = instead.get(said, 0) + times
        else:
            right += times
    sound, position, _, _, vowel = slots[0][0]
    return SoundRow(sound, position, vowel, right, out_of, _commonest(instead) if instead else ())


def instead_of(slot: Slot) -> str:
    """How the table of sounds writes what was said instead of a sound; "" where it was right."""
    if slot.verdict == Verdict.RIGHT:
        return ""
    return ADDED if slot.said == slot.target else slot.said or LEFT_OFF


def _commonest(forms: Mapping[str, int]) -> tuple[tuple[str, int], ...]:
    if len(forms) == 1:
        return (*forms.items(),)
    return tuple(sorted(forms.items(), key=lambda entry: (-entry[1], entry[0])))


WAYS: dict[str, Callable[[Slot, str], str | None]] = {
    "consonant": lambda slot, language: slot.target,
    "position": lambda slot, language: slot.position,
    "manner": lambda slot, language: manner(slot.target),
    "place": lambda slot, language: place(slot.target),
    "class of eight": lambda slot, language: class_of_eight(slot.target, language),
    "consonant and position": lambda slot, language: f"{slot.target} {slot.position}",
}
"""Ways to split the target consonants; the class of eight is defined for English only."""


def by(counts: Counts, way: str, upto: Verdict = Verdict.RIGHT, language: str = "en-US") -> dict[str, MeasureValue]:
    """Percent right of each part of the target consonants. KeyError for a way not in `WAYS`.

    `upto`: RIGHT for PCC, COMMON for PCC-A, DISTORTED for PCC-R. Parts come in alphabetical order; their hits and
    out_of add to those of the whole. Source: as `measures.pcc`.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> rabbit = count_pairs([("ˈɹæbɪt", "ˈwæbɪt")])
    >>> {part: value.value for part, value in by(rabbit, "manner").items()}
    {'liquid': 0.0, 'stop': 100.0}
    """
    part = WAYS[way]
    return _table(counts, lambda slot: part(slot, language), upto, vowels=False)


def by_vowel(counts: Counts, upto: Verdict = Verdict.RIGHT) -> dict[str, MeasureValue]:
    """Percent right of each target vowel.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> {part: value.value for part, value in by_vowel(count_pairs([("ˈwɑtɚ", "ˈwɑwɑ")])).items()}
    {'ɑ': 100.0, 'ɚ': 0.0}
    """
    return _table(counts, lambda slot: slot.target, upto, vowels=True)


def _table(counts: Counts, part: Callable[[Slot], str | None], upto: Verdict, vowels: bool) -> dict[str, MeasureValue]:
    sums: dict[str, list[int]] = {}
    for slot, times in counts.slots.items():
        name = part(slot)
        if slot.vowel == vowels and name is not None:
            pair = sums.setdefault(name, [0, 0])
            pair[0] += times * (slot.verdict <= upto)
            pair[1] += times
    return {name: percent(sums[name][0], sums[name][1], "no targets") for name in sorted(sums)}


def said_for(counts: Counts, vowels: bool = False) -> dict[str, dict[str, int]]:
    """Target -> what was said for it ("" for nothing) -> how often: the target × production matrix.

    >>> from approx.scoring.measures.accuracy import count_pairs
    >>> said_for(count_pairs([("spun", "pun"), ("sup", "tup")]))
    {'n': {'n': 1}, 'p': {'p': 2}, 's': {'': 1, 't': 1}}
    """
    out: dict[str, dict[str, int]] = {}
    for slot, times in counts.slots.items():
        if slot.vowel == vowels:
            row = out.setdefault(slot.target, {})
            row[slot.said] = row.get(slot.said, 0) + times
    return {target: dict(sorted(row.items())) for target, row in sorted(out.items())}
