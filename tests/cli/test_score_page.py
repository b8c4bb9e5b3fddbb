"""Pages of results: each is what its name says, on the paper of its region; other names and papers are refused."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
import pypdfium2
import pytest
from click.testing import CliRunner
from places import SAMPLES

from approx.cli.sample_commands import evaluation, processes, progress, report, score

COMMANDS: dict[str, tuple[click.Command, list[str]]] = {
    "score": (score, [str(SAMPLES / "k07.csv")]),
    "processes": (processes, [str(SAMPLES / "t03.csv")]),
    "evaluation": (evaluation, [str(SAMPLES / "m12.csv")]),
    "progress": (progress, [str(SAMPLES / "probes.csv")]),
    "report": (report, [str(SAMPLES / "m12.csv"), str(SAMPLES / "m12_later.csv")]),
}
STARTS = {".html": b"<!doctype html>", ".docx": b"PK", ".pdf": b"%PDF"}


def run(name: str, *options: Any) -> Any:
    command, arguments = COMMANDS[name]
    return CliRunner().invoke(command, [*arguments, *map(str, options)])


@pytest.mark.parametrize("ending", [".txt", ".odt", ""])
@pytest.mark.parametrize("name", COMMANDS)
def test_another_ending_is_refused_and_nothing_is_written(name: str, ending: str, tmp_path: Path) -> None:
    found = run(name, "--page", tmp_path / f"page{ending}")
    assert found.exit_code == 2 and ".html or .docx or .pdf" in found.output and not list(tmp_path.iterdir())


@pytest.mark.slow
@pytest.mark.parametrize("ending", STARTS)
@pytest.mark.parametrize("name", COMMANDS)
def test_a_page_is_what_its_name_says(name: str, ending: str, tmp_path: Path) -> None:
    page = tmp_path / f"page{ending}"
    found = run(name, "--page", page)
    assert found.exit_code == 0, found.output
    assert page.read_bytes().startswith(STARTS[ending])


@pytest.mark.parametrize(
    ("options", "width"),
    [
        ((), 215.9),
        pytest.param(("--paper", "a4"), 210.0, marks=pytest.mark.slow),
        pytest.param(("--page-language", "es"), 215.9, marks=pytest.mark.slow),
        (("--page-language", "es-ES"), 210.0),
    ],
)
def test_the_paper_is_that_of_the_region_or_the_one_asked_for(
    options: tuple[str, ...], width: float, tmp_path: Path
) -> None:
    """The sample is of the United States; a Spanish page for it is too, unless it names a region of its own."""
    page = tmp_path / "page.pdf"
    assert run("score", "--page", page, *options).exit_code == 0
    assert pypdfium2.PdfDocument(page)[0].get_width() / 72 * 25.4 == pytest.approx(width, abs=0.2)


def test_an_unknown_paper_is_refused(tmp_path: Path) -> None:
    found = run("score", "--page", tmp_path / "page.pdf", "--paper", "a5")
    assert found.exit_code == 2 and "--paper cannot be 'a5'" in found.output


@pytest.mark.parametrize("name", ["report", "progress"])
def test_the_age_stands_in_the_title(name: str, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    assert run(name, "--page", page, "--age", "4;8").exit_code == 0
    assert ", 4;8: " in page.read_text(encoding="utf-8").partition("</title>")[0]
    found = run(name, "--page", tmp_path / "other.html", "--age", "4:x")
    assert found.exit_code == 2 and "4:x" in found.output and not (tmp_path / "other.html").exists()
