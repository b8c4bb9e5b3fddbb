"""The quick way to explain against its slow twin, on simulated pairs and on the reference's; and many pairs at once."""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator
from functools import cache

import pytest
from places import ROOT
from slow_explain import SlowExplainer

from approx.ipa import read
from approx.ipa.word import Word
from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explain import Explainer, to_align
from approx.processes.explain.explain_many import explain_many
from approx.processes.rules.ruleset import RuleSet, load_rules
from approx.scoring.bulk.word_links import link_words

sys.path.append(str(ROOT / "tests" / "bench"))
from simulated_pairs import pairs, targets  # noqa: E402


@cache
def rules() -> RuleSet:
    return load_rules()


def simulated(number: int, seed: int, slips: float = 0.08) -> Iterator[tuple[Word, Word]]:
    for pair in pairs(targets(1500, seed), number, seed, slips=slips):
        yield read(pair.target).words[0], read(pair.produced).words[0]


def reference(language: str) -> list[tuple[Word, Word]]:
    rows = list(csv.DictReader((ROOT / "tests/data/process_examples.csv").open(encoding="utf-8")))
    mine = [row for row in rows if (row.get("language") or "en").startswith(language)]
    tag = {"en": "en-US", "es": "es-419"}[language]
    return [(read(row["target_ipa"], tag).words[0], read(row["produced_ipa"], tag).words[0]) for row in mine]


def different(found: list[tuple[Word, Word]], tag: str = "en-US") -> list[str]:
    """Pairs where the quick way and the slow one differ in anything: processes, sounds, rests, costs, other readings."""
    quick, slow = Explainer(rules(), tag), SlowExplainer(rules(), tag)
    out = []
    for target, produced in found:
        one, other = quick.explain(target, produced), slow.explain(target, produced)
        if one != other:
            out.append(f"{target.ipa} > {produced.ipa}: quick {one.best}, slow {other.best}")
    return out


@pytest.mark.slow
def test_quick_is_slow_on_a_few_hundred_pairs() -> None:
    wrong = different([*simulated(120, 3), *reference("en")[::8], *reference("es")[::4]])
    assert not wrong, f"{len(wrong)} differ\n" + "\n".join(wrong[:5])


@pytest.mark.slow
def test_quick_is_slow_on_many_pairs() -> None:
    wrong = different([*simulated(700, 11), *simulated(300, 12, slips=0.25), *reference("en")])
    wrong += different(reference("es"), "es-419")
    assert not wrong, f"{len(wrong)} differ\n" + "\n".join(wrong[:5])


@pytest.mark.slow
def test_many_pairs_at_once_get_the_readings_of_each_alone() -> None:
    """Sorted, aligned together and held once: the same readings as one by one, in the order of the pairs."""
    found = [*simulated(400, 7), *reference("en")[:60]]
    found += found[:50]

    many = explain_many(Explainer(rules()), found, link_words)
    alone = Explainer(rules())
    for (target, produced), readings in zip(found, many, strict=True):
        each = alone.explain(target, produced)
        wanted = [(d.uses, d.unexplained, d.cost) for d in (each.best, *each.readings)]
        assert [(d.uses, d.unexplained, d.cost) for d in readings] == wanted, f"{target.ipa} > {produced.ipa}"
    assert many[0] is many[-50], "equal readings are one object"


def test_syllabic_consonants_are_opened_before_they_are_aligned() -> None:
    target, produced = read("ˈbɑtl̩").words[0], read("ˈbɑdoʊ").words[0]
    opened = to_align(target, produced)[0]
    assert opened.phones == ("b", "ɑ", "t", "ə", "l")
    readings: tuple[Derivation, ...] = Explainer(rules()).readings(target, produced)
    assert readings[0].names == ("vocalization", "prevocalic voicing")
