"""What only a program can get wrong: the sentence names the option as the program wrote it, and no folder is read by chance."""

from __future__ import annotations

from pathlib import Path

import pytest
from places import SAMPLES

import approx

FILE = str(SAMPLES / "m12.csv")
CHILD = str(SAMPLES / "m12.toml")


def test_no_folder_of_rules_is_not_the_folder_one_is_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "notes.toml").write_text("[notes]\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    answers = (
        approx.suggest("big", CHILD, rules=""),
        approx.explain("spun", "pun", rules=""),
        approx.words(CHILD, rules=""),
    )
    assert [[problem.code for problem in answer.problems] for answer in answers] == [["use.rules"]] * 3


def test_an_option_without_a_command_is_named_as_a_program_writes_it() -> None:
    refused = [*approx.score(FILE, evidence=1).problems, *approx.processes(FILE, word_lists=1).problems]  # type: ignore[arg-type]
    assert [problem.message for problem in refused] == ["evidence cannot be 1", "word_lists cannot be 1"]


def test_a_refused_switch_of_a_measure_says_what_python_takes() -> None:
    (problem,) = approx.score(FILE, pmlu_cap="yes").problems  # type: ignore[arg-type]
    assert "True or False" in problem.hint


def test_a_token_without_gloss_that_one_file_lacks_is_named_by_its_form() -> None:
    found = approx.agree([("spun", "pun"), ("ki", "ti")], [("spun", "pun")])
    (alone,) = [problem.message for problem in found.problems]
    assert "/ki/" in alone and "''" not in alone


def test_a_file_that_cannot_be_read_is_the_one_problem_of_two_files() -> None:
    for found in (approx.agree("nosuch.csv", FILE), approx.compare("nosuch.csv", FILE)):
        assert [problem.code for problem in found.problems] == ["sample.file"]


def test_the_n_th_of_a_word_goes_with_the_n_th_and_what_is_over_is_named() -> None:
    """cup twice and thrice, key only in the first: two pairs, one token over in each file."""
    first = [("kʌp", "tʌp"), ("ki", "ti"), ("kʌp", "kʌp")]
    second = [("kʌp", "tʌp"), ("kʌp", "kʌp"), ("kʌp", "ʌp")]
    found = approx.agree(first, second)
    assert (len(found.words), found.alone) == (2, 2)
    assert found.found is not None and found.found.broad.value == 100.0
    assert [(problem.message, problem.fatal) for problem in found.problems] == [
        ("'/ki/' (row 3) is in the first file only", False),
        ("'/kʌp/' (row 4) is in the second file only", False),
    ]


def test_one_fatal_problem_among_remarks_is_raised_with_all_of_them() -> None:
    pandas = pytest.importorskip("pandas")
    frame = pandas.DataFrame({"target_ipa": ["spun", "s7n"], "produced_ipa": ["pun", "tʌn"], "mood": ["fine", "fine"]})
    kept = approx.score(frame).problems
    assert {problem.fatal for problem in kept} == {True, False}
    with pytest.raises(approx.ProblemsError) as raised:
        approx.score(frame, on_problem="raise")
    assert raised.value.problems == kept


def test_a_shape_that_no_table_has_is_refused() -> None:
    found = approx.explain("spun", "pun")
    for ask in (found.table, lambda shape: found.to_frame(shape=shape)):
        with pytest.raises(ValueError, match="'wide' or 'long', not 'tall'"):
            ask("tall")  # type: ignore[arg-type]
