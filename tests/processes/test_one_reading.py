"""One reading of a pair: explain, processes, score and accept say the same of it, over all judged pairs. What predict
learns from is what `explain_accepted` tells, as here."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache

import pytest
from places import DATA

import approx
from approx.datafiles import read_tsv

Pair = tuple[str, str]


def pairs() -> Iterator[tuple[str, Pair]]:
    """Every judged pair of the test data with its language, each once."""
    seen = set[tuple[str, Pair]]()
    found: list[tuple[str, Pair]] = []
    for name in ("judged_processes_hard.tsv", "judged_processes2.tsv"):
        found += [(row["language"], (row["target"], row["produced"])) for row in read_tsv(DATA / name)]
    for name in ("judged_variants.tsv", "adult_variants.tsv", "judged_alignments_hard.tsv"):
        rows = read_tsv(DATA / name)
        found += [
            ("es-419" if row.get("note", "").startswith("Spanish") else "en-US", (row["target"], row["produced"]))
            for row in rows
            if not row.get("variety")
        ]
    with (DATA / "process_examples.csv").open(encoding="utf-8") as file:
        found += [
            ("es-419" if row["language"].startswith("es") else "en-US", (row["target_ipa"], row["produced_ipa"]))
            for row in csv.DictReader(file)
        ]
    for each in found:
        if each not in seen:
            seen.add(each)
            yield each


@cache
def of_language(tag: str) -> tuple[Pair, ...]:
    return tuple(pair for language, pair in pairs() if language.split("-")[0] == tag.split("-", maxsplit=1)[0])


def rows(tag: str) -> list[dict[str, str]]:
    """Each pair as a child of its own, so that no other word weighs in; without a gloss."""
    return [
        {"child": f"P{number:04}", "session_date": "2026-03-02", "target_ipa": target, "produced_ipa": produced}
        for number, (target, produced) in enumerate(of_language(tag))
    ]


@pytest.mark.parametrize("tag", ["en-US", "es-419"])
def test_every_way_gives_one_reading(tag: str) -> None:
    import pandas as pd

    frame = pd.DataFrame(rows(tag))
    found = approx.processes(frame, language=tag)
    told = {token["row"]: token for token in found.to_dict()["tokens"]}
    scores = {group.labels["child"]: group for group in approx.score(frame, language=tag, by="child").groups}
    different: list[str] = []
    for number, (target, produced) in enumerate(of_language(tag)):
        alone = approx.explain(target, produced, language=tag).to_dict()
        token, score = told.get(number + 2), scores[f"P{number:04}"]
        if token is None:
            continue
        names = sorted(each["process"] for each in alone["processes"])
        if names != sorted(each["process"] for each in token["processes"]):
            different.append(f"{target} {produced}: explain {names}, processes {token['processes']}")
        if alone["unexplained"] != token["unexplained"] or alone["target"] != token["target"]:
            different.append(f"{target} {produced}: explain {alone['unexplained']}, processes {token['unexplained']}")
        right = score.measures["pwc"].value == 100
        clean = not names and not alone["unexplained"]
        if right != clean:
            different.append(f"{target} {produced}: score {'right' if right else 'wrong'}, explain {names or alone}")
    assert len(of_language(tag)) > 40 and not different, f"{len(different)} differ\n" + "\n".join(different)
