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
from approx.processes.accept.accept_rules import AccentSet
from approx.processes.engine.apply import made_at
from approx.processes.engine.form import Form, form_of
from approx.processes.rules.rule import Rule


class RuleUse(NamedTuple):
    """One use of a rule: adult sounds `start` to `end` (excluded) are said as `phones`; `text` is them joined."""

    start: int
    end: int
    phones: tuple[str, ...]
    text: str
    rule: Rule


@lru_cache(maxsize=65536)
def places(target: Word, accents: AccentSet) -> tuple[RuleUse, ...]:
    """Every place where a rule applies, from left to right; of rules with one outcome the cheapest (then by id).

    A rule for some spellings alone is among them: see `of_words`.
    """
    form = form_of(target)
    found: dict[tuple[int, int, tuple[str, ...]], RuleUse] = {}
    for start, end, phones, rule in _applied(form, accents):
        place, before = RuleUse(start, end, phones, "".join(phones), rule), found.get((start, end, phones))
        if before is None or _order(place) < _order(before):
            found[start, end, phones] = place
    return tuple(sorted(found.values(), key=_order))


def of_words(found: tuple[RuleUse, ...], target: Word, gloss: str) -> tuple[RuleUse, ...]:
    """The places without those whose rule holds for other words: a weak form belongs to *to*, not to *two*.

    The gloss names the words where it has as many as the target. Where it does not, such a rule holds inside a phrase
    alone, where grammar words stand.
    """
    if not any(place.rule.words for place in found):
        return found
    typed = gloss.casefold().split()
    known = len(typed) == len(target.edges) + 1

    def holds(place: RuleUse) -> bool:
        if not place.rule.words:
            return True
        if not known:
            return bool(target.edges)
        return typed[sum(edge <= place.start for edge in target.edges)].strip(".,;:!?") in place.rule.words

    return tuple(filter(holds, found))


def _order(place: RuleUse) -> tuple[int, int, float, str, str]:
    """From left to right, cheapest first; the same for rules in any order."""
    return place.start, place.end, place.rule.cost, place.rule.id, place.text


def _applied(form: Form, accents: AccentSet) -> Iterator[tuple[int, int, tuple[str, ...], Rule]]:
    """What each rule makes of which sounds of a form. Inside a phrase an edge may stand between two sounds, so no rule is left out there
    for the sounds beside it."""
    tag, alone = accents.language, not form.edges
    beside = ("", *form.phones, "")
    for at, sound in enumerate(form.phones):
        near = accents.rules_between(beside[at], sound, beside[at + 2]) if alone else accents.rules_at(sound)
        for rule in near:
            made = made_at(rule.change, form, at, tag)
            if made is not None:
                yield at, at + len(rule.change.focus), made, rule
    anywhere = () if alone else accents.insertions
    for at in range(len(form.phones) + 1):
        for rule in accents.insertions_between(beside[at], beside[at + 1]) if alone else anywhere:
            made = made_at(rule.change, form, at, tag)
            if made is not None:
                yield at, at, made, rule


def together(chosen: Sequence[RuleUse]) -> bool:
    """True if the places, from left to right, can be used in one form."""
    return all(_apart(one, other) for one, other in combinations(chosen, 2))


def _apart(one: RuleUse, other: RuleUse) -> bool:
    """True if neither place takes a sound of the other; `one` starts no later than `other`."""
    if one.start == one.end or other.start == other.end:
        return one.end <= other.start and (one.start, one.end) != (other.start, other.end)
    return one.end < other.start or (one.end == other.start and not (one.text == "" == other.text))


def said_so(target: Word, chosen: Sequence[RuleUse], tag: str) -> Word:
    """The adult form with some places changed, from left to right; a vowel keeps the stress of the one it stands for."""
    if not chosen:
        return target
    kept_shape = all(_nuclei(target.phones[place.start : place.end]) == _nuclei(place.phones) for place in chosen)
    if kept_shape and not target.edges:
        said = list(target.phones)
        for place in chosen:
            said[place.start : place.end] = place.phones
        return Word(tuple(said), target.starts, target.stress)
    phones: list[str] = []
    degrees: list[int] = []  # of each sound: the stress of its syllable
    new_at: list[int] = []  # where each adult sound, and the end, has come to stand
    at = 0
    for place in (*chosen, RuleUse(len(target.phones), len(target.phones), (), "", chosen[0].rule)):
        for index in range(at, place.start):
            new_at.append(len(phones))
            phones.append(target.phones[index])
            degrees.append(_degree(target, index))
        run = target.phones[place.start : place.end]
        new_at += [len(phones)] * len(run)
        stressed = [_degree(target, place.start + k) for k, phone in enumerate(run) if is_nucleus(phone)]
        for phone in place.phones:
            phones.append(phone)
            degrees.append(stressed.pop(0) if is_nucleus(phone) and stressed else 0)
        at = place.end
    edges = tuple(sorted({new_at[edge] for edge in target.edges} - {0, len(phones)}))
    if kept_shape:
        return Word(tuple(phones), target.starts, target.stress, edges=edges)
    cuts = [new_at[start] for start in target.starts[1:]]
    starts = syllable_starts(phones, cuts, language(tag))
    return Word(tuple(phones), starts, _stress(phones, degrees, starts), edges=edges)


def _nuclei(phones: Sequence[str]) -> list[bool]:
    return list(map(is_nucleus, phones))


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


def combined(found: Iterable[RuleUse]) -> Iterator[tuple[RuleUse, ...]]:
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
