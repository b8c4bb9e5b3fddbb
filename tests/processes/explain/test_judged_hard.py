"""Harder pairs, judged before the engine was run on them: the full set of processes, and the links."""

from __future__ import annotations

from functools import cache

import pytest
from places import DATA

from approx.api.samples.pairs import align, explain
from approx.processes.rules.ruleset import load_rules

Row = dict[str, str]
OTHER_NAMES = {
    "derhotacization": "vocalization",
    "lateralization": "liquid simplification",
    "devoicing": "initial devoicing",
    "diphthong reduction": "vowel change",
    "addition": "epenthesis",
}
"""Names the judges wrote for processes of ours, beside the synonyms of `rules/processes.toml`."""


def rows(name: str) -> list[Row]:
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    kept = [line.split("\t") for line in lines if line and not line.startswith("#")]
    return [dict(zip(kept[0], row)) for row in kept[1:]]


@cache
def named(name: str) -> str:
    """The process by the name we print."""
    plain = name.strip().split(" (")[0].replace("-", " ").lower()
    process = load_rules().process(OTHER_NAMES.get(plain, plain))
    return process.name if process else plain


def sets(text: str) -> list[set[str]]:
    """The sets that are equally right."""
    return [set() if one.strip() == "none" else {named(each) for each in one.split(";")} for one in text.split(" | ")]


def found(row: Row) -> set[str]:
    tag, *accents = row["language"].split("+")
    said = explain(row["target"], row["produced"], language=tag, accents=accents).to_dict()
    return {each["process"] for each in said["processes"]} | ({"unexplained"} if said["unexplained"] else set())


def drawn(row: Row, tag: str) -> str:
    said = align(row["target"], row["produced"], language=tag).to_dict()
    one, other = said["target"], said["produced"]
    return " ".join(f"{'0' if i is None else one[i]}-{'0' if j is None else other[j]}" for i, j in said["links"])


@pytest.mark.parametrize(
    ("name", "least"),
    [("judged_processes_hard.tsv", 200), pytest.param("judged_processes3.tsv", 510, marks=pytest.mark.slow)],
)
def test_sets_of_processes_are_those_judged(name: str, least: int) -> None:
    listed = rows(name)
    wrong = [
        f"{row['target']} [{row['produced']}]: {row['processes']}, got {sorted(got)}"
        for row in listed
        if (got := found(row)) not in sets(row["processes"]) and "open: " not in row["note"]
    ]
    assert len(listed) >= least
    assert not wrong, "\n".join(wrong)


def test_few_rows_are_open() -> None:
    """What is known to be short is no more than one row in a hundred."""
    listed = rows("judged_processes3.tsv")
    still = [row for row in listed if "open: " in row["note"]]
    assert len(still) * 100 <= len(listed)
    assert all(found(row) not in sets(row["processes"]) for row in still), "a row is no longer open"


@pytest.mark.parametrize(("name", "least"), [("judged_alignments_hard.tsv", 92), ("judged_processes3.tsv", 110)])
def test_links_are_those_judged(name: str, least: int) -> None:
    listed = [row for row in rows(name) if row["links"]]
    wrong = []
    for row in listed:
        tag = row.get("language", "es-419" if row["note"].startswith("Spanish") else "en-US").split("+")[0]
        got = drawn(row, tag)
        if got not in [" ".join(one.split()) for one in row["links"].split(" | ")]:
            wrong.append(f"{row['target']} [{row['produced']}]: {row['links']}, got {got}")
    assert len(listed) >= least
    assert not wrong, "\n".join(wrong)
