"""Processes of a whole sample: what happened, on how many chances, in which words; what one token cannot decide.

A single token often has two equal readings (gun [dʌn]: velar fronting, or alveolar assimilation). Over a sample the
reading is taken that the other words bear out: assimilation only where the same sound is right, or said otherwise, in
words without a trigger (process conventions 5; measures 8.5).

Everything is worked out once for each distinct word, adult form and production, and counted as often as it occurs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from approx.ipa.word import Word
from approx.processes.accept import Accepted, AcceptedForm, accepted_form
from approx.processes.borne_out import Heard
from approx.processes.chances import ChanceOptions
from approx.processes.derivation import Derivation
from approx.processes.explain import Explainer
from approx.processes.explain_many import Linker, explain_many, one_by_one
from approx.processes.group_tallies import count_group
from approx.processes.tally import Tally

__all__ = [
    "Heard",
    "Nearest",
    "Pair",
    "SampleProcesses",
    "Tally",
    "Told",
    "Token",
    "count_group",
    "explain_sample",
    "hear",
    "pairs_of",
]


class Token(Protocol):
    """What is asked of a token of a sample (`approx.scoring.sample`)."""

    @property
    def row(self) -> int: ...
    @property
    def target_word(self) -> str: ...
    @property
    def target(self) -> Word | None: ...
    @property
    def produced(self) -> Word | None: ...
    @property
    def language(self) -> str: ...
    @property
    def counted(self) -> bool: ...


class Nearest(Protocol):
    """Accepted adult forms (`approx.processes.accents_used.Accents`)."""

    def accepted(self, target: Word, produced: Word, language: str) -> Accepted: ...


@dataclass(frozen=True, slots=True)
class Pair:
    """One token to explain; `key` is whatever names it to the caller (its row), `word` its gloss; `accepted` what was
    accepted where `target` is not the adult form of the sample."""

    key: int
    word: str
    target: Word
    produced: Word
    accepted: AcceptedForm | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """One token explained: the reading taken for it."""

    pair: Pair
    reading: Derivation
    others: tuple[Derivation, ...]


@dataclass(frozen=True, slots=True)
class SampleProcesses:
    """All tokens told, the tally of each process, what stays unexplained as (word, target sound, row), and how often each
    other adult form was accepted as right."""

    told: tuple[Told, ...]
    tallies: dict[str, Tally]
    unexplained: tuple[tuple[str, str, int], ...]
    accepted: Mapping[AcceptedForm, int] = field(default_factory=dict)


def pairs_of(tokens: Iterable[Token], accepted: Nearest | None = None) -> dict[str, list[Pair]]:
    """The counted tokens of a sample as pairs to explain, by language; the target is the accepted form nearest to what
    was said."""
    out: dict[str, list[Pair]] = {}
    for token in tokens:
        target, produced, language = token.target, token.produced, token.language
        if token.counted and target is not None and produced is not None:
            shown = None
            if accepted is not None:
                nearest = accepted.accepted(target, produced, language)
                shown, target = accepted_form(token.target_word or target.ipa, nearest), nearest.word
            out.setdefault(language, []).append(Pair(token.row, token.target_word, target, produced, shown))
    return out


def explain_sample(
    explainer: Explainer, pairs: Iterable[Pair], options: ChanceOptions, linker: Linker = one_by_one
) -> SampleProcesses:
    """Explain every pair, decide between equal readings over the sample, count occurrences and chances."""
    listed = list(pairs)
    kinds = list(dict.fromkeys((pair.word, pair.target, pair.produced) for pair in listed))
    heard = dict(zip(kinds, hear(explainer, kinds, linker)))
    of_pair = [heard[pair.word, pair.target, pair.produced] for pair in listed]
    chosen, tallies = count_group(Counter(of_pair), options)
    told: list[Told] = []
    missing: list[tuple[str, str, int]] = []
    for pair, each in zip(listed, of_pair):
        reading = chosen.get(each, each.readings[0])
        told.append(Told(pair, reading, tuple(other for other in each.readings if other is not reading)))
        missing += [(pair.word, pair.target.phones[t], pair.key) for t in reading.unexplained]
    accepted = Counter(pair.accepted for pair in listed if pair.accepted)
    return SampleProcesses(tuple(told), tallies, tuple(missing), accepted)


def hear(explainer: Explainer, kinds: Sequence[tuple[str, Word, Word]], linker: Linker = one_by_one) -> list[Heard]:
    """The readings of each distinct (word, adult form, production)."""
    found = explain_many(explainer, [(target, produced) for _, target, produced in kinds], linker)
    return [Heard(*kind, readings) for kind, readings in zip(kinds, found)]
