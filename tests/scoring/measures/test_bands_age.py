"""The age that a band asks for comes from the sample, the child's file or the call."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import CommandLine

import approx

ROWS = "child,target_ipa,produced_ipa,context\n" + "M12,kʌp,tʌp,talk\nM12,spun,pun,talk\n" * 40


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    file = tmp_path / "talk.csv"
    file.write_text(ROWS, encoding="utf-8")
    return file


def test_the_childs_file_gives_the_age(cli: CommandLine, talk: Path) -> None:
    """M12 is 4;5: inside of 4;1 to 8;6 (Shriberg & Kwiatkowski 1982); 3 of every 5 consonants right is 60 %, in its band of 50 to 65."""
    without = cli("score", str(talk), "--json").json["groups"][0]["measures"]["pcc"]
    known = cli("score", str(talk), "--child", "samples/m12.toml", "--json").json["groups"][0]["measures"]["pcc"]
    assert "age not given" in without["caution"] and "band" not in without
    assert known["band"] == "moderate-severe" and known["value"] == 60.0


@pytest.mark.parametrize(("age", "said"), [("3;2", "4;1 to 8;6"), ("9;0", "4;1 to 8;6")])
def test_outside_of_the_ages_there_is_no_band(talk: Path, age: str, said: str) -> None:
    pcc = approx.score(talk, age=age).to_dict()["groups"][0]["measures"]["pcc"]
    assert "band" not in pcc and said in pcc["caution"]


def test_an_age_that_cannot_be_read_is_a_problem(talk: Path) -> None:
    assert [problem.symbol for problem in approx.score(talk, age="4:x").problems] == ["4:x"]
