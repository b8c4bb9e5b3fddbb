"""The slow and obvious twin of choosing readings and counting processes: every token of a sample is gone through by itself.

Nothing is found beforehand, kept or shared: readings are weighed and opportunities looked up anew for each token.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from math import log

from approx.processes.explain.derivation import Derivation, GoodReadings
from approx.processes.explain.explained_pairs import ExplainedPair
from approx.processes.explain.opportunities import (
    OpportunityOptions,
    counts_always,
    counts_if_seen,
    kind_at,
    opportunities_in,
    opportunities_left,
)

SLIP, SURE = 0.05, log(10)
WITHOUT_TRIGGER = {
    "alveolar assimilation": ("velar fronting", "alveolarization"),
    "velar assimilation": ("backing",),
    "labial assimilation": ("labialization",),
    "palatal assimilation": ("palatalization", "affrication"),
    "nasal assimilation": ("nasalization",),
}
Rivals = tuple[str, str]


def taken(tokens: Sequence[ExplainedPair]) -> list[Derivation]:
    """The reading of each token."""
    return [_taken(token, tokens) for token in tokens]


def _taken(token: ExplainedPair, tokens: Sequence[ExplainedPair]) -> Derivation:
    first = token.readings[0]
    found = list(_rivalries(token))
    if not found:
        return _by_support(token, tokens)
    worth: dict[int, float] = {}
    for number, pair, t in found:
        phone = token.target.phones[t]
        far_first = any(use.process == pair[0] and t in use.targets for use in first.uses)
        sign = -1.0 if far_first else 1.0
        # of all sounds of which some token of the sample leaves the two open
        open_ones = {each.target.phones[at] for each in tokens for _, other, at in _rivalries(each) if other == pair}
        own, whole = sign * _foretold(pair, {phone}, tokens), sign * _foretold(pair, open_ones, tokens)
        worth[number] = max(worth.get(number, 0.0), whole if own >= 0 else 0.0)
    best = max(worth, key=lambda number: (worth[number], -token.readings[number].cost))
    return token.readings[best] if worth[best] > SURE else first


def _rivalries(token: ExplainedPair) -> Iterator[tuple[int, Rivals, int]]:
    """Other readings that differ in that a change has, or has not, a trigger."""
    first = Counter((use.process, use.targets) for use in token.readings[0].uses)
    for number, reading in enumerate(token.readings[1:], 1):
        other = Counter((use.process, use.targets) for use in reading.uses)
        mine, others = first - other, other - first
        names = {name for name, _ in mine}, {name for name, _ in others}
        if len(names[0]) != 1 or len(names[1]) != 1 or {at for _, at in mine} != {at for _, at in others}:
            continue
        (one,), (two,) = names
        for pair in ((one, two), (two, one)):
            if pair[1] in WITHOUT_TRIGGER.get(pair[0], ()):
                for _, at in mine:
                    if len(at) == 1 and _near(token, at[0], pair[0]):
                        yield number, pair, at[0]


def _near(token: ExplainedPair, t: int, assimilation: str) -> bool:
    """True where a trigger of the assimilation is in the word."""
    return any(t in place for place in opportunities_in(token.target, "all").get(assimilation, ()))


def _foretold(pair: Rivals, sounds: set[str], tokens: Sequence[ExplainedPair]) -> float:
    """How much better some sounds are foretold by the assimilation than by the general change (log-likelihood)."""
    stood, changed = Counter[bool](), Counter[bool]()
    for token in tokens:
        for t, phone in enumerate(token.target.phones):
            uses = {use.process for use in token.readings[0].uses if t in use.targets}
            if phone in sounds and not any(name.endswith(("deletion", "reduction")) for name in uses):
                near = _near(token, t, pair[0])
                stood[near] += 1
                changed[near] += bool(uses & set(pair))
    if not stood[False]:
        return 0.0
    everywhere = changed.total() / max(stood.total(), 1)
    only_near = changed[True] / max(stood[True], 1)
    general = sum(_likely(changed[near], stood[near], everywhere) for near in (False, True))
    return _likely(changed[False], stood[False], SLIP) + _likely(changed[True], stood[True], only_near) - general


def _likely(changed: int, number: int, rate: float) -> float:
    rate = min(max(rate, 1e-6), 1 - 1e-6)
    return changed * log(rate) + (number - changed) * log(1 - rate)


def _by_support(token: ExplainedPair, tokens: Sequence[ExplainedPair]) -> Derivation:
    """The reading whose own changes are elsewhere most often the only good ones; no more steps than the first."""
    first = token.readings[0]
    readings = [each for each in token.readings if len(each.uses) <= len(first.uses)]
    shared = set.intersection(*(set(each.names) for each in readings))

    def worth(reading: Derivation) -> float:
        own = [use for use in reading.uses if use.process not in shared]
        sounds = [(use.process, token.target.phones[t]) for use in own for t in use.targets]
        return sum(_support(sound, tokens) for sound in sounds) / max(len(own), 1)

    best = max(readings, key=lambda each: (worth(each), -each.cost))
    return first if worth(best) <= worth(first) or best.unexplained != first.unexplained else best


def _support(sound: tuple[str, str], tokens: Sequence[ExplainedPair]) -> int:
    found = 0
    for token in tokens:
        best, *others = token.readings
        for use in best.uses:
            if use.process == sound[0] and all(use.process in each.names for each in others):
                found += sum(token.target.phones[t] == sound[1] for t in use.targets)
    return found


Counts = dict[str, tuple[int, int, set[str], set[str], Counter[str]]]


def counted(tokens: Sequence[ExplainedPair], readings: GoodReadings, options: OpportunityOptions) -> Counts:
    """Process -> occurrences, chances, words in which it happened, words where it could have and did not, rules."""
    kinds: dict[tuple[str, str], tuple[int, int, set[str], set[str], Counter[str]]] = {}
    for token, reading in zip(tokens, readings, strict=True):
        gone: set[int] = set()
        if options.lost_sounds == "drop":
            for use in reading.uses:
                gone |= set(use.targets) if use.process.endswith(("deletion", "reduction")) else set()
        could = opportunities_left(token.target, frozenset(gone), options.weak_syllables, options.lost_r)
        uses = [((use.process, kind_at(token.target, use.process, use.targets)), use.rule) for use in reading.uses]
        happened = Counter(kind for kind, _ in uses)
        for kind in {**could, **happened}:
            occurrences, number, words, others, rules = kinds.get(kind, (0, 0, set(), set(), Counter()))
            # a change the description did not foresee is a chance all the same
            number += max(could.get(kind, 0), happened[kind])
            (words if happened[kind] else others if could[kind] else set()).add(token.shown)
            rules.update(rule for each, rule in uses if each == kind)
            kinds[kind] = occurrences + happened[kind], number, words, others, rules
    out: Counts = {}
    for process in {process for process, _ in kinds}:
        several = [(kind, counts) for kind, counts in kinds.items() if kind[0] == process]
        if any(counts[0] for _, counts in several):
            taken = [each for each in several if each[1][0] or counts_always(each[0])]
        else:
            taken = [each for each in several if not counts_if_seen(each[0])]
        often = sum(counts[0] for _, counts in taken)
        for kind, counts in taken:
            rare = 5 * counts[0] <= often and 100 * counts[0] < options.active_percent * counts[1]
            slips = rare and counts_if_seen(kind)
            one = (counts[0], counts[0], counts[2], set[str](), counts[4]) if slips else counts
            before = out.get(process, (0, 0, set(), set(), Counter()))
            out[process] = (
                before[0] + one[0], before[1] + one[1], before[2] | one[2], before[3] | one[3], before[4] + one[4]
            )  # fmt: skip
    return out
