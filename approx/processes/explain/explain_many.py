"""Explaining many pairs: by adult form, so that what was found for one production of a word serves the next.

What comes of it is held once: most pairs have a reading in common with many others.
"""

from __future__ import annotations

from array import array
from collections.abc import Sequence

from approx.processes.explain.derivation import Derivation, Readings, Use
from approx.processes.explain.explain import Explainer, to_align
from approx.processes.explain.phrases import parts_of, phrase_readings
from approx.processes.explain.strange import unexplained
from approx.scoring.alignment.align import FormPair, Linker, WordPair, one_by_one

_AT_ONCE = 16384


class ReadingsFound:
    """Readings met so far, each held once; and so each derivation, and each use of a process."""

    def __init__(self) -> None:
        self._readings: dict[Readings, Readings] = {}
        self._derivations: dict[Derivation, Derivation] = {}
        self._uses: dict[Use, Use] = {}

    def kept(self, readings: Readings) -> Readings:
        """The same readings, as the objects first met."""
        found = self._readings.get(readings)
        if found is None:
            found = tuple([self._derivations.get(each) or self._new(each) for each in readings])
            self._readings[found] = found
        return found

    def _new(self, reading: Derivation) -> Derivation:
        uses = tuple([self._uses.setdefault(use, use) for use in reading.uses])
        found = self._derivations[reading] = reading._replace(uses=uses)
        return found


def explain_many(explainer: Explainer, forms: Sequence[FormPair], linker: Linker = one_by_one) -> list[Readings]:
    """The readings of each pair without their steps, in order; time grows with the distinct pairs.

    `linker` aligns many pairs at once; left out, they are aligned one by one.
    """
    phrases = [number for number, pair in enumerate(forms) if pair[0].edges or pair[1].edges]
    if phrases:
        return _with_phrases(explainer, forms, phrases, linker)
    out: list[Readings] = [()] * len(forms)
    told = ReadingsFound()
    last: FormPair | None = None
    found: Readings = ()
    order = _by_form(forms)
    for start in range(0, len(order), _AT_ONCE):
        part = order[start : start + _AT_ONCE]
        plain = [to_align(*forms[number]) for number in part]
        for number, asked, link in zip(part, plain, linker(plain), strict=True):
            pair = forms[number]
            if last is None or pair[1] != last[1] or pair[0] != last[0]:
                if explainer.strange.too_many(*asked, link):
                    found = (unexplained(*asked, link),)
                else:
                    found = told.kept(explainer.readings(*pair, links=link))
                last = pair
            out[number] = found
    return out


def _by_form(forms: Sequence[FormPair]) -> array[int]:
    """Numbers of the pairs by adult form, then by what was said: what is found of a form serves the next pair."""
    of_target: dict[tuple[str, ...], list[int]] = {}
    for number, (target, _) in enumerate(forms):
        of_target.setdefault(target.phones, []).append(number)
    order = array("I")
    for phones in sorted(of_target):
        order.extend(sorted(of_target[phones], key=lambda number: forms[number][1].phones))
    return order


def _with_phrases(
    explainer: Explainer, forms: Sequence[FormPair], phrases: Sequence[int], linker: Linker
) -> list[Readings]:
    """The same where some are phrases: their words are explained among the others, then put together."""
    single: list[FormPair] = []
    places: list[tuple[list[WordPair], int]] = []
    apart = set(phrases)
    for number, pair in enumerate(forms):
        parts = parts_of(*pair) if number in apart else []
        places.append((parts, len(single)))
        single += [(part.target, part.produced) for part in parts] or [pair]
    found = explain_many(explainer, single, linker)
    kept = ReadingsFound().kept
    return [kept(phrase_readings(parts, found[at : at + len(parts)])) if parts else found[at] for parts, at in places]
