"""Rules that undo each other: where one change leads back to the form the other started from.

A pair is no fault: the search pays for every step, keeps the forms it has seen and stops after a fixed number
of them. But cheap rules that undo each other cost time and are often a slip: `approx doctor` names them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from approx.ipa import read
from approx.processes.engine.apply import apply, apply_at
from approx.processes.engine.form import Form, form_of
from approx.processes.rules.rule import Rule


@dataclass(frozen=True, slots=True)
class UndoingPair:
    """Two rules and one form that goes there and back; both may be one rule (ɔ -> ɑ and ɑ -> ɔ)."""

    there: Rule
    back: Rule
    start: str
    middle: str

    @property
    def cost(self) -> float:
        """What the way there and back costs together."""
        return self.there.cost + self.back.cost


def undoing_pairs(rules: Iterable[Rule], use: str = "simplify") -> tuple[UndoingPair, ...]:
    """Every pair of rules of one use that undo each other on a rule's own examples, each pair once.

    An example stands for all sounds of a set: pɛn -> bɛn of {p t k} -> {b d ɡ} is tried with t and k too.
    """
    usable = sorted((rule for rule in rules if use in rule.uses), key=lambda rule: rule.id)
    by_growth: dict[int, list[Rule]] = defaultdict(list)
    for rule in usable:
        by_growth[_growth(rule)].append(rule)
    found: dict[frozenset[str], UndoingPair] = {}
    for there in usable:
        for start, middle in _witnesses(there):
            before = _alike(middle.phones, start.phones)
            differing_end = len(middle.phones) - _alike(middle.phones[::-1], start.phones[::-1])
            for back in by_growth[-_growth(there)]:
                pair = frozenset((there.id, back.id))
                if (
                    pair not in found
                    and _speak_together(there, back)
                    and _leads_to(back, middle, start, before, differing_end)
                ):
                    found[pair] = UndoingPair(there, back, start.word.ipa, middle.word.ipa)
    return tuple(sorted(found.values(), key=lambda pair: (pair.cost, pair.there.id, pair.back.id)))


def rings(rules: Iterable[Rule], below: float, longest: int = 6) -> tuple[tuple[Rule, ...], ...]:
    """Three rules or more that turn a sound into others and back to itself for less than `below` together.

    Only rules of "simplify" that change one sound into one; each ring once, from its first rule by id.
    """
    steps: dict[str, set[tuple[str, Rule]]] = defaultdict(set)
    for rule in rules:
        if (
            "simplify" in rule.uses
            and len(rule.change.focus) == 1 == len(rule.change.result)
            and not rule.change.of_syllables
        ):
            for start, middle in _witnesses(rule):
                changed = [(a, b) for a, b in zip(start.phones, middle.phones, strict=True) if a != b]
                steps[changed[0][0]].add((changed[0][1], rule))
    found: dict[frozenset[str], tuple[Rule, ...]] = {}
    for sound in sorted(steps):
        todo: list[tuple[str, tuple[Rule, ...]]] = [(sound, ())]
        while todo:
            here, taken = todo.pop()
            for there, rule in sorted(steps[here], key=lambda step: (step[1].id, step[0])):
                way = (*taken, rule)
                if rule in taken or sum(step.cost for step in way) >= below:
                    continue
                if there == sound and len(way) > 2:
                    first = min(range(len(way)), key=lambda at: way[at].id)
                    found.setdefault(frozenset(step.id for step in way), way[first:] + way[:first])
                elif there != sound and len(way) < longest:
                    todo.append((there, way))
    return tuple(sorted(found.values(), key=lambda way: [rule.id for rule in way]))


def _growth(rule: Rule) -> int:
    """Items written less items taken: a rule can only be undone by one of the opposite growth."""
    return len(rule.change.result) - len(rule.change.focus)


def _speak_together(one: Rule, other: Rule) -> bool:
    """True if both can be in use for one child."""
    return "" in (one.language, other.language) or one.language == other.language


def _witnesses(rule: Rule) -> Iterator[tuple[Form, Form]]:
    """Forms before and after the rule: its examples, and these with the other sounds of its sets."""
    tag = rule.language or "en-US"
    for before, _ in rule.examples:
        reading = read(before, tag)
        if reading.problems or len(reading.words) != 1:
            continue
        start = form_of(reading.words[0])
        for first, last, middle in apply(rule.change, start, tag):
            yield start, middle
            if last - first != 1 or rule.change.of_syllables:
                continue
            for other in rule.change.focus[0].sounds:
                varied = start._replace(phones=(*start.phones[:first], other, *start.phones[last:]))
                yield from ((varied, after) for at, _, after in apply(rule.change, varied, tag) if at == first)


def _leads_to(rule: Rule, form: Form, goal: Form, before: int, differing_end: int) -> bool:
    """True if the rule makes one form of the other; they are alike up to sound `before`, and from `differing_end` on."""
    change, tag = rule.change, rule.language or "en-US"
    if change.of_syllables:
        return any(after[:3] == goal[:3] for _, _, after in apply(change, form, tag))
    # what a rule writes stands in place of its focus, so the focus has to cover all that differs
    for at in range(max(0, differing_end - len(change.focus)), before + 1):
        found = apply_at(change, form, at, tag)
        if found is not None and found[:3] == goal[:3]:
            return True
    return False


def _alike(one: Sequence[str], other: Sequence[str]) -> int:
    """How many sounds two forms begin with alike."""
    return next((at for at, (a, b) in enumerate(zip(one, other)) if a != b), min(len(one), len(other)))
