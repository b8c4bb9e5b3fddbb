"""The nasty inputs: each gives what `data/nasty/expected.tsv` says, without a traceback and without a lost row."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

import pytest
import sample_nasty_binaries
from places import DATA

from approx.datafiles import read_tsv
from approx.problems import Problem
from approx.samples.rows.sample import Sample, Token, count_pairs, read_sample

NASTY = DATA / "nasty"
EXPECTED = read_tsv(NASTY / "expected.tsv")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("nasty")
    sample_nasty_binaries.write_all(folder)
    return folder


def _path(name: str, made: Path) -> Path:
    return NASTY / name if (NASTY / name).exists() else made / name


def _form(token: Token) -> str:
    return "–" if token.produced is None else unicodedata.normalize("NFC", token.produced.ipa) or "∅"


def _kind(problem: Problem) -> str:
    """The code of a problem, that of the IPA room by its room only, with the row."""
    code = "ipa" if problem.code.startswith("ipa.") else problem.code
    return f"{code}@{problem.line or ''}"


def _seen(sample: Sample) -> dict[str, str]:
    return {
        "rows": str(sample.rows),
        "refused": " ".join(map(str, sample.refused)),
        "blank": str(sample.blank),
        "left_out": "; ".join(f"{row} {reason}" for row, reason in sample.left_out),
        "forms": "; ".join(map(_form, sample.tokens)),
        "problems": "; ".join(sorted(set(map(_kind, sample.problems)))),
    }


def test_at_least_64_inputs_and_each_of_them_expected(made: Path) -> None:
    there = {path.name for folder in (NASTY, made) for path in folder.iterdir()} - {"expected.tsv"}
    assert {row["file"] for row in EXPECTED} == there
    assert len(there) >= 64


@pytest.mark.parametrize("row", EXPECTED, ids=lambda row: row["file"])
def test_input_gives_what_was_judged(row: dict[str, str], made: Path) -> None:
    sample = read_sample(_path(row["file"], made))
    expected = {name: row[name] for name in _seen(sample)}
    expected["problems"] = "; ".join(sorted(filter(None, row["problems"].split("; "))))
    assert _seen(sample) == expected
    whys = [change.why for change in sample.changes]
    for why in filter(None, row["changes"].split("; ")):
        assert any(why in found for found in whys), (why, whys)


@pytest.mark.parametrize("row", EXPECTED, ids=lambda row: row["file"])
def test_no_row_is_lost_and_every_refused_one_is_named(row: dict[str, str], made: Path) -> None:
    path = _path(row["file"], made)
    sample = read_sample(path)
    assert sample.rows == len({token.row for token in sample.tokens}) + len(sample.refused) + sample.blank
    assert len(sample.left_out) == sum(not token.counted for token in sample.tokens)
    if row["file"] in ("picture.csv", "no_heading.csv"):
        told = [problem.message for problem in sample.problems if "not read" in problem.message]
        assert [int(number) for number in re.findall(r"\d+", told[0].split("(")[1])] == list(sample.refused)
    else:
        assert set(sample.refused) <= {problem.line for problem in sample.problems if problem.fatal}
    assert all(problem.file == str(path) for problem in sample.problems)


@pytest.mark.parametrize("row", EXPECTED, ids=lambda row: row["file"])
def test_counting_sees_what_reading_sees(row: dict[str, str], made: Path) -> None:
    path = _path(row["file"], made)
    sample, counted = read_sample(path), count_pairs(path)
    assert (counted.rows, counted.blank, counted.refused) == (sample.rows, sample.blank, sample.refused)
    assert sum(sum(group.values()) for group in counted.groups.values()) == len(sample.tokens)
    assert sorted(entry for group in counted.left_out.values() for entry in group) == sorted(sample.left_out)
    assert {str(problem) for problem in counted.problems} <= {str(problem) for problem in sample.problems}
