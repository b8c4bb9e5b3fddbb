"""`approx progress`: text, JSON, CSV, charts and pages, and what it says about wrong use."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from places import ROOT
from typed_commands import run

SAMPLE = str(ROOT / "samples" / "probes.csv")


def asked(file: str = SAMPLE, **changes: Any) -> int:
    named = {{"measures": "measure"}.get(name, name): value for name, value in changes.items()}
    return run("progress", file, **named)


def test_text_shows_figures_with_counts_criteria_and_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    assert asked() == 0
    out, err = capsys.readouterr()
    assert "0.969 (31 / 32)" in out and "1.000 (72 / 72)" in out
    assert "set 1: criterion met. 3 of the last 3 probes" in out
    assert "set 2: criterion not met. 2 of the last 3 probes" in out
    assert "shows that something changed, not why" in out
    assert "not a diagnosis" in out and "signature: progress|rules:" in out
    assert err == ""


def test_json_has_the_check_values(capsys: pytest.CaptureFixture[str]) -> None:
    assert asked(as_json=True) == 0
    data = json.loads(capsys.readouterr().out)
    (child,) = data["children"]
    first = child["panels"][0]["comparisons"][0]
    assert (first["before"]["mean_right"], first["after"]["mean_right"]) == (1.5, 5.625)
    assert first["figures"]["nap"] | {"low": 0, "high": 0} == {
        "hits": 31,
        "out_of": 32,
        "value": 0.96875,
        "low": 0,
        "high": 0,
    }
    assert [each["ready"] for each in child["ready"]] == ["met", "not met"]


def test_csv_has_counts_in_two_columns_and_each_series_once(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert asked(as_csv=True) == 0
    text = capfdbinary.readouterr().out.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert len(rows) == 57
    assert [row["right"] for row in rows if row["word_set"] == "set 2" and row["phase"] == "B2"] == [
        "3",
        "5",
        "5",
        "6",
        "8",
        "8",
    ]
    assert {row["out_of"] for row in rows} == {"10"}


def test_the_wide_table_of_the_scenario_with_its_start(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    lines = ["child\tsession\tphase\tset1_of_10\tuntreated_of_10"]
    lines += [
        f"K07\t{at}\t{'A' if at < 5 else 'B1'}\t{right}\t1"
        for at, right in enumerate([1, 2, 1, 2, 2, 4, 4, 6, 6, 7, 8, 8], 1)
    ]
    file = tmp_path / "probes.tsv"
    file.write_text("\n".join(lines), encoding="utf-8")
    assert asked(str(file), as_json=True, treated=["set1=5"]) == 0
    (panel,) = json.loads(capsys.readouterr().out)["children"][0]["panels"]
    assert panel["comparisons"][0]["figures"]["nap"]["hits"] == 31


def test_only_one_set_with_the_untreated_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert asked(measures=["SET 2"], as_json=True) == 0
    (panel,) = json.loads(capsys.readouterr().out)["children"][0]["panels"]
    assert [series["word_set"] for series in panel["series"]] == ["set 2", "untreated"]


@pytest.mark.parametrize(
    ("changes", "code", "word"),
    [
        ({"child": "X99"}, 2, "there are: K07"),
        ({"measures": ["set 9"]}, 2, "sets: set 1, set 2, untreated"),
        ({"treated": ["set 9=3"]}, 1, "no set 'set 9'"),
        ({"treated": ["5"]}, 2, "--treated"),
        ({"percent": 200.0}, 2, "percent cannot be 200"),
        ({"page": Path("progress.txt")}, 2, ".docx"),
        ({"file": "no-such-file.csv"}, 1, "cannot read the file"),
    ],
)
def test_wrong_use_and_bad_data(
    changes: dict[str, Any], code: int, word: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked(**changes) == code
    assert word in capsys.readouterr().err


def test_the_criterion_is_set_and_shown(capsys: pytest.CaptureFixture[str]) -> None:
    assert asked(percent=90.0, sessions=2) == 0
    out = capsys.readouterr().out
    assert "set 1: criterion not met. 1 of the last 2 probes at 90% or more" in out
    assert "set by the clinician for this run" in out


@pytest.mark.slow
def test_charts_and_pages_are_written_whole(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    starts = {".html": b"<!doctype html>", ".docx": b"PK", ".pdf": b"%PDF"}
    for suffix, start in starts.items():
        page = tmp_path / f"progress{suffix}"
        assert asked(page=page, svg=tmp_path / "chart.svg", language="es") == 0
        assert page.read_bytes().startswith(start)
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "chart.svg", "progress.docx", "progress.html", "progress.pdf",
    ]  # fmt: skip
    html = (tmp_path / "progress.html").read_text(encoding="utf-8")
    assert html.count("<svg") == 1 and 'lang="es"' in html and "<caption>" in html
    assert "cannot" not in capsys.readouterr().err


@pytest.mark.slow
def test_a_page_that_cannot_be_written_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert asked(page=tmp_path / "no such folder" / "p.html") == 1
    assert "cannot write" in capsys.readouterr().err
