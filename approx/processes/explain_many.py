"""Explaining many pairs: word by word, so that what was found for one production of a word serves the next.

What comes of it is held once: most pairs have a reading in common with many others.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from approx.ipa.word import Word
from approx.processes.derivation import Derivation
from approx.processes.explain import Explainer, to_align
from approx.scoring.align import Link, align

Forms = tuple[Word, Word]
"""Adult form and production."""
Readings = tuple[Derivation, ...]
Linker = Callable[[Sequence[Forms]], Sequence[Sequence[Link]]]
"""Alignments of many pairs at once, in order."""
_AT_ONCE = 16384


def one_by_one(forms: Sequence[Forms]) -> list[Sequence[Link]]:
    """The links of each pair."""
    return [align(target, produced).links for target, produced in forms]


class Told:
    """Readings met so far, each held once."""

    def __init__(self) -> None:
        self._readings: dict[Readings, Readings] = {}
        self._derivations: dict[Derivation, Derivation] = {}

    def kept(self, readings: Readings) -> Readings:
        """The same readings, as the objects first met."""
        found = self._readings.get(readings)
        if found is None:
            found = tuple([self._derivations.setdefault(each, each) for each in readings])
            self._readings[found] = found
        return found


def explain_many(explainer: Explainer, forms: Sequence[Forms], linker: Linker = one_by_one) -> list[Readings]:
    """The readings of each pair without their steps, in order; time grows with the distinct pairs.

    `linker` aligns many pairs at once; left out, they are aligned one by one.
    """
    order = sorted(range(len(forms)), key=lambda number: (forms[number][0].phones, forms[number][1].phones))
    out: list[Readings] = [()] * len(forms)
    told = Told()
    last: Forms | None = None
    found: Readings = ()
    for start in range(0, len(order), _AT_ONCE):
        part = order[start : start + _AT_ONCE]
        links = linker([to_align(*forms[number]) for number in part])
        for number, link in zip(part, links, strict=True):
            pair = forms[number]
            if pair != last:
                found = told.kept(explainer.readings(*pair, links=link))
                last = pair
            out[number] = found
    return out
