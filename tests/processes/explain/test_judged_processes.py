"""Invented pairs whose processes were judged by the conventions before the engine was run on them."""

from __future__ import annotations

from places import ROOT

from approx.ipa import read
from approx.processes.accept.accept import Accents
from approx.processes.explain.explain import Explainer, explain_accepted
from approx.processes.rules.ruleset import load_rules

JUDGED_OTHERWISE = {
    # read again after the first run; why the answer stands
    (
        "ˈblæŋkət",
        "ˈbæbæ",
    ): "reduced and then repeated: a repeated syllable is found only where the adult one is said whole",
    (
        "ˌmaɾiˈposa",
        "ˌmaiˈposa",
    ): "typed like that, ai is one sound; a child who keeps both syllables is written ˌma.iˈposa",
}


def test_judged_pairs_get_their_processes() -> None:
    wrong, number = [], 0
    explainers: dict[str, Explainer] = {}
    rules = load_rules()
    text = (ROOT / "tests/data/judged_processes2.tsv").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")][1:]
    for line, (target, produced, names, tag, reason) in enumerate(rows, 4):
        explainer = explainers.setdefault(tag, Explainer(rules, tag))
        found, _ = explain_accepted(explainer, read(target, tag).words[0], read(produced, tag).words[0], Accents(()))
        best = found.best
        names_found = {*best.names, *(["unexplained"] if best.unexplained else [])}
        number += 1
        if names_found != set(filter(None, names.split(";"))) and (target, produced) not in JUDGED_OTHERWISE:
            wrong.append(
                f"judged_processes2.tsv:{line}: {target} {produced} wanted {names} ({reason}), got {sorted(names_found)}"
            )
    assert number > 150 and not wrong, "\n".join(wrong)
