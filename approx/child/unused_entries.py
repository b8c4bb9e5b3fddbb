"""What stands in a child file and can never be used: remarks, which stop nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from approx.child.profile import Profile, Status
from approx.wording import enumerated, worded

_HAVE = ("established", "emerging")


class EntryRemark(NamedTuple):
    """Where it stands (keys from the top, and the text in the value), what is so, and the way out."""

    path: tuple[str, ...]
    symbol: str
    message: str
    hint: str


def remarks(profile: Profile, final_named: bool) -> Iterator[EntryRemark]:
    """Everything in the profile that its other parts make useless. `final_named`: finals have a line."""
    if not _had(profile.vowels):
        hint = "list the vowels under [vowels], or nothing with a vowel can be said"
        yield EntryRemark(("vowels",), "", "no vowel is established or emerging", hint)
    shapes = _had(profile.shapes)
    if not shapes:
        hint = 'such as established = ["V", "CV"] under [syllables], or nothing can be said'
        yield EntryRemark(("syllables",), "", "no syllable shape is established or emerging", hint)
        return
    starts = {len(shape) - len(shape.lstrip("C")) for shape in shapes}
    ends = {len(shape) - len(shape.rstrip("C")) for shape in shapes if "V" in shape}
    yield from _clusters(profile, starts, ends)
    finals = _had(profile.consonants.get("final", {}))
    if final_named and finals and ends <= {0}:
        hint = 'add a shape that ends in a consonant, such as "VC" or "CVC", under [syllables]'
        yield EntryRemark(("consonants", "final"), "", "no syllable shape has a final consonant", hint)


def _had(table: Mapping[str, Status]) -> list[str]:
    return [item for item, status in table.items() if status in _HAVE]


def _clusters(profile: Profile, starts: set[int], ends: set[int]) -> Iterator[EntryRemark]:
    """Clusters without a shape or without their sounds, and shapes without a cluster."""
    lengths: dict[str, set[int]] = {"initial": set(), "medial": set(), "final": set()}
    for (run, position), status in profile.clusters.items():
        if status not in _HAVE:
            continue
        name = f"{''.join(run)} {position}"
        lengths[position].add(len(run))
        fits = {"initial": starts, "final": ends, "medial": starts | ends}[position]
        if len(run) not in fits:
            hint = worded('add a shape such as "{run}" under [syllables]', run=_example(len(run), position))
            message = worded("no syllable shape has room for the cluster {name}", name=name)
            yield EntryRemark(("consonants", "clusters"), name, message, hint)
        have = profile.consonants.get(position, {})
        missing = [sound for sound in run if have.get(sound) not in _HAVE]
        if missing:
            message = worded(
                "the cluster {name} needs {missing} in {position} position",
                name=name,
                missing=enumerated(" and ", missing),
                position=position,
            )
            hint = worded("list {missing} for that position too", missing=" ".join(missing))
            yield EntryRemark(("consonants", "clusters"), name, message, hint)
    for shape in _had(profile.shapes):
        start, end = len(shape) - len(shape.lstrip("C")), len(shape) - len(shape.rstrip("C"))
        lacks_start = start > 1 and start not in lengths["initial"] | lengths["medial"]
        lacks_end = end > 1 and "V" in shape and end not in lengths["final"] | lengths["medial"]
        if lacks_start or lacks_end:
            size = start if lacks_start else end
            message = worded("the shape {shape} needs a cluster of {size}, and none is named", shape=shape, size=size)
            hint = worded(
                'such as clusters = ["{value}"] under [consonants]', value="sp initial" if lacks_start else "nd final"
            )
            yield EntryRemark(("syllables", profile.shapes[shape]), shape, message, hint)


def _example(length: int, position: str) -> str:
    return "VC" + "C" * (length - 1) if position == "final" else "C" * length + "V"
