"""Explaining many pairs: by adult form, so that what was found for one production of a word serves the next."""

from __future__ import annotations

from array import array
from collections.abc import Collection, Iterator, Sequence

from approx.ipa.word import Word
from approx.processes.explain.adult_facts import NumberedItems
from approx.processes.explain.derivation import GoodReadings
from approx.processes.explain.explain import DoubtfulPair, Explainer, to_align, untold
from approx.processes.explain.phrases import nothing_understood, parts_of, phrase_readings
from approx.processes.explain.strange import unexplained
from approx.scoring.alignment.align import FormPair, Linker, PairLinks, WordPair, one_by_one

_AT_ONCE = 4096


def explain_many(explainer: Explainer, forms: Sequence[FormPair], linker: Linker = one_by_one) -> list[GoodReadings]:
    """The readings of each pair without their steps, in order; time grows with the distinct pairs.

    `linker` aligns many pairs at once; left out, they are aligned one by one.
    """
    out: list[GoodReadings] = [()] * len(forms)
    kept: NumberedItems[GoodReadings] = NumberedItems()
    targets, productions = [target for target, _ in forms], [produced for _, produced in forms]
    for number, found in explain_each(explainer, targets, productions, linker):
        out[number] = kept.all[kept[found]]
    return out


def explain_each(
    explainer: Explainer, targets: Sequence[Word], productions: Sequence[Word], linker: Linker
) -> Iterator[tuple[int, GoodReadings]]:
    """The number and the readings of each pair, in the order in which they are best explained: by adult form."""
    phrases = {at for at, pair in enumerate(zip(targets, productions)) if pair[0].edges or pair[1].edges}
    if phrases:
        yield from _with_phrases(explainer, targets, productions, phrases, linker)
        return
    last: FormPair | None = None
    found: GoodReadings | DoubtfulPair = ()
    order = _by_form(targets, productions)
    for start in range(0, len(order), _AT_ONCE):
        part = order[start : start + _AT_ONCE]
        asked = [to_align(targets[number], productions[number]) for number in part]
        begun: list[GoodReadings | DoubtfulPair] = []
        for number, pair, links in zip(part, asked, linker(asked), strict=True):
            this = targets[number], productions[number]
            # the sounds first: they hardly ever are the same
            if last is None or this[1].phones != last[1].phones or this != last:
                found = _by_links(explainer, this[0], pair, links)
            begun.append(found)
            last = this
        yield from zip(part, _settled(explainer, asked, begun, linker))


def _settled(
    explainer: Explainer,
    asked: Sequence[FormPair],
    begun: Sequence[GoodReadings | DoubtfulPair],
    linker: Linker,
) -> Iterator[GoodReadings]:
    """The readings of each pair; the next best links of the doubtful ones are found together."""
    doubtful = [(meant, each) for (meant, _), each in zip(asked, begun) if isinstance(each, DoubtfulPair)]
    forms = [(meant, each.said) for meant, each in doubtful]
    others = iter(linker(forms, never=[each.never for _, each in doubtful]) if doubtful else ())
    for each in begun:
        yield explainer.by_other_links(each, next(others)) if isinstance(each, DoubtfulPair) else each


def _by_links(explainer: Explainer, target: Word, pair: FormPair, links: PairLinks) -> GoodReadings | DoubtfulPair:
    """As `Explainer.by_links`; or the only reading of a pair that is not looked into. `pair`: as `to_align` gives it."""
    if explainer.strange.too_many(*pair, links):
        return (unexplained(*pair, links),)
    if nothing_understood(pair[0]) or nothing_understood(pair[1]):
        return (untold(*pair),)
    return explainer.by_links(target, pair[1], links)


def _by_form(targets: Sequence[Word], productions: Sequence[Word]) -> array[int]:
    """Numbers of the pairs by adult form, then by what was said: what is found of a form serves the next pair."""
    of_target: dict[tuple[str, ...], array[int]] = {}
    for number, target in enumerate(targets):
        of_target.setdefault(target.phones, array("I")).append(number)
    order = array("I")
    for phones in sorted(of_target):
        order.extend(sorted(of_target[phones], key=lambda number: productions[number].phones))
    return order


def _with_phrases(
    explainer: Explainer, targets: Sequence[Word], productions: Sequence[Word], phrases: Collection[int], linker: Linker
) -> Iterator[tuple[int, GoodReadings]]:
    """The number and the readings of each pair where some are phrases: their words are explained among the others, then put
    together."""
    single: list[FormPair] = []
    places: list[tuple[list[WordPair], int]] = []
    for number, pair in enumerate(zip(targets, productions)):
        parts = parts_of(*pair) if number in phrases else []
        places.append((parts, len(single)))
        single += [(part.target, part.produced) for part in parts] or [pair]
    found = explain_many(explainer, single, linker)
    for number, (parts, at) in enumerate(places):
        yield number, phrase_readings(parts, found[at : at + len(parts)]) if parts else found[at]
