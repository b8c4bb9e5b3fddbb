"""Every option that names a file to write, told a folder that is not there: one line with the way out, no fault of ours."""

from __future__ import annotations

from pathlib import Path

import pytest
from places import SAMPLES
from typed_commands import run

SHEET = {"child": SAMPLES / "k07.toml", "words": "mud,pot"}


@pytest.mark.parametrize(
    ("command", "given", "option", "name", "more"),
    [
        ("score", ["m12.csv"], "xlsx", "a.xlsx", {}),
        ("score", ["m12.csv"], "page", "a.html", {}),
        ("inventory", ["m12.csv"], "write", "a.toml", {}),
        ("report", ["m12.csv", "m12_later.csv"], "page", "a.html", {}),
        ("report", ["m12.csv", "m12_later.csv"], "page", "a.docx", {}),
        ("progress", ["probes.csv"], "svg", "a.svg", {}),
        ("progress", ["probes.csv"], "page", "a.html", {}),
        ("sheet family", [], "html", "a.html", SHEET),
        ("sheet family", [], "pdf", "a.pdf", SHEET),
        ("sheet family", [], "docx", "a.docx", SHEET),
        ("desk", [], "export", "a.zip", {}),
        ("desk", [], "import", "a.zip", {}),
    ],
)
@pytest.mark.parametrize("there", [False, pytest.param(True, marks=pytest.mark.slow)])
def test_a_file_that_cannot_be_written_is_one_line(
    command: str, given: list[str], option: str, name: str, more: dict[str, object], there: bool, tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    place = tmp_path / "no such folder" / name
    if there:  # a folder of that name stands in the way
        place.mkdir(parents=True)
    if command == "desk":
        more = {"file": tmp_path / "c.sqlite"}
    assert run(command, *(SAMPLES / file for file in given), **{option: place}, **more) == 1
    said = [line for line in capsys.readouterr().err.splitlines() if "[file." in line or "[records." in line]
    assert len(said) == 1 and "fault of the program" not in said[0]
    assert name in said[0] or "no such folder" in said[0]


def test_a_child_file_that_cannot_be_written_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("child new", tmp_path / "no such folder" / "a.toml") == 2
    assert "[file.write]" in capsys.readouterr().err
