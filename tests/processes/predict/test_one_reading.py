"""One reading of a pair: explain, processes, score, accept and predict say the same of it, over all judged pairs."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from places import DATA

import approx
from approx.datafiles import read_tsv
from approx.ipa import Word, read
from approx.processes.accept.accept import Accents
from approx.processes.explain.explain import Explainer, explain_accepted
from approx.processes.predict.predict import Predictor, rates, with_readings_chosen
from approx.processes.predict.sites import OTHER
from approx.processes.rules.ruleset import load_rules

Pair = tuple[str, str]


def pairs() -> Iterator[tuple[str, Pair]]:
    """Every judged pair of the test data with its language, each once."""
    seen = set[tuple[str, Pair]]()
    found: list[tuple[str, Pair]] = []
    for name in ("judged_processes_hard.tsv", "judged_processes2.tsv", "judged_processes3.tsv"):
        plain = [row for row in read_tsv(DATA / name) if "+" not in row["language"]]
        found += [(row["language"], (row["target"], row["produced"])) for row in plain]
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


def rows(listed: tuple[Pair, ...]) -> list[dict[str, str]]:
    """Each pair as a child of its own, so that no other word weighs in; without a gloss."""
    return [
        {"child": f"P{number:04}", "session_date": "2026-03-02", "target_ipa": target, "produced_ipa": produced}
        for number, (target, produced) in enumerate(listed)
    ]


LOOKED_AT = [
    ("en-US", 14),
    ("es-419", 3),
    *(pytest.param(tag, 1, marks=pytest.mark.slow) for tag in ("en-US", "es-419")),
]
"""A language, and one of how many of its pairs is looked at; all of them in the slow set."""


@pytest.mark.parametrize(("tag", "every"), LOOKED_AT)
def test_every_way_gives_one_reading(tag: str, every: int) -> None:
    import pandas as pd

    listed = of_language(tag)[::every]
    frame = pd.DataFrame(rows(listed))
    found = approx.processes(frame, language=tag)
    told = {token["row"]: token for token in found.to_dict()["tokens"]}
    scores = {group.labels["child"]: group for group in approx.score(frame, language=tag, by="child").groups}
    different: list[str] = []
    for number, (target, produced) in enumerate(listed):
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
    assert len(listed) >= 40 and not different, f"{len(different)} differ\n" + "\n".join(different)


SURE = 0.05
"""Forms at least so likely are looked at."""


def words(tag: str) -> list[tuple[Word, Word]]:
    """The judged pairs that are single words."""
    read_ones = [(read(target, tag), read(produced, tag)) for target, produced in of_language(tag)]
    return [
        (one.words[0], other.words[0])
        for one, other in read_ones
        if len(one.words) == 1 == len(other.words) and not one.words[0].edges and not other.words[0].edges
    ]


@pytest.mark.slow
@pytest.mark.parametrize(("tag", "every"), LOOKED_AT)
def test_no_form_is_foretold_that_explain_gives_to_other_processes(tag: str, every: int) -> None:
    """Thirty judged pairs at a time are a child's sample; what is then foretold for their words is explained again."""
    explainer, accents, rules = Explainer(load_rules(), tag), Accents(()), load_rules()
    asked, different = 0, list[str]()
    listed = words(tag)[::every]
    for start in range(0, len(listed), 30):
        sample = listed[start : start + 30]
        told = [explain_accepted(explainer, target, produced, accents)[0] for target, produced in sample]
        predictor = Predictor(rates(told, rules, tag), rules, tag)
        for target in dict.fromkeys(target for target, _ in sample):
            for form in predictor.predict(target).forms:
                if form.p < SURE:
                    continue
                asked += 1
                found = explainer.explain(target, read(form.ipa, tag).words[0])
                names, unnamed = set(form.processes) - {OTHER}, OTHER in form.processes
                readings = (found.best, *found.readings)
                if not any(set(r.names) == names and bool(r.unexplained) == unnamed for r in readings):
                    different.append(f"{target.ipa} {form.ipa} {form.p:.2f}: {form.processes}, {found.best.names}")
    assert asked > 2 * len(listed) and not different, f"{len(different)} of {asked}\n" + "\n".join(different)


@pytest.mark.parametrize("tag", ["es-419", pytest.param("en-US", marks=pytest.mark.slow)])
def test_predict_learns_from_the_processes_of_the_sample(tag: str) -> None:
    """All judged pairs as the words of one child: each process is counted as often as `processes` finds it."""
    import pandas as pd

    listed = words(tag)
    frame = pd.DataFrame(
        {"child": "P", "session_date": "2026-03-02", "target_ipa": target.ipa, "produced_ipa": produced.ipa}
        for target, produced in listed
    )
    tokens = approx.processes(frame, language=tag).to_dict()["tokens"]
    counted = Counter(each["process"] for token in tokens for each in token["processes"])
    accents, explainer = Accents(()), Explainer(load_rules(), tag)
    told = [explain_accepted(explainer, target, produced, accents)[0] for target, produced in listed]
    learned: Counter[str] = Counter()
    for each, often in with_readings_chosen(told):
        for name in each.best.names:
            learned[name] += often
    assert len(tokens) == len(listed) and learned == counted


def sounds(form: str) -> tuple[str, ...]:
    return read(form).words[0].phones


def back(target: str, found: dict[str, Any]) -> list[dict[str, Any]]:
    """The processes of the likeliest form."""
    said: list[dict[str, Any]] = approx.explain(target, found["words"][0]["forms"][0]["ipa"]).to_dict()["processes"]
    return said


@pytest.mark.slow
def test_predict_says_back_what_it_was_told() -> None:
    """From a sample of one word said one way: adult speech stays the adult form, and a change comes back as it was said.

    Of some of the pairs; what predict has no site for (metathesis, distortions, sounds unexplained) is left out. The form of
    a phrase is not predicted.
    """
    adult, changed, missed = 0, 0, list[str]()
    for target, produced in of_language("en-US")[::12]:
        told = approx.explain(target, produced).to_dict()
        names = {each["process"] for each in told["processes"]}
        if " " in target or told["unexplained"] or names & {"metathesis", "distortion", "reduplication"}:
            continue
        found = approx.predict([(target, produced)] * 8, [("x", target)], top=1).to_dict()
        first = sounds(found["words"][0]["forms"][0]["ipa"])
        if not names:
            adult += 1
            assert first == sounds(target), f"{target} {produced}: adult speech, predicted {first}"
        elif first == sounds(produced):
            changed += 1
        elif {each["process"] for each in back(target, found)} == names:
            changed += 1  # another outcome of the same processes: another vowel for əl
        else:
            missed.append(f"{target} {produced}: predicted {first}")
    assert adult >= 8 and changed >= 41
    assert len(missed) <= 0.05 * changed, "\n".join(missed)
