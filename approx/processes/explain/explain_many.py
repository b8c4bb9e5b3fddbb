"""Explaining many pairs: by adult form, so that what was found for one production of a word serves the next."""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence

from approx.processes.explain.derivation import Readings, ReadingsFound
from approx.processes.explain.explain import Explainer, to_align
from approx.processes.explain.phrases import parts_of, phrase_readings
from approx.processes.explain.strange import unexplained
from approx.scoring.alignment.align import FormPair, Linker, WordPair, one_by_one

_AT_ONCE = 16384


def explain_many(explainer: Explainer, forms: Sequence[FormPair], linker: Linker = one_by_one) -> list[Readings]:
    """The readings of each pair without their steps, in order; time grows with the distinct pairs.

    `linker` aligns many pairs at once; left out, they are aligned one by one.
    """
    out: list[Readings] = [()] * len(forms)
    kept = ReadingsFound().kept
    for number, found in explain_each(explainer, forms, linker):
        out[number] = kept(found)
    return out


def explain_each(
    explainer: Explainer, forms: Sequence[FormPair], linker: Linker = one_by_one
) -> Iterator[tuple[int, Readings]]:
    """The same, each by the number of its pair as it is explained; a pair is not looked at again then."""
    phrases = [number for number, pair in enumerate(forms) if pair[0].edges or pair[1].edges]
    if phrases:
        yield from _with_phrases(explainer, forms, phrases, linker)
        return
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
                    found = explainer.readings(*pair, links=link)
                last = pair
            yield number, found


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
) -> Iterator[tuple[int, Readings]]:
    """The same where some are phrases: their words are explained among the others, then put together."""
    single: list[FormPair] = []
    places: list[tuple[list[WordPair], int]] = []
    apart = set(phrases)
    for number, pair in enumerate(forms):
        parts = parts_of(*pair) if number in apart else []
        places.append((parts, len(single)))
        single += [(part.target, part.produced) for part in parts] or [pair]
    found = explain_many(explainer, single, linker)
    for number, (parts, at) in enumerate(places):
        yield number, phrase_readings(parts, found[at : at + len(parts)]) if parts else found[at]
