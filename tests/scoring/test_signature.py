"""Every option stands in the signature, and the list of measures that an option can change is true."""

from __future__ import annotations

import dataclasses
import shutil
from pathlib import Path
from typing import Any

import pytest
from places import ROOT
from scoring_options import options_with

from approx.ipa import read
from approx.processes.explain import opportunities
from approx.scoring.judging import options as judging_options
from approx.scoring.judging.counts import Counts, TokenTally, chosen
from approx.scoring.judging.options import (
    ScoringOptions,
    default_scoring_options,
    measure_data,
    option_names,
    option_notes,
    signature,
)
from approx.scoring.judging.scored_word import left_out_reason, score_word, without_runs
from approx.scoring.measures.catalogue import MEASURES, evaluate

OTHER: dict[str, list[Any]] = {
    "language": ["es"],
    "accents": [("some-accent",)],
    "tokens_a_word": [2],
    "interval_words": [3],
    "confidence": [80.0],
}
"""Other values of options that are not a choice from a list."""

SAMPLE = [
    ("spun", "fun"), ("spəˈɡɛti", "pəsˈɡɛti"), ("sʌn", "s̪ʌn"), ("sʌn", "θʌn"), ("sʌn", "s̃ʌn"), ("bɪɡ", "bɪk"), ("hi", "i"),
    ("ˈɹʌnɪŋ", "ˈɹʌnɪn"), ("əˈhɛd", "əˈɛd"), ("kɑɹz", "kɑɹks"), ("bæɡ", "bæɡt"), ("blu", "bəˈlu"), ("ˈbɑtəl", "ˈbɑtl̩"),
    ("ˈmɪdl̩", "ˈmɪdl̩"), ("ˈmɪdl̩", "ˈmɪdo"), ("fʊt", "hwʊt"), ("kæt", "kæt"), ("kæt", "kæt"), ("kæt", "kæt"), ("kæt", "kæ"),
    ("bɛd", "bɛd?"), ("dɔɡ", "dɔɡ"), ("dɔɡ", "dɔ"), ("dɔɡ", "dɔ"), ("dɔɡ", "dɔɡ"), ("mʌd", "mʌC"), ("hæt", "hæt"),
    ("wɪʃ", "wɪs"), ("kɑɹ", "kɑɹ"), ("tɹi", "tɹi"), ("ˈmʌŋki", "ˈmʌŋki"), ("bəˈnænə", "ˈnænə"), ("kʌp", "kʌp"), ("kʌp", "kʌp"),
    ("kʌp", "kʌp"), ("pɛn", "pɛm"), ("pɛn", "pɛn"), ("pɛn", "pɛn"), ("ˈfwente", "ˈfente"), ("ˈpjedɾa", "ˈpedɾa"),
    ("ˈkɑpɪd͡ʒɛn", "ˈkɑbɪd͡ʒɛn"), ("swɪm", "swɪm"), ("ˈteɪbəl", "ˈteɪbə"),
]  # fmt: skip
"""Pairs that put every option to use; invented."""


def counted(options: ScoringOptions) -> Counts:
    pairs = [tuple(read(text, options.language).words[0] for text in pair) for pair in SAMPLE]
    tally, scored = TokenTally(), []
    for target, produced in without_runs(iter(pairs), options):  # type: ignore[arg-type]
        reason = left_out_reason(target, produced, options)
        if reason:
            tally.left_out[reason] = tally.left_out.get(reason, 0) + 1
        else:
            scored.append(score_word(target, produced, options))
    for one in chosen(scored, options):
        tally.add(one)
    return tally.counts()


def values(options: ScoringOptions) -> dict[str, tuple[int, int, float | None]]:
    found = evaluate(counted(options), options)
    return {name: (score.hits, score.out_of, score.value) for name, score in found.items()}


def listed(name: str) -> set[str]:
    """Measures that an option says it can change, groups spelled out."""
    groups = measure_data("groups") | {"all": list(MEASURES)}
    return {measure for entry in option_notes(name)["used_by"] for measure in groups.get(entry, [entry])}


