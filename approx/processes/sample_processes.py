"""Processes of a whole sample: what happened, on how many chances, in which words; what one token cannot decide.

A single token often has two equal readings (gun [dʌn]: velar fronting, or alveolar assimilation). Over a sample the
reading is taken that the other words bear out: assimilation only where the same sound is right, or said otherwise, in
words without a trigger (process conventions 5; measures 8.5).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from approx.ipa.word import Word
from approx.processes.chances import ChanceOptions, chances
from approx.processes.explain import Derivation, Explainer, Explanation


@dataclass(frozen=True, slots=True)
class Pair:
    """One token to explain; `key` is whatever names it to the caller (its row), `word` its gloss."""

    key: int
    word: str
    target: Word
    produced: Word


@dataclass(frozen=True, slots=True)
class Told:
    """One token explained: the reading taken for it."""

    pair: Pair
    reading: Derivation
    others: tuple[Derivation, ...]


@dataclass(slots=True)
class Tally:
    """Counts of one process: they add over samples. `words`: where it happened; `not_in`: where it could have."""

    occurrences: int = 0
    chances: int = 0
    words: dict[str, None] = field(default_factory=dict)
    not_in: dict[str, None] = field(default_factory=dict)
    rules: Counter[str] = field(default_factory=Counter)

    @property
    def percent(self) -> float | None:
        """None where there was no chance."""
        return 100.0 * self.occurrences / self.chances if self.chances else None

    def standing(self, options: ChanceOptions) -> str:
        """active, frequent, seen (under the criterion), not seen, or not enough chances."""
        if self.chances < options.least_chances:
            return "not enough chances"
        percent = self.percent or 0.0
        if percent >= options.frequent_percent:
            return "frequent"
        if percent >= options.active_percent:
            return "active"
        return "seen" if self.occurrences else "not seen"


@dataclass(frozen=True, slots=True)
class SampleProcesses:
    """All tokens told, the tally of each process, and what stays unexplained as (word, target sound, row)."""

    told: tuple[Told, ...]
    tallies: dict[str, Tally]
    unexplained: tuple[tuple[str, str, int], ...]


def explain_sample(explainer: Explainer, pairs: Iterable[Pair], options: ChanceOptions) -> SampleProcesses:
    """Explain every pair, decide between equal readings over the sample, count occurrences and chances."""
    listed = list(pairs)
    memo: dict[tuple[Word, Word], Explanation] = {}
    found: list[Explanation] = []
    for pair in listed:
        key = (pair.target, pair.produced)
        if key not in memo:
            memo[key] = explainer.explain(*key)
        found.append(memo[key])
    support = _support(found)
    told = tuple(_told(pair, each, support) for pair, each in zip(listed, found))
    tallies: dict[str, Tally] = defaultdict(Tally)
    missing: list[tuple[str, str, int]] = []
    for each in told:
        _count(each, tallies, options)
        missing += [(each.pair.word, each.pair.target.phones[t], each.pair.key) for t in each.reading.unexplained]
    return SampleProcesses(told, dict(tallies), tuple(missing))


def _support(found: list[Explanation]) -> Counter[tuple[str, str]]:
    """How often each process is the only good reading of a change of a sound: what the rest of the sample bears out."""
    support: Counter[tuple[str, str]] = Counter()
    for each in found:
        readings = (each.best, *each.readings)
        for use in each.best.uses:
            if all(use.process in reading.names for reading in readings):
                support.update((use.process, each.target.phones[t]) for t in use.targets if t < len(each.target.phones))
    return support


def _told(pair: Pair, each: Explanation, support: Counter[tuple[str, str]]) -> Told:
    """The reading the sample bears out best; the first one unless another has more support and costs little more."""
    readings = (each.best, *each.readings)

    def borne_out(reading: Derivation) -> float:
        own = [use for use in reading.uses if any(use.process not in other.names for other in readings)]
        return sum(support[use.process, each.target.phones[t]] for use in own for t in use.targets) / max(len(own), 1)

    best = max(readings, key=lambda reading: (borne_out(reading) if len(readings) > 1 else 0.0, -reading.cost))
    if best is not each.best and (borne_out(best) <= borne_out(each.best) or best.unexplained != each.best.unexplained):
        best = each.best
    return Told(pair, best, tuple(reading for reading in readings if reading is not best))


def _count(each: Told, tallies: dict[str, Tally], options: ChanceOptions) -> None:
    word, target = each.pair.word or each.pair.target.ipa, each.pair.target
    could = chances(target, options.weak_syllables)
    happened: Counter[str] = Counter()
    for use in each.reading.uses:
        happened[use.process] += 1
        tallies[use.process].rules[use.rule] += 1
    gone = _lost(each) if options.lost_sounds == "drop" else frozenset()
    for process in could.keys() | happened.keys():
        places = could.get(process, ())
        structural = process.endswith(("deletion", "reduction"))
        if gone and not structural:
            places = tuple(place for place in places if not gone >= set(place))
        tally = tallies[process]
        tally.occurrences += happened[process]
        # a change the description did not foresee is a chance all the same: never more uses than chances
        tally.chances += max(len(places), happened[process])
        if happened[process]:
            tally.words[word] = None
        elif places:
            tally.not_in[word] = None


def _lost(each: Told) -> frozenset[int]:
    """Adult sounds that were left off in the reading taken."""
    gone: set[int] = set()
    for use in each.reading.uses:
        if use.process.endswith(("deletion", "reduction")):
            gone.update(use.targets)
    return frozenset(gone)
