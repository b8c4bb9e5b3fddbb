"""A sound put back: a form with the changes undone that a child no longer needs once that sound is granted.

A rung that grants a sound mostly needs no search: the form below with that sound put back asks for nothing else, and so
changes one thing, as a rung should. It is taken where the sound can help nowhere else, which is asked of every other change
of the form; elsewhere `undone` gives nothing and the search decides. It is nearly always what the search finds. Where the
search would have a cheaper form, that form changes other sounds as well (tests compare the two).
"""

from __future__ import annotations

from approx.ipa.word import Word
from approx.processes.form import form_of
from approx.processes.mends import Mend
from approx.processes.search import Key
from approx.processes.walk import Trace, Walk
from approx.processes.way import Way


def undone(walk: Walk, word: Word, way: Way, key: Key) -> Way | None:
    """The way without its changes of one sound, under what `walk` is granted; None where more than that may change."""
    if key[0] not in ("consonant", "vowel") or walk.limits.variety != "any":
        return None
    first = next((at for at, (_, _, change) in enumerate(way.steps) if not isinstance(change, Mend)), None)
    if first is None:
        return None
    form, kept, left = way.steps[first][0], list[Trace](way.steps[:first]), 0
    if any(why == key for _, why, _ in kept):
        return None
    for _, why, change in way.steps[first:]:
        if isinstance(change, Mend):
            return None
        if why == key:
            left += 1
            continue
        at, chain = change
        place = why[1][1] if why[0] == "consonant" else "vowel"
        options = walk.stand_ins(form, at, walk.r.options(form, at, place, walk.have[place]))
        nearest = min(options, key=lambda each: each[0])[1]
        if nearest[-1][2] != chain[-1][2]:
            return None
        kept.append((form, why, (at, nearest)))
        after = walk.carried_out(form, kept[-1][2])
        assert after is not None  # as a sound for a sound leaves a form
        form = after
    asked = [ask.key for ask in walk.node(form_of(word)).asks]
    if not left or asked.count(key) > left:
        return None
    if any(ask.key not in walk.granted for ask in walk.node(form).asks):
        return None
    return Way(form, tuple(kept))
