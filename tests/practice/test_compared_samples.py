"""Now against then: refused under different rules, counts by hand for the invented pair, words of both, no judgment."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from places import SAMPLES
from typed_commands import run

import approx
from approx.practice.compare_samples import (
    ComparedSamples,
    ScoredSample,
    comparable,
    compare_samples,
    score_sample,
    shared_words,
)
from approx.processes.accept.accept import Accents
from approx.processes.explain.opportunities import OpportunityOptions
from approx.processes.explain.opportunities import default_opportunity_options as default_opportunities
from approx.reports.documents.comparison_document import changed_lines, comparison_document
from approx.reports.documents.documents import document_lines
from approx.reports.documents.sample_blocks import standing_rule
from approx.samples.rows.sample import read_sample
from approx.scoring.judging.options import default_scoring_options


@cache
def scored(name: str, **changes: Any) -> ScoredSample:
    tokens = read_sample(SAMPLES / name).tokens
    explained = approx.processes(SAMPLES / name)
    labels = {"child": tokens[0].child, "session_date": tokens[0].session_date}
    options = replace(default_scoring_options(), **changes)
    return score_sample(labels, tokens, options, Accents([]), explained.groups[0], explained.signature)


@cache
def m12() -> ComparedSamples:
    return compare_samples(scored("m12.csv"), scored("m12_later.csv"), default_opportunities())


def test_totals_of_the_earlier_sample_are_those_of_the_scenario() -> None:
    pcc = next(pair for pair in m12().measures if pair.name == "pcc")
    assert (pcc.then.hits, pcc.then.out_of) == (27, 60)
    fronting = next(pair for pair in m12().processes if pair.name == "velar fronting")
    assert fronting.then is not None and (fronting.then.occurrences, fronting.then.chances) == (10, 10)


def test_the_later_sample_counted_by_hand() -> None:
    """Consonants of the later list that are right, word by word (invented example, target : said).

    pea 1, boot 2, mud 2, cup 2, egg 1, bug 2, cake 1, fig 1, soap 2, seed 2, leaf 1, juice 1, cheese 0, spoon 3, plate 2,
    broom 2, squeeze 3, carrot 2, lettuce 2, tomato 2, wagon 3, hose 2, chop 1, step 2, basket 2.
    """
    right = (1, 2, 2, 2, 1, 2, 1, 1, 2, 2, 1, 1, 0, 3, 2, 2, 3, 2, 2, 2, 3, 2, 1, 2, 2)
    pcc = next(pair for pair in m12().measures if pair.name == "pcc")
    assert (pcc.now.hits, pcc.now.out_of) == (sum(right), 60)
    pwc = next(pair for pair in m12().measures if pair.name == "pwc")
    assert (pwc.then.hits, pwc.now.hits, pwc.now.out_of) == (3, 11, 25)


def test_words_right_now_and_not_then() -> None:
    assert m12().right_both == ("pea", "boot", "mud")
    assert set(m12().newly_right) == {"cup", "egg", "bug", "soap", "seed", "spoon", "wagon", "hose"}
    assert m12().no_longer_right == ()
    assert len(m12().shared) == 25 and m12().differ == ()


def test_turned_round_the_words_are_lost() -> None:
    found = compare_samples(scored("m12_later.csv"), scored("m12.csv"), default_opportunities())
    assert set(found.no_longer_right) == set(m12().newly_right)
    assert [problem.code for problem in found.problems] == ["compare.date"]


def test_different_rules_are_refused_and_named() -> None:
    then, now = scored("m12.csv"), scored("m12_later.csv", lisp_is_distortion=True)
    (problem,) = comparable(then, now)
    assert problem.fatal and "lisp_is_distortion (no, yes)" in problem.message
    found = compare_samples(then, now, default_opportunities())
    assert found.measures == () and found.processes == ()
    lines = "\n".join(document_lines(comparison_document(found)))
    assert "not compared" in lines and "27" not in lines


def test_other_chances_other_children_and_nothing_to_score_are_refused() -> None:
    then = scored("m12.csv")
    other = replace(then, process_signature=then.process_signature.replace("active:20", "active:30"))
    assert [problem.code for problem in comparable(then, other)] == ["compare.rules"]
    assert "compare.child" in [problem.code for problem in comparable(scored("k07.csv"), then)]
    spanish = replace(then, language="es", signature=then.signature.replace("language:en-US", "language:es"))
    assert [problem.code for problem in comparable(then, spanish)] == ["compare.language"]
    empty = replace(then, score=replace(then.score, scored=0))
    assert [problem.code for problem in comparable(then, empty)] == ["compare.empty"]


def test_samples_with_other_words_say_so() -> None:
    then, now = scored("k07.csv"), scored("k07_later.csv")
    found = compare_samples(then, now, default_opportunities())
    assert set(found.differ) == {"words", "contexts", "size"}
    assert "hoe" not in shared_words(then, now) and "mud" in shared_words(then, now)
    lines = "\n".join(document_lines(comparison_document(found)))
    assert "The samples differ in: their words, how the words were elicited, how many tokens were scored." in lines
    assert "fewer than 50" in lines


def test_what_changed_is_said_in_counts_only() -> None:
    text = " ".join(changed_lines(m12())).casefold()
    assert "percentage of consonants correct: 27 of 60 then, 44 of 60 now." in text
    for word in ("better", "improved", "progress", "significant", "delay", "disorder", "severe", "normal"):
        assert word not in text


@pytest.mark.parametrize("language", ["en", "es-MX"])
def test_the_document_has_n_intervals_cautions_and_an_empty_view(language: str) -> None:
    lines = "\n".join(document_lines(comparison_document(m12(), language)))
    space = " " if language == "es-MX" else ""  # a percent sign stands by itself in Spanish
    assert f"45.0{space}% (27 / 60)" in lines.replace("\u00a0", " ") and f"73.3{space}% (44 / 60)" in lines
    assert "________" in lines and "{" not in lines
    assert m12().now.signature in lines


def report(then: str, now: str, **changes: Any) -> int:
    named = {{"accents": "accent"}.get(name, name): value for name, value in changes.items()}
    return run("report", SAMPLES / then, SAMPLES / now, **named)


def test_command_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert report("k07.csv", "k07_later.csv", as_json=True) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["then"]["session_date"] == "2026-03-03" and data["sampling_differs_in"]
    same = {each["measure"]: each for each in data["same_words"]["measures"]}
    whole = {each["measure"]: each for each in data["measures"]}
    assert same["pcc"]["then"]["out_of"] < whole["pcc"]["then"]["out_of"]


@pytest.mark.parametrize(
    ("then", "now", "changes", "code", "word"),
    [
        ("k07.csv", "m12.csv", {}, 1, "more than one child"),
        ("m12.csv", "m12.csv", {}, 1, "one file with one session"),
        ("m12.csv", "no-such.csv", {}, 1, "cannot read the file"),
        ("m12.csv", "m12_later.csv", {"child": "X"}, 2, "--child cannot be 'X'; there are: M12"),
        ("m12.csv", "m12_later.csv", {"page": Path("x.odt")}, 2, ".docx"),
    ],
)
def test_command_wrong_use(
    then: str, now: str, changes: dict[str, Any], code: int, word: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert report(then, now, **changes) == code
    assert word in capsys.readouterr().err


@pytest.mark.slow
def test_command_writes_a_document_that_can_be_edited(tmp_path: Path) -> None:
    import docx

    page = tmp_path / "report.docx"
    assert report("m12.csv", "m12_later.csv", page=page) == 0
    cells = {cell.text for table in docx.Document(str(page)).tables for row in table.rows for cell in row.cells}
    assert {"45.0% (27 / 60)", "73.3% (44 / 60)"} <= {cell.replace("\u00a0", " ") for cell in cells}


def test_from_where_on_a_change_is_active_is_said_in_words() -> None:
    """The numbers of McReynolds and Elbert and of Dodd and others, as `rules/opportunities.toml` has them."""
    assert standing_rule(OpportunityOptions()) == (
        "Active: in 20% or more of at least 4 opportunities; frequent: in 40% or more. With fewer opportunities, nothing is said."
    )
    counted = standing_rule(OpportunityOptions(criterion="instances"), "es")
    assert "5 veces o más" in counted and "40 %" in counted and "|" not in counted


def sessions(tmp_path: Path, name: str, *dates: str) -> str:
    file = tmp_path / f"{name}.csv"
    rows = [f"M12,{date},spun,{said}\n" for date, said in zip(dates, ("pun", "spun", "un"), strict=False)]
    file.write_text("child,session_date,target_ipa,produced_ipa\n" + "".join(rows), encoding="utf-8")
    return str(file)


def test_of_a_sample_with_several_sessions_the_last_one_is_compared(tmp_path: Path) -> None:
    """One file: its first against its last. Two files: the last of each, so that nothing in between is skipped."""
    then = sessions(tmp_path, "then", "2026-01-01", "2026-02-01")
    now = sessions(tmp_path, "now", "2026-03-01", "2026-04-01", "2026-05-01")
    two, one = approx.compare(then, now).found, approx.compare(now, now).found
    assert two is not None and one is not None
    assert (two.then.date, two.now.date) == ("2026-02-01", "2026-05-01")
    assert (one.then.date, one.now.date) == ("2026-03-01", "2026-05-01")
