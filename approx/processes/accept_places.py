"""Where accent rules apply in an adult form, and the forms that come of applying some of them together.

Every rule is matched against the adult form and never against the outcome of another rule, so that their order plays no
part and no rule can open the door for another. Rules used together may not touch the same sounds, nor leave off two
sounds in a row: the second would have lost the neighbour its own context asks for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.ipa.syllables import syllable_starts
from approx.ipa.word import Word
from approx.processes.accept_rules import AccentSet
from approx.processes.apply import apply, apply_at
from approx.processes.form import Form, form_of
from approx.processes.rule import Rule


class Place(NamedTuple):
    """One use of a rule: adult sounds `start` to `end` (excluded) are said as `phones`; `text` is them joined."""

    start: int
    end: int
    phones: tuple[str, ...]
    text: str
    rule: Rule


@lru_cache(maxsize=65536)
def places(target: Word, accents: AccentSet) -> tuple[Place, ...]:
    """Every place where a rule applies, from left to right; of rules with one outcome the cheapest (then by id)."""
    form = form_of(target)
    found: dict[tuple[int, int, tuple[str, ...]], Place] = {}
    for start, end, after, rule in _applied(form, accents):
        phones = after.phones[start : len(after.phones) - len(form.phones) + end]
        place, before = Place(start, end, phones, "".join(phones), rule), found.get((start, end, phones))
        if after.phones and (before is None or _order(place) < _order(before)):
            found[start, end, phones] = place
    return tuple(sorted(found.values(), key=_order))


def _order(place: Place) -> tuple[int, int, float, str, str]:
    """From left to right, cheapest first; the same for rules in any order."""
    return place.start, place.end, place.rule.cost, place.rule.id, place.text


def _applied(form: Form, accents: AccentSet) -> Iterator[tuple[int, int, Form, Rule]]:
    tag = accents.language
    for at, sound in enumerate(form.phones):
        for rule in accents.rules_at(sound):
            after = apply_at(rule.change, form, at, tag)
            if after is not None:
                yield at, at + len(rule.change.focus), after, rule
    for rule in accents.insertions:
        for start, end, after in apply(rule.change, form, tag):
            yield start, end, after, rule


def together(chosen: Sequence[Place]) -> bool:
    """True if the places, from left to right, can be used in one form."""
    return all(_apart(one, other) for one, other in combinations(chosen, 2))


def _apart(one: Place, other: Place) -> bool:
    """True if neither place takes a sound of the other; `one` starts no later than `other`."""
    if one.start == one.end or other.start == other.end:
        return one.end <= other.start and (one.start, one.end) != (other.start, other.end)
    return one.end < other.start or (one.end == other.start and not (one.text == "" == other.text))


def said_so(target: Word, chosen: Sequence[Place], tag: str) -> Word:
    """The adult form with some places changed, from left to right; a vowel keeps the stress of the one it stands for."""
    if not chosen:
        return target
    phones: list[str] = []
    degrees: list[int] = []  # of each sound: the stress of its syllable
    new_at: list[int] = []  # where each adult sound, and the end, has come to stand
    kept_shape, at = True, 0
    for place in (*chosen, Place(len(target.phones), len(target.phones), (), "", chosen[0].rule)):
        for index in range(at, place.start):
            new_at.append(len(phones))
            phones.append(target.phones[index])
            degrees.append(_degree(target, index))
        run = target.phones[place.start : place.end]
        kept_shape &= [is_nucleus(phone) for phone in run] == [is_nucleus(phone) for phone in place.phones]
        new_at += [len(phones)] * len(run)
        stressed = [_degree(target, place.start + k) for k, phone in enumerate(run) if is_nucleus(phone)]
        for phone in place.phones:
            phones.append(phone)
            degrees.append(stressed.pop(0) if is_nucleus(phone) and stressed else 0)
        at = place.end
    if kept_shape:
        return Word(tuple(phones), target.starts, target.stress)
    cuts = [new_at[start] for start in target.starts[1:]]
    starts = syllable_starts(phones, cuts, language(tag))
    return Word(tuple(phones), starts, _stress(phones, degrees, starts))


def _degree(target: Word, index: int) -> int:
    number = sum(start <= index for start in target.starts) - 1
    return target.stress[number] if number >= 0 else 0


def _stress(phones: Sequence[str], degrees: Sequence[int], starts: Sequence[int]) -> tuple[int, ...]:
    """The degree of each syllable's first vowel; one syllable has the main stress."""
    out = []
    for start, end in zip(starts, (*starts[1:], len(phones))):
        out.append(next((degrees[k] for k in range(start, end) if is_nucleus(phones[k])), 0))
    if out and 1 not in out:
        out[out.index(2) if 2 in out else 0] = 1
    return tuple(out)


def combined(found: Iterable[Place]) -> Iterator[tuple[Place, ...]]:
    """Every set of places that can be used together, smaller sets first, each from left to right."""
    pool = tuple(found)
    for size in range(len(pool) + 1):
        any_found = False
        for chosen in combinations(pool, size):
            if together(chosen):
                any_found = True
                yield chosen
        if not any_found:
            return
