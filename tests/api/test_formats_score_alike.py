"""One sample in every format that is read, and in every format that we write: the same scores, the same processes."""

from __future__ import annotations

import gzip
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from fast_cases import one_in, only
from places import SAMPLES
from test_other_formats import eaf, gz, gz_of_json_lines, json_lines, ods, parquet, textgrid

import approx
from approx.api.samples.converting import SampleRows, convert

M12, K07 = SAMPLES / "m12.csv", SAMPLES / "k07.csv"


def figures(path: Path, by: str) -> Any:
    """All that is counted: groups of scores, and of processes."""
    return approx.score(path, by=by).to_dict()["groups"], approx.processes(path, by=by).to_dict()["groups"]


@pytest.mark.parametrize("write", one_in(2, (parquet, json_lines, gz_of_json_lines, gz, ods, textgrid, eaf)))
def test_every_format_that_is_read(write: Callable[[Path], None], tmp_path: Path) -> None:
    """M12: 27 of 60 consonants are right, as the scenario counts them."""
    path = tmp_path / "sample"
    write(path)
    got, want = figures(path, ""), figures(M12, "")
    assert (want[0][0]["measures"]["pcc"]["hits"], want[0][0]["measures"]["pcc"]["out_of"]) == (27, 60)
    if write in (textgrid, eaf):  # an interval holds no context, on which the caution of a band hangs
        for each in (*got[0], *want[0]):
            each["measures"]["pcc"].pop("caution")
    assert got == want


def packed(rows: SampleRows, path: Path) -> None:
    plain = path.with_name("plain.csv")
    assert rows.write(plain, guard=False) == ()
    path.write_bytes(gzip.compress(plain.read_bytes()))


WRITTEN: dict[str, Callable[[SampleRows, Path], Any]] = {
    "sample.csv": lambda rows, path: rows.write(path),
    "plain.csv": lambda rows, path: rows.write(path, guard=False),
    "sample.tsv": lambda rows, path: rows.write(path),
    "sample.jsonl": lambda rows, path: rows.write(path),
    "sample.parquet": lambda rows, path: rows.write(path),
    "sample.xlsx": lambda rows, path: rows.write(path),
    "sample.csv.gz": packed,
    "forms.csv": lambda rows, path: rows.write_cldf(path.parent),
}


@pytest.mark.parametrize("name", only(WRITTEN, "sample.csv", "sample.jsonl", "sample.xlsx", "forms.csv"))
def test_every_format_that_is_written(name: str, tmp_path: Path) -> None:
    """K07's sample has several attempts, omissions, doubts and unintelligible rows."""
    WRITTEN[name](convert(K07), tmp_path / name)
    assert figures(tmp_path / name, "child,session_date") == figures(K07, "child,session_date")


def test_a_row_without_a_production_is_no_form(tmp_path: Path) -> None:
    """It is left out of the exchange format with a remark; in every other format it stays."""
    sample = tmp_path / "sample.csv"
    sample.write_text("target_word,target_ipa,produced_ipa\ncup,kʌp,tʌp\ncat,kæt,\ndog,dɔɡ,0\n", encoding="utf-8")
    rows = convert(sample)
    (remark,) = rows.write_cldf(tmp_path / "cldf")
    assert (remark.code, remark.fatal) == ("cldf.silent", False) and remark.message.endswith(": 3")
    lines = (tmp_path / "cldf" / "forms.csv").read_text(encoding="utf-8").splitlines()
    assert [line.split(",")[3] for line in lines] == ["Form", "tʌp", "∅"]
    assert (
        rows.write(tmp_path / "sample.jsonl") == ()
        and len((tmp_path / "sample.jsonl").read_text("utf-8").splitlines()) == 3
    )


def test_the_exchange_format_is_valid(tmp_path: Path) -> None:
    """By the validator of its own library; sounds of adult form and production beside the forms."""
    from pycldf import Dataset

    assert convert(K07).write_cldf(tmp_path) == ()
    data = Dataset.from_metadata(tmp_path / "Wordlist-metadata.json")
    assert data.module == "Wordlist" and data.validate()
    forms = list(data["FormTable"])
    first = forms[0]
    assert first["Form"] == "ˈmama" and first["Segments"] == ["m", "a", "m", "a"]
    assert (first["target_ipa"], first["child"], first["Language_ID"]) == ("ˈmɑmə", "K07", "en-US")
    words = {row["ID"]: row["Name"] for row in data["ParameterTable"]}
    assert words[first["Parameter_ID"]] == "mama"


def test_a_place_that_cannot_be_written_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    (problem,) = convert(M12).write_cldf(tmp_path / "file")
    assert problem.code == "file.write"
