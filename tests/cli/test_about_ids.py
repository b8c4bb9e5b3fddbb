"""Every id that a command prints can be looked up: the ids are taken from what the commands print for the samples."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from conftest import CommandLine

from approx.api.reference import find

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
    """Options of scoring in a signature; its other parts are versions and hashes."""
    if signature.startswith("language:"):
        yield from (part.partition(":")[0] for part in signature.split("|")[:-3])


def printed(cli: CommandLine) -> set[str]:
    found: set[str] = set()
    for sample in SAMPLES:
        for command in (["score", sample], ["processes", sample, "--tokens"], ["agree", sample, sample]):
            answer = cli(*command, "--json").json
            found |= {*ids(answer)}
            if command[0] == "agree":
                found |= {key for key, value in answer.items() if isinstance(value, dict) or key == "kappa"}
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


def test_every_id_that_a_command_prints_answers_to_about(cli: CommandLine) -> None:
    found = printed(cli)
    assert {"pcc", "ird", "kappa", "velar fronting", "tokens_a_word"} <= found
    assert len(found) > 90
    unknown = sorted(name for name in found if not list(find(name)))
    assert not unknown, unknown


def test_a_measure_is_told_with_its_source_and_place() -> None:
    for name in ("pcc", "wcm_produced", "pcc_late", "aci", "error_consistency", "ird", "kappa", "broad"):
        (thing,) = [each for each in find(name) if each.kind == "measure"]
        assert thing.source and thing.says and thing.line, name
