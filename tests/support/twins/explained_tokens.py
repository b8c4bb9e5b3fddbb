"""Tokens of one language explained pair by pair: what the tests of readings and counts ask, with the reading of each token."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from approx.ipa.word import Word
from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explain import Explainer
from approx.processes.explain.explain_many import explain_many
from approx.processes.explain.explained_pairs import ExplainedPairs
from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally
from approx.processes.explain.sample_processes import ProcessCounter
from approx.scoring.alignment.align import FormPair, Linker, one_by_one


@dataclass(frozen=True, slots=True)
class TokenToExplain:
    """One token to explain; `key` is whatever names it to the caller (its row), `word` its gloss."""

    key: int
    word: str
    target: Word
    produced: Word


@dataclass(frozen=True, slots=True)
class TokenAnalysis:
    """One token explained: the reading taken for it."""

    pair: TokenToExplain
    reading: Derivation
    others: tuple[Derivation, ...]


@dataclass(frozen=True, slots=True)
class SampleProcesses:
    """All tokens told, the tally of each process, and what stays unexplained as (word, target sound, row)."""

    told: tuple[TokenAnalysis, ...]
    tallies: dict[str, ProcessTally]
    unexplained: tuple[tuple[str, str, int], ...]


def explain_sample(
    explainer: Explainer, pairs: Iterable[TokenToExplain], options: OpportunityOptions, linker: Linker = one_by_one
) -> SampleProcesses:
    """Explain every pair, decide between equal readings over the sample, count occurrences and chances."""
    listed = list(pairs)
    kinds = dict.fromkeys((pair.word, pair.target, pair.produced) for pair in listed)
    places = {kind: number for number, kind in enumerate(kinds)}
    forms = [(target, produced) for _, target, produced in kinds]
    heard = hear(explainer, [word for word, _, _ in kinds], forms, linker)
    of_pair = [places[pair.word, pair.target, pair.produced] for pair in listed]
    chosen, tallies = count_processes(heard, Counter(of_pair), options)
    told: list[TokenAnalysis] = []
    missing: list[tuple[str, str, int]] = []
    for pair, number in zip(listed, of_pair):
        readings = heard.readings_of(number)
        reading = chosen.get(number, readings[0])
        told.append(TokenAnalysis(pair, reading, tuple(other for other in readings if other is not reading)))
        missing += [(pair.word, pair.target.phones[t], pair.key) for t in reading.unexplained]
    return SampleProcesses(tuple(told), tallies, tuple(missing))


def count_processes(
    pairs: ExplainedPairs, times: Mapping[int, int], options: OpportunityOptions
) -> tuple[dict[int, Derivation], dict[str, ProcessTally]]:
    """The counts of a sample that is one group."""
    return ProcessCounter(pairs, options).count(times)


def hear(
    explainer: Explainer, words: Iterable[str], forms: Sequence[FormPair], linker: Linker = one_by_one
) -> ExplainedPairs:
    """The readings of each distinct word with its adult form and production."""
    pairs = ExplainedPairs(len(forms))
    found = explain_many(explainer, forms, linker)
    for number, (word, form, readings) in enumerate(zip(words, forms, found, strict=True)):
        pairs.put(number, word, *form, pairs.counted.number(readings), explainer.tag)
    pairs.complete()
    return pairs
