"""Slow: the HTML pages as a browser prints them: pages as many as expected, nothing cut or one over the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from golden_sheets import pages
from playwright.sync_api import Browser, sync_playwright
from test_sheet_pdf import EXPECTED, LONG, outside, overlapping, text_of

from approx.reports.sheets.as_html import page_html
from approx.reports.sheets.page_types import Page
from approx.reports.sheets.session_page import session_page

pytestmark = pytest.mark.slow
BROWSER = "/usr/bin/chromium"
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
PAGES = pages()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=BROWSER, args=QUIET)
        yield found
        found.close()


def printed(browser: Browser, page: Page, folder: Path) -> pypdfium2.PdfDocument:
    """The page as the browser prints it, on the paper that the page asks for and without backgrounds."""
    source = folder / "page.html"
    source.write_text(page_html(page), encoding="utf-8")
    tab = browser.new_page()
    tab.goto(source.as_uri())
    made = tab.pdf(prefer_css_page_size=True, print_background=False)
    tab.close()
    return pypdfium2.PdfDocument(made)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", PAGES)
def test_a_page_prints_whole(name: str, paper: str, browser: Browser, tmp_path: Path) -> None:
    page = PAGES[name]
    document = printed(browser, replace(page, printing=replace(page.printing, paper=paper)), tmp_path)
    width, height = sorted(round(side / 72 * 25.4) for side in document[0].get_size())
    assert (width, height) == ((210, 297) if paper == "a4" else (216, 279))
    assert EXPECTED[name] <= len(document) <= EXPECTED[name] + name.startswith(("family", "listen"))
    assert not outside(document) and not overlapping(document)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_long_words_stay_in_their_columns(paper: str, browser: Browser, tmp_path: Path) -> None:
    page = session_page(LONG, replace(PAGES["session"].printing, paper=paper))
    document = printed(browser, page, tmp_path)
    assert len(document) == 1 and not outside(document) and not overlapping(document)
    assert "supercalif" in text_of(document)


def test_on_a_narrow_screen_nothing_has_to_be_pushed_sideways(browser: Browser, tmp_path: Path) -> None:
    source = tmp_path / "page.html"
    source.write_text(page_html(PAGES["family"]), encoding="utf-8")
    tab = browser.new_page(viewport={"width": 800, "height": 1000})
    tab.goto(source.as_uri())
    assert tab.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    tab.close()
