"""A sample counted for its processes: distinct pairs by group, and which row held which, in a few bytes a row."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from approx.cli.long_files import Bar, opened
from approx.cli.sample_input import look_up
from approx.ipa.word import Word
from approx.problems import Problem
from approx.processes.accents_used import Accents
from approx.processes.accept import AcceptedForm, accepted_form
from approx.processes.explain import Explainer
from approx.processes.explain_many import Forms
from approx.processes.ruleset import RuleSet
from approx.processes.sample_processes import Heard, hear
from approx.scoring.align import Link
from approx.scoring.sample import COUNTED, Pair, grouped, open_reader

_FEW = 3000
"""Pairs up to which aligning them one by one is over sooner than what aligns many is loaded."""


@dataclass(slots=True)
class Group:
    """Tokens that agree in the columns asked for, and in language: which pair stood in which row; what was left out."""

    labels: dict[str, str]
    language: str
    rows: array[int] = field(default_factory=lambda: array("I"))
    pairs: array[int] = field(default_factory=lambda: array("I"))
    left_out: list[tuple[int, str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class CountedSample:
    """The distinct pairs of a file, and its groups; `pairs` of a group are places in this list."""

    pairs: list[Pair]
    groups: list[Group]
    problems: tuple[Problem, ...]


def count_tokens(file: str, language: str, by: Sequence[str]) -> CountedSample:
    """One pass over FILE ("-" is stdin). Memory grows with the distinct pairs, and by two numbers a token."""
    reader = open_reader(opened(file), language or "en-US", look_up=look_up)
    numbers: dict[Pair, int] = {}
    groups: dict[tuple[tuple[str, ...], str], Group] = {}
    for row, key, pairs in grouped(reader, by):
        for pair in pairs:
            group = groups.get((key, pair.language))
            if group is None:
                group = groups[key, pair.language] = Group(dict(zip(by, key)), pair.language)
            if pair.kind not in COUNTED:
                group.left_out.append((row, pair.reason or pair.kind))
                continue
            group.rows.append(row)
            group.pairs.append(numbers.setdefault(pair, len(numbers)))
    several = Counter(key for key, _ in groups)
    for (key, tag), group in groups.items():
        if several[key] > 1:
            group.labels["language"] = tag
    return CountedSample(list(numbers), list(groups.values()), reader.log.problems())


def hear_all(sample: CountedSample, ruleset: RuleSet, accepted: Accents) -> tuple[list[Heard], dict[int, AcceptedForm]]:
    """Each distinct pair explained, against the accepted adult form that is nearest to what was said; and what was
    accepted, by the number of the pair."""
    by_language: dict[str, list[int]] = {}
    for number, pair in enumerate(sample.pairs):
        by_language.setdefault(pair.language, []).append(number)
    out: dict[int, Heard] = {}
    forms: dict[int, AcceptedForm] = {}
    for tag, numbers in by_language.items():
        kinds: list[tuple[str, Word, Word]] = []
        for number in numbers:
            pair = sample.pairs[number]
            target, produced = pair.target, pair.produced
            if target is None or produced is None:
                raise ValueError("a counted pair has an adult form and a production")
            nearest = accepted.accepted(target, produced, tag)
            if form := accepted_form(pair.target_word or target.ipa, nearest):
                forms[number] = form
            kinds.append((pair.target_word, nearest.word, produced))
        out.update(zip(numbers, hear(Explainer(ruleset, tag), kinds, _Linker(len(kinds)))))
    return [out[number] for number in range(len(sample.pairs))], forms


class _Linker:
    """Aligns many pairs at once, and tells a person who waits how far it is."""

    def __init__(self, number: int) -> None:
        self.number, self.done = number, 0
        self.bar = Bar("different pairs explained", number)

    def __call__(self, forms: Sequence[Forms]) -> Sequence[Sequence[Link]]:
        if self.number <= _FEW:
            from approx.processes.explain_many import one_by_one

            return one_by_one(forms)
        from approx.scoring.costs import prepare
        from approx.scoring.fast_align import Forms as Row
        from approx.scoring.fast_align import links_many

        self.bar.move(self.done)
        self.done += len(forms)
        if self.done >= self.number:
            self.bar.clear()
        meant = {id(one): one for one, _ in forms}
        ready = {number: prepare(one) for number, one in meant.items()}
        return links_many(Row([ready[id(one)] for one, _ in forms]), Row([prepare(other) for _, other in forms]))