def others(name: str, base: ScoringOptions) -> list[ScoringOptions]:
    """The base with every other choice of one option."""
    choices = OTHER.get(name) or [choice for choice in option_notes(name)["choices"] if choice != getattr(base, name)]
    return [dataclasses.replace(base, **{name: choice}) for choice in choices]


def test_the_data_file_and_the_fields_name_the_same_options() -> None:
    assert [field.name for field in dataclasses.fields(default_scoring_options())] == list(option_names())
    for name in option_names():
        notes = option_notes(name)
        assert notes["source"] and notes["used_by"]
        assert name in OTHER or notes["default"] in notes["choices"], name


def test_changing_any_option_changes_the_signature() -> None:
    usual = signature()
    changed = [signature(other) for name in option_names() for other in others(name, default_scoring_options())]
    assert usual not in changed
    assert len(set(changed)) == len(changed) >= len(option_names())


def test_keys_come_in_a_fixed_order_with_the_version_last() -> None:
    keys = [part.partition(":")[0] for part in signature().split("|")]
    assert keys == [*option_names(), "align", "rules", "v"]


def test_a_short_signature_holds_what_differs_from_the_defaults() -> None:
    assert signature(options_with(pmlu_cap=False), short=True).startswith("pmlu_cap:no|align:")
    assert signature(short=True).split(":")[0] == "align"


def test_an_option_changes_only_the_measures_it_says_it_can_and_does_change_one() -> None:
    wrong: list[str] = []
    for base in (default_scoring_options(), options_with(language="es")):
        before = values(base)
        for name in option_names():
            said = listed(name)
            for other in others(name, base):
                changed = {measure for measure, value in values(other).items() if value != before[measure]}
                if not changed <= said:
                    wrong.append(f"{name} changes {sorted(changed - said)}")
    assert not wrong, "\n".join(wrong)


def test_every_option_changes_something_of_each_group_it_says_it_can() -> None:
    idle = {
        "accents",
        "interval_words",
        "confidence",
    }  # accents are chosen by whoever scores; the others make intervals
    groups = measure_data("groups") | {"all": list(MEASURES)}
    unseen: list[str] = []
    for name in sorted(set(option_names()) - idle):
        moved: set[str] = set()
        for base in (default_scoring_options(), options_with(language="es")):
            before = values(base)
            for other in others(name, base):
                moved |= {measure for measure, value in values(other).items() if value != before[measure]}
        for entry in option_notes(name)["used_by"]:
            if not moved & set(groups.get(entry, [entry])):
                unseen.append(f"{name}: never changed {entry}")
    assert not unseen, "\n".join(unseen)


def test_intervals_follow_their_options() -> None:
    counts = counted(default_scoring_options())

    def ends(**changes: Any) -> tuple[float | None, float | None]:
        score = evaluate(counts, options_with(**changes))["pcc"]
        return score.low, score.high

    assert ends() == ends()
    assert ends(confidence=50.0) != ends()
    assert ends(interval_words=500) == (None, None)


RIGHT_OR_WRONG = ("accents/allophones.spanish.toml", "accents/casual.toml", "languages/es.toml", "measures.toml")
"""Files that a clinician may change and that say what is right: a score tells by which it was made."""


@pytest.mark.parametrize("name", [*RIGHT_OR_WRONG, "opportunities.toml", "session_plan.toml"])
def test_a_changed_rule_file_changes_the_signature(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "rules", tmp_path / "rules")
    for module in (judging_options, opportunities):
        monkeypatch.setattr(module, "rules_path", (tmp_path / "rules").joinpath)
    before = hashes()
    with (tmp_path / "rules" / name).open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    scored, counted = (one != other for one, other in zip(before, hashes(), strict=True))
    assert (scored, counted) == (name in RIGHT_OR_WRONG, name.startswith(("accents/", "opportunities")))


def hashes() -> tuple[str, str]:
    """Of what makes a score, and of what counts processes; found anew."""
    return judging_options._rules_hash.__wrapped__(), opportunities.counting_hash.__wrapped__()
