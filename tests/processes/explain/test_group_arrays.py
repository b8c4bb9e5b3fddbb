"""Counts of a group in arrays against those pair by pair: equal in every figure, and in the order in which things are met."""

from __future__ import annotations

import random
import sys
from collections import Counter
from dataclasses import replace

import pytest
from explained_tokens import count_processes, hear
from places import ROOT

from approx.ipa import read
from approx.processes.explain import explained_pairs, group_arrays, sample_processes
from approx.processes.explain.adult_facts import WEIGHED, WITHOUT_TRIGGER
from approx.processes.explain.choose_reading import choose_readings
from approx.processes.explain.explain import Explainer
from approx.processes.explain.explained_pairs import ExplainedPairs
from approx.processes.explain.opportunities import ProcessTally, default_opportunity_options, opportunities_in
from approx.processes.rules.ruleset import load_rules

sys.path.append(str(ROOT / "tests" / "bench"))
from simulated_pairs import pairs, targets  # noqa: E402


@pytest.fixture(scope="module")
def told() -> ExplainedPairs:
    """Pairs of some words, two of which are spelled alike, and one without a gloss."""
    found = [(each.target, each.produced) for each in pairs(targets(60, 3), 260, 13)]
    forms = [(read(target).words[0], read(produced).words[0]) for target, produced in found]
    words = ["" if target.ipa == forms[0][0].ipa else target.ipa[:3] for target, _ in forms]
    return hear(Explainer(load_rules()), words, forms)


def listed(tallies: dict[str, ProcessTally]) -> list[tuple[object, ...]]:
    """Everything in order."""
    return [
        (name, tally.occurrences, tally.chances, list(tally.words), list(tally.not_in), list(tally.rules.items()))
        for name, tally in tallies.items()
    ]


@pytest.mark.parametrize("weak", ["all", "pretonic and medial"])
@pytest.mark.parametrize("seed", range(15))
def test_arrays_count_as_one_by_one(
    told: ExplainedPairs, seed: int, weak: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = random.Random(seed)
    times = Counter(rng.choices(range(len(told)), k=(1, 4, 8, 40, 400)[seed % 5]))
    options = replace(default_opportunity_options(), weak_syllables=weak)
    alone, tallies = count_processes(told, times, options)
    monkeypatch.setattr(explained_pairs, "MANY", 0)
    monkeypatch.setattr(explained_pairs, "MANY_OF_GROUP", 0)
    asked: list[int] = []
    one_by_one = sample_processes._one_by_one
    monkeypatch.setattr(sample_processes, "_one_by_one", lambda *given: asked.append(1) or one_by_one(*given))
    together, others = count_processes(told, times, options)
    assert not asked, "not counted in arrays"
    assert together == alone
    assert listed(others) == listed(tallies)


def test_readings_that_are_not_the_first_are_counted_in_their_place(
    told: ExplainedPairs, monkeypatch: pytest.MonkeyPatch
) -> None:
    times = Counter(range(len(told)))
    assert choose_readings(told, times), "nothing was left to the sample"
    alone, tallies = count_processes(told, times, default_opportunity_options())
    monkeypatch.setattr(explained_pairs, "MANY", 0)
    monkeypatch.setattr(explained_pairs, "MANY_OF_GROUP", 0)
    together, others = count_processes(told, times, default_opportunity_options())
    assert together == alone
    assert listed(others) == listed(tallies)
    first = {number: told.rules_of(number, told.readings_of(number)[0]) for number in alone}
    taken = {number: told.rules_of(number, reading) for number, reading in alone.items()}
    assert first != taken, "the same rules either way"


def test_what_readings_are_chosen_by_is_added_up(told: ExplainedPairs) -> None:
    """Each token gone through by itself, from its readings alone."""
    times = {number: 1 + number % 3 for number in range(0, len(told), 2)}
    support, stood, changed = Counter[object](), Counter[object](), Counter[object]()
    for number, often in times.items():
        target, (first, *others) = told[number].target, told[number].readings
        for use in first.uses:
            if all(use.process in other.names for other in others):
                for t in use.targets:
                    support[use.process, target.phones[t]] += often
        for t, phone in enumerate(target.phones):
            near = frozenset(
                name for name in WITHOUT_TRIGGER if any(t in place for place in opportunities_in(target).get(name, ()))
            )
            names = {use.process for use in first.uses if t in use.targets}
            if not any(name.endswith(("deletion", "reduction")) for name in names):
                stood[phone, near] += often
                if names & WEIGHED:
                    changed[phone, near, frozenset(names & WEIGHED)] += often
    found = group_arrays.SampleArrays(told).group(times).added()
    numbered = told.numbered
    assert {numbered.changes.all[change]: often for change, often in found[0].items()} == support
    assert {numbered.stood.all[each]: often for each, often in found[1].items()} == +stood
    assert {(*numbered.stood.all[each], names): often for (each, names), often in found[2].items()} == changed
    assert changed, "nothing was weighed"


def test_productions_are_kept_as_they_are_written(told: ExplainedPairs) -> None:
    found = [each.produced for each in pairs(targets(60, 3), 260, 13)]
    assert [each.produced for each in told] == [read(text).words[0].ipa for text in found]
