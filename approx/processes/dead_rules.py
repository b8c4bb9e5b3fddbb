"""Rules that read well and yet could not happen in any word: most often a blank or a place forgotten."""

from __future__ import annotations

from collections.abc import Iterator

from approx.ipa import features as ft
from approx.processes.notation import Change, Item


def never_applies(change: Change) -> str | None:
    """Why a change could not happen in any word, or None if it could."""
    for item in (*change.focus, *change.left, *change.right, *change.result):
        if item.kind in ("sound", "class", "set", "bundle") and not any(map(item.fits, _sounds(item))):
            return f"no sound is '{item.text}'"
        if {(what, not wanted) for what, wanted in item.stress} & {*item.stress}:
            return f"nothing is '{item.text}'"
    if any(item.kind in ("edge", "cut", "gap") for item in change.focus) and not change.of_syllables:
        return "an edge or a stretch of sounds cannot change; write it after the /"
    if any(item.kind == "edge" for item in (*change.left[1:], *change.right[:-1])):
        return "a word edge # stands between sounds"
    taken = {item.name for item in change.focus if item.kind == "syllable" and item.name}
    if any(item.kind == "syllable" and item.name not in taken for item in change.result):
        return "a syllable after the arrow has the number of one before it: σ1 σ2 -> σ1 σ1"
    same = len(change.focus) == len(change.result) and all(map(_unchanged, change.focus, change.result))
    return "it changes nothing" if same else None


def _sounds(item: Item) -> Iterator[str]:
    """Sounds an item could stand for: those it spells out, and every one of the feature table."""
    yield from item.sounds or ((item.text,) if item.kind == "sound" else ())
    yield from ft.bases()


def _unchanged(old: Item, new: Item) -> bool:
    if old.kind == "syllable" == new.kind:
        return old.name == new.name
    return old.kind == new.kind and old.kind in ("sound", "set") and (old.text, old.name) == (new.text, new.name)
