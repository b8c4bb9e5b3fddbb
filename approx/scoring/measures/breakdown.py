"""Accuracy in a table: by sound and position, with what was said instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from approx.scoring.judging.slots import Slot, Verdict

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
