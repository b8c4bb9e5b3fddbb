"""Every page as DOCX: what is on the page is in the document, to be changed there."""

from __future__ import annotations

from functools import cache
from io import BytesIO

import docx
import pytest
from docx.document import Document
from fast_cases import only
from golden_sheets import WORDS, pages, printing

from approx.reports.report_words import wording
from approx.reports.sheets.as_docx import page_docx
from approx.reports.sheets.family_page import family_page
from approx.reports.sheets.page_types import TEMPLATES, Page, PlanPage

PAGES = pages()
FAST = only(PAGES, *(name for name in PAGES if name == "session_es" or not name.endswith(("_es", "_nine"))))


def opened(page: Page) -> Document:
    return docx.Document(BytesIO(page_docx(page)))


@cache
def listed(name: str) -> Document:
    """A page of the list, made once."""
    return opened(PAGES[name])


def all_text(document: Document) -> str:
    cells = (cell.text for table in document.tables for row in table.rows for cell in row.cells)
    return "\n".join([*(paragraph.text for paragraph in document.paragraphs), *cells])


@pytest.mark.parametrize("name", FAST)
def test_paper_title_and_headings(name: str) -> None:
    page = PAGES[name]
    document = listed(name)
    text = wording(page.printing.language)[TEMPLATES[type(page)]]
    width = min(document.sections[0].page_width, document.sections[0].page_height)
    assert width is not None and round(width.mm) == (210 if page.printing.paper == "a4" else 216)
    assert document.core_properties.title == text["title"] and document.core_properties.author == ""
    assert any(paragraph.style.name == "Heading 1" for paragraph in document.paragraphs)


@pytest.mark.parametrize("name", FAST)
def test_no_row_is_split_and_heads_are_repeated(name: str) -> None:
    for table in listed(name).tables:
        rows = [row._tr.xml for row in table.rows]
        assert all("w:cantSplit" in row for row in rows)
        assert len(rows) == 1 or "w:tblHeader" in rows[0] or not any("w:tblHeader" in row for row in rows)
    if name in ("session", "plan", "group", "letter", "hear"):
        assert "w:tblHeader" in listed(name).tables[0].rows[0]._tr.xml


def test_the_family_document_has_every_word_and_sentence_and_no_code() -> None:
    text = all_text(opened(family_page(WORDS, printing())[0]))
    for target in WORDS:
        assert f"You say\n{target.word}" in text
    for key in ("how_lines", "stuck_lines", "step_lines", "days"):
        assert all(line in text for line in wording("en")["family"][key])
    assert "X01" not in text and "muh" in text and "ʌ" not in text


def test_the_family_document_has_nothing_smaller_than_14_points() -> None:
    document = opened(family_page(WORDS, printing())[0])
    assert document.styles["Normal"].font.size.pt == 14
    sizes = [
        run.font.size.pt
        for table in document.tables
        for row in table.rows
        for cell in row.cells
        for paragraph in cell.paragraphs
        for run in paragraph.runs
        if run.font.size
    ]
    assert sizes and min(sizes) >= 14


def test_the_plan_document_has_the_time_table_the_forms_and_the_sources() -> None:
    page = PAGES["plan"]
    assert isinstance(page, PlanPage)
    text = all_text(opened(page))
    for row in page.rows:
        assert row.detail in text and row.start in text
    assert not [source for _, _, source in page.facts if source in text]
    assert "mud mʌd" in text and "muh  mʌ" in text and page.remarks[0] in text


def test_words_carry_their_language() -> None:
    page, _ = family_page(WORDS[:1], printing("es"))
    body = opened(page).element.xml
    assert 'w:val="en-US"' in body
    assert 'w:val="es-MX"' in opened(page).styles.element.xml
