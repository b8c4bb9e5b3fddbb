"""Spanish words of the trade: each says where Spanish-language literature has it, or that it was found nowhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from desk_client import Browser

from approx.datafiles import read_toml, rules_path

TERMS = read_toml(rules_path("pages/glossary.toml"))["term"]
PROCESSES = read_toml(rules_path("processes.toml"))["process"]
SAID = ("unsure", "common practice, no source", "own wording of this program")


@pytest.mark.parametrize("entry", [*TERMS, *PROCESSES], ids=lambda entry: entry["id"])
def test_a_spanish_term_names_its_source_or_says_that_it_has_none(entry: dict[str, str]) -> None:
    source = entry["es_source"]
    # what was read of a source, and how much of it, stands beside it
    assert source.startswith(SAID) or re.search(r"\bread\b", source), source


def test_the_page_says_which_words_nobody_checked(tmp_path: Path) -> None:
    page = Browser(tmp_path / "c.sqlite", "es").get("/glossary").text
    unsure = sum(term["es_source"].startswith("unsure") for term in TERMS)
    assert unsure > 3 and page.count("no está comprobado") == unsure
    assert "not checked" not in Browser(tmp_path / "d.sqlite", "en").get("/glossary").text
