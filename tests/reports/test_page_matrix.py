"""Every page for every child of the samples, on both papers and in both languages: whole, readable, of few pages."""

from __future__ import annotations

import pypdfium2
import pytest
from places import SAMPLES
from test_document_pages import ends_at
from test_sheet_pdf import HANDED_OUT, outside, overlapping, smallest

from approx.api.practice.sheets import sheet
from approx.reports.sheets.sheet_page import SHEET_KINDS

MOST_PAGES = {"cards": 2, "contrast": 3, "family": 2, "match": 3}
"""Of eight words; one page for all other kinds."""
CHILDREN = ("k07", "m12", "t03", "t03_es")
QUICK = ("t03_es", "es", "a4")
"""The one that every run of the tests makes."""
MATRIX = [
    pytest.param(child, language, paper, marks=() if (child, language, paper) == QUICK else pytest.mark.slow)
    for child in CHILDREN
    for language in ("en", "es")
    for paper in ("a4", "letter")
]


@pytest.mark.slow
@pytest.mark.parametrize(("child", "language", "paper"), MATRIX)
@pytest.mark.parametrize("kind", SHEET_KINDS)
def test_a_page_is_whole(kind: str, child: str, language: str, paper: str) -> None:
    others = [str(SAMPLES / "m12.toml")] if kind == "group" and child != "m12" else []
    made = sheet(
        kind,
        [str(SAMPLES / f"{child}.toml"), *others],
        paper=paper,
        language=language,
        minutes=30 if kind == "plan" else None,
    )
    document = pypdfium2.PdfDocument(made.pdf())
    assert len(document) <= MOST_PAGES.get(kind, 1)
    assert not outside(document) and not overlapping(document)
    assert smallest(document) >= (11.99 if kind in HANDED_OUT else 8.99)
    for page in document:
        assert len(page.get_textpage().get_text_range().strip()) > 60, "a page with hardly anything on it"
    if kind not in ("group", "listen"):  # their length is that of the group, and of what can be said
        assert ends_at(document[0]) > 2 / 3, "a third of the first page is empty"
