"""Every kind of page as HTML in a real browser and as DOCX in a word processor: as whole and of as few pages as the PDF."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from io import BytesIO
from pathlib import Path
from shutil import which
from typing import Any

import docx
import pypdfium2
import pytest
from PIL import ImageFont
from places import SAMPLES
from playwright.sync_api import Browser
from test_document_pages import NAMES, ends_at, report
from test_page_matrix import MOST_PAGES
from test_sheet_pdf import HANDED_OUT, outside, overlapping, smallest

from approx.api.practice.sheets import Sheet, sheet
from approx.reports.document import Bullets, Document, Grid, Heading, PageBreak, Paragraph
from approx.reports.documents.documents import printed
from approx.reports.documents.fonts import FONTS
from approx.reports.sheets.sheet_page import SHEET_KINDS

pytest_plugins = ("desk_browser",)
WAYS = (("en", "letter"), ("es", "a4"))
ENDS = {"analysis": 4, "comparison": 4, "evaluation": 3, "goals": 1, "processes": 2, "progress": 5}
"""Pages of each report of the samples at most; a browser and a word processor set them less closely than the PDF."""


@cache
def made(kind: str, language: str, paper: str) -> Sheet:
    others = [str(SAMPLES / "m12.toml")] if kind == "group" else []
    minutes = 30 if kind == "plan" else None
    return sheet(kind, [str(SAMPLES / "k07.toml"), *others], paper=paper, language=language, minutes=minutes)


def in_browser(chromium: Browser, html: str) -> pypdfium2.PdfDocument:
    page = chromium.new_page()
    page.set_content(html)
    content = page.pdf(prefer_css_page_size=True)
    page.close()
    return pypdfium2.PdfDocument(content)


@pytest.mark.slow
@pytest.mark.parametrize(("language", "paper"), WAYS)
def test_every_page_is_whole_in_a_browser(chromium: Browser, language: str, paper: str) -> None:
    faults: list[str] = []
    for kind in SHEET_KINDS:
        shown = in_browser(chromium, made(kind, language, paper).html())
        least = 11.9 if kind in HANDED_OUT else 8.9
        faults += [f"{kind}: {len(shown)} pages"] * (len(shown) > MOST_PAGES.get(kind, 1))
        faults += [f"{kind}: too near the edge"] * bool(outside(shown))
        faults += [f"{kind}: {over} overlap" for over in overlapping(shown)[:1]]
        faults += [f"{kind}: {smallest(shown):.1f} pt"] * (smallest(shown) < least)
    for name in NAMES:
        shown = in_browser(chromium, printed(report(name, language), ".html", paper).decode())
        faults += [f"{name}: {len(shown)} pages"] * (len(shown) > ENDS[name])
        faults += [f"{name}: too near the edge"] * bool(outside(shown))
        faults += [f"{name}: a line or two on the last page"] * (ends_at(shown[len(shown) - 1]) < 0.07)
    assert faults == []


@cache
def letters(bold: bool, points: float) -> Any:
    return ImageFont.truetype(
        FONTS / ("text-bold.ttf" if bold else "text-regular.ttf"),
        round(points * 20),
        layout_engine=ImageFont.Layout.BASIC,
    )


def too_wide(content: bytes) -> list[str]:
    """Words of tables that are wider than their column, which a word processor breaks in the middle."""
    found: list[str] = []
    document = docx.Document(BytesIO(content))
    usual = document.styles["Normal"].font.size.pt
    for table in document.tables:
        seen: set[Any] = set()
        for cell in (cell for row in table.rows for cell in row.cells):
            if cell._tc in seen:
                continue
            seen.add(cell._tc)
            room = cell.width.pt - 2 * 2.5
            for run in (run for paragraph in cell.paragraphs for run in paragraph.runs):
                points = run.font.size.pt if run.font.size else usual
                for word in filter(str.strip, re.split("[ \n]", run.text.replace("-", "- "))):
                    wide = letters(bool(run.bold), points).getlength(word.strip("_")) / 20
                    found += [f"{word} ({wide:.0f} of {room:.0f} pt)"] * (wide > room)
    return found


LANGUAGES = ["es", pytest.param("en", marks=pytest.mark.slow)]
"""The longer words first; the English of the same pages in the slow set."""


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("kind", SHEET_KINDS)
def test_no_word_of_a_document_is_wider_than_its_column(kind: str, language: str) -> None:
    assert too_wide(made(kind, language, "a4").docx()) == []


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", NAMES)
def test_no_word_of_a_report_is_wider_than_its_column(name: str, language: str) -> None:
    assert too_wide(printed(report(name, language), ".docx", "a4")) == []


def test_a_word_that_is_too_wide_is_found() -> None:
    document = docx.Document()
    cell = document.add_table(rows=1, cols=1).cell(0, 0)
    cell.width = docx.shared.Mm(12)
    cell.paragraphs[0].add_run("unmistakably").font.size = docx.shared.Pt(12)
    document.styles["Normal"].font.size = docx.shared.Pt(10)
    out = BytesIO()
    document.save(out)
    assert len(too_wide(out.getvalue())) == 1


@pytest.mark.slow
@pytest.mark.skipif(which("soffice") is None, reason="no word processor on this machine")
@pytest.mark.parametrize(("language", "paper"), WAYS)
def test_every_page_is_whole_in_a_word_processor(language: str, paper: str, tmp_path: Path) -> None:
    files = {kind: made(kind, language, paper).docx() for kind in SHEET_KINDS}
    files |= {name: printed(report(name, language), ".docx", paper) for name in NAMES}
    faults = []
    for name, document in in_word_processor(files, tmp_path).items():
        most = MOST_PAGES.get(name, 1) if name in SHEET_KINDS else ENDS[name]
        faults += [f"{name}: {len(document)} pages"] * (len(document) > most)
        faults += [f"{name}: too near the edge"] * bool(outside(document))
        faults += [f"{name}: {smallest(document):.1f} pt"] * (smallest(document) < 8.9)
    assert faults == []


def in_word_processor(files: dict[str, bytes], folder: Path) -> dict[str, pypdfium2.PdfDocument]:
    for name, content in files.items():
        (folder / f"{name}.docx").write_bytes(content)
    asked = [
        "soffice",
        "--headless",
        f"-env:UserInstallation=file://{folder}/office",
        "--convert-to",
        "pdf",
        "--outdir",
    ]
    shown = [str(folder / f"{name}.docx") for name in files]
    subprocess.run([*asked, str(folder), *shown], check=True, timeout=300, capture_output=True)
    return {name: pypdfium2.PdfDocument(folder / f"{name}.pdf") for name in files}


LENGTHS = range(36, 84)
"""Rows of a table, so that some last row falls on each line of a page."""


def of_rows(rows: int) -> Document:
    grid = Grid("table", ("n", "what"), tuple((f"{row}", "a row") for row in range(rows)))
    return Document(
        "title",
        (
            grid,
            Heading("heed"),
            Bullets(("caution", "care"), small=True),
            Paragraph("settings " * 40, small=True),
            PageBreak(),
            grid,
        ),
    )


def left_alone(document: pypdfium2.PdfDocument) -> list[str]:
    texts = [page.get_textpage().get_text_range() for page in document]
    faults = ["an empty page"] * any("a row" not in text and "settings" not in text for text in texts)
    faults += ["a row alone"] * any(text.count("a row") == 1 for text in texts)
    return faults + ["settings alone"] * any("settings" in text and "heed" not in text for text in texts)


@pytest.mark.slow
def test_no_row_and_no_settings_are_left_alone_in_a_browser(chromium: Browser) -> None:
    shown_by_rows = {rows: in_browser(chromium, printed(of_rows(rows), ".html", "a4").decode()) for rows in LENGTHS}
    assert {rows: left_alone(shown) for rows, shown in shown_by_rows.items() if left_alone(shown)} == {}


@pytest.mark.slow
@pytest.mark.skipif(which("soffice") is None, reason="no word processor on this machine")
def test_no_row_and_no_settings_are_left_alone_in_a_word_processor(tmp_path: Path) -> None:
    files = {f"{rows}": printed(of_rows(rows), ".docx", "a4") for rows in LENGTHS}
    shown_by_rows = in_word_processor(files, tmp_path)
    assert {rows: left_alone(shown) for rows, shown in shown_by_rows.items() if left_alone(shown)} == {}
