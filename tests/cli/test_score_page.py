"""`approx score --page`: the page is what its name says."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from places import SAMPLES

from approx.cli.sample_commands import score


@pytest.mark.parametrize("name", ["page.pdf", "page.docx", "page"])
def test_another_ending_than_html_is_refused_and_nothing_is_written(name: str, tmp_path: Path) -> None:
    found = CliRunner().invoke(score, [str(SAMPLES / "k07.csv"), "--page", str(tmp_path / name)])
    assert found.exit_code == 2 and not list(tmp_path.iterdir())


def test_a_page_of_html_is_written(tmp_path: Path) -> None:
    found = CliRunner().invoke(score, [str(SAMPLES / "k07.csv"), "--page", str(tmp_path / "page.html")])
    assert found.exit_code == 0 and (tmp_path / "page.html").read_text(encoding="utf-8").startswith("<!doctype html>")
