"""Every id that a command prints can be looked up: the ids are taken from what the commands print for the samples."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from conftest import CommandLine

from approx.api.reference import find
from approx.datafiles import accent_names
from approx.processes.accept.accept_rules import load_accents
from approx.processes.explain.sound_changes import VOWEL_KINDS
from approx.processes.rules.rule import unwritten
from approx.processes.rules.ruleset import load_rules

SAMPLES = ("samples/m12.csv", "samples/k07.csv", "samples/t03.csv")
KEYS = {"process", "rule", "measure"}
"""Keys of the answers whose value is an id, or a list of ids."""


def ids(answer: Any) -> Iterator[str]:
    """Ids anywhere in an answer: values of `KEYS`, and the keys of the tables of measures, figures and rules."""
    if isinstance(answer, list):
        for each in answer:
            yield from ids(each)
    if not isinstance(answer, dict):
        return
    for key, value in answer.items():
        if key in KEYS and isinstance(value, str):
            yield value
        if key in ("measures", "figures", "rules") and isinstance(value, dict):
            yield from value
        if key == "signature":
            yield from options(value)
        yield from ids(value)


def options(signature: str) -> Iterator[str]:
    """Options of scoring and of processes in a signature, and the varieties it names; its other parts are the word
    "processes", versions and hashes."""
    if not signature.startswith(("language:", "processes|")):
        return
    for part in signature.split("|"):
        name, _, value = part.partition(":")
        if name not in ("processes", "align", "rules", "counted", "v"):
            yield name
        if name == "accents" and value != "none":
            yield from value.split("+")


def printed(cli: CommandLine) -> set[str]:
    found: set[str] = set()
    for sample in SAMPLES:
        for command in (["score", sample], ["processes", sample, "--tokens"], ["agree", sample, sample]):
            answer = cli(*command, "--json").json
            found |= {*ids(answer)}
            if command[0] == "agree":
                found |= {key for key, value in answer.items() if isinstance(value, dict) or key == "kappa"}
    for produced in ("kɑ", "kæɹ", "kʊ", "ˈkɑɹkɑɹ", "kɑp", "ɹɑk", "k̪ɑɹ", "kəɑɹ", "ʔɑɹ"):
        found |= {*ids(cli("explain", "kɑɹ", produced, "--lost-r", "vocalization", "--json").json)}
    bath = "target_ipa,produced_ipa\nbæθ,bæf\n".encode()
    found |= {*ids(cli("processes", "-", "--accent", "african-american-english", "--json", stdin=bath).json)}
    more = (
        ["explain", "spun", "pun"],
        ["explain", "ˈwɔtɚ", "ˈwɔwɔ"],
        ["suggest", "big spoon", "--child", "samples/m12.toml"],
        ["progress", "samples/probes.csv"],
        ["report", "samples/k07.csv", "samples/k07_later.csv"],
    )
    for command in more:
        found |= {*ids(cli(*command, "--json").json)}
    return {one for one in found if one}


@pytest.mark.parametrize("name", load_accents(accent_names()).names)
def test_a_variety_answers(name: str) -> None:
    assert list(find(name))


@pytest.mark.parametrize("every", [20, pytest.param(1, marks=pytest.mark.slow)])
def test_every_id_a_rule_can_print_answers(every: int) -> None:
    """Not those seen in samples alone: every rule that explains, with notation or without, and every one of a variety.

    One in eight of them here; all in the slow set.
    """
    known = [rule.id for rule in load_rules().rules if "explain" in rule.uses] + list(unwritten())
    known += [rule.id for tag in ("en-US", "es") for rule in load_accents(accent_names(), tag).rules]
    known += [f"vowel-change.{kind.replace(' ', '-')}" for kind in VOWEL_KINDS]
    assert len(known) > 500
    unknown = [name for name in known[::every] if not list(find(name))]
    assert not unknown, unknown


@pytest.mark.slow
def test_every_id_that_a_command_prints_answers_to_about(cli: CommandLine) -> None:
    found = printed(cli)
    assert {"pcc", "ird", "kappa", "velar fronting", "tokens_a_word", "lost-r", "african-american-english"} <= found
    assert {"vocalization.left-off", "distortion"} <= found
    assert len(found) > 110
    unknown = sorted(name for name in found if not list(find(name)))
    assert not unknown, unknown


def test_a_measure_is_told_with_its_source_and_place() -> None:
    for name in ("pcc", "wcm_produced", "pcc_late", "aci", "error_consistency", "ird", "kappa", "broad"):
        (thing,) = [each for each in find(name) if each.kind == "measure"]
        assert thing.source and thing.says and thing.line, name
