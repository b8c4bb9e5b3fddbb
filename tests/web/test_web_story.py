"""The story of one child in a real browser, from the first page to the report; every page looked at by axe on the way."""

from __future__ import annotations

import io
import re
import sqlite3
import zipfile
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from conftest import CommandLine
from desk_steps import open_folds, sixty_taps, totals_by_cue
from page_faults import TABLET, looked_at
from places import ROOT
from playwright.sync_api import Page
from test_web_progress import TABLE

pytest_plugins = ["desk_browser"]
pytestmark = pytest.mark.slow


def test_the_story(page: Page, cli: CommandLine, desk: tuple[str, Path]) -> None:
    """The issue's own words: new child, list, profile, phrase, forms, sixty tries, nineteen probes, chart and report."""
    faults = looked_at(page)
    faults += new_child(page)
    faults += list_pasted(page, cli("score", "samples/m12.csv", "--json").json["groups"][0]["measures"])
    faults += profile_accepted(page)
    faults += forms_chosen(page)
    faults += family_page(page)
    faults += sixty_tries(page)
    faults += paper_grid(page)
    faults += nineteen_probes(page)
    report_as_docx(page)
    with closing(sqlite3.connect(f"file:{desk[1]}?mode=ro", uri=True)) as there:
        assert there.execute("SELECT count(*) FROM trials WHERE trashed = ''").fetchone() == (69,)
        assert there.execute("SELECT count(*) FROM probes WHERE trashed = ''").fetchone() == (57,)
    assert faults == []


def new_child(page: Page) -> list[str]:
    """By keyboard alone."""
    page.get_by_label("Code", exact=True).focus()
    page.keyboard.type("M12")
    page.keyboard.press("Tab")
    page.keyboard.type("4;5")
    page.keyboard.press("Enter")
    page.wait_for_url("**/child/M12?said=child_added")
    return looked_at(page)


def list_pasted(page: Page, measures: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """M12's list; the analysis has the digits of `approx score`, of every measure that has a value."""
    page.get_by_role("link", name="Samples", exact=True).click()
    page.wait_for_url("**/samples")
    faults = looked_at(page)
    rows = (ROOT / "samples" / "m12.csv").read_text(encoding="utf-8").replace(",", "\t")
    page.get_by_label("Rows from a spreadsheet").fill(rows)
    page.get_by_role("button", name="Look at the columns").click()
    page.wait_for_url("**/samples/look")
    faults += looked_at(page)
    page.get_by_role("button", name="Save the sample").click()
    page.wait_for_url("**/sample/*")
    faults += looked_at(page)
    open_folds(page)
    lines = page.inner_text(".report").splitlines()
    known = [each for each in measures.values() if each["value"] is not None and "hits" in each]
    assert len(known) > 20
    for each in known:
        wanted: list[str] = []
        if each["low"] is not None:
            wanted.append(tuple_of(each, 1) if any(tuple_of(each, 1) in line for line in lines) else tuple_of(each, 2))
        values = {f"{each['value']:.1f}%", f"{each['value']:.2f}"}
        assert any(all(text in line for text in wanted) and any(value in line for value in values) for line in lines), (
            each
        )
    return faults


def tuple_of(measure: Mapping[str, Any], digits: int) -> str:
    """The ends of an interval as they are printed."""
    return f"{measure['low']:.{digits}f} – {measure['high']:.{digits}f}"


def profile_accepted(page: Page) -> list[str]:
    """The sounds of the list become the profile, which is corrected by tapping."""
    page.get_by_role("link", name="Compare with the inventory").click()
    faults = looked_at(page)
    page.get_by_role("button", name="Save what is ticked").click()
    page.wait_for_url("**/child/M12/sounds?**")
    faults += looked_at(page)
    assert heard(page, "k, word-initial") == "k, word-initial: not yet"
    for sound in ("n", "b"):
        button = page.get_by_role("button", name=f"{sound}, word-initial")
        while "established" not in (button.get_attribute("aria-label") or ""):
            button.click()
    page.get_by_role("button", name="Save the sounds").click()
    page.wait_for_url("**/child/M12?said=sounds_saved")
    return faults + looked_at(page)


def heard(page: Page, name: str) -> str:
    """The accessible name of a sound's button now."""
    found = page.get_by_role("button", name=name).first.get_attribute("aria-label")
    assert found
    return found


def forms_chosen(page: Page) -> list[str]:
    """A phrase, answered while it is typed; a form chosen for each of its words."""
    page.get_by_role("link", name="Words and phrases").first.click()
    page.evaluate("window.sameDocument = true")
    page.get_by_label("Word or phrase", exact=True).press_sequentially("more cake")
    page.get_by_role("heading", name="cake").wait_for()
    faults = looked_at(page)
    card = page.locator(".word", has=page.get_by_role("heading", name="cake"))
    card.locator("summary").click()
    assert "keɪk" in card.inner_text() and "teɪt" in card.inner_text()
    for word in ("cake", "more"):
        card = page.locator(".word", has=page.get_by_role("heading", name=word))
        card.get_by_role("button", name="Choose").click()
        page.locator(".said", has_text=word).wait_for()
        page.locator(".word", has=page.get_by_role("heading", name=word)).get_by_text("chosen").first.wait_for()
    assert page.evaluate("window.sameDocument")  # nothing was loaded anew
    return faults


def family_page(page: Page) -> list[str]:
    """The words in work as a page for the family, shown to print, and as a file of two pages: the words, and the home log."""
    page.get_by_role("link", name="M12", exact=True).click()
    page.wait_for_url("**/child/M12")
    child = page.url.partition("?")[0]
    page.goto(f"{child}/sheets?kind=family&word=cake&word=more")
    faults = looked_at(page)
    with page.expect_download() as given:
        page.locator(".said a", has_text="PDF").click()
    with pypdfium2.PdfDocument(given.value.path().read_bytes()) as paper:
        assert len(paper) == 2 and "cake" in paper[0].get_textpage().get_text_range()
    page.locator(".said a").first.click()
    page.wait_for_url("**/sheet?**")
    assert "cake" in page.inner_text("body") and page.pdf(prefer_css_page_size=True).startswith(b"%PDF")
    page.goto(f"{child}/sheets")
    return faults


def sixty_tries(page: Page) -> list[str]:
    """On a touch screen of 768 px: sixty taps, and their totals by help."""
    page.get_by_role("link", name="M12", exact=True).click()
    page.wait_for_url("**/child/M12")
    page.set_viewport_size(TABLET)  # type: ignore[arg-type]
    page.get_by_role("link", name="Sessions").tap()
    page.wait_for_url("**/sessions")
    faults = looked_at(page)
    page.get_by_role("button", name="Start a session").tap()
    page.wait_for_url("**/session/*")
    faults += looked_at(page)
    sixty_taps(page, "cake", "more")
    counts = totals_by_cue(page)
    # of thirty, by hand: 2 2 1 0 seven times and 2 2, then (number 30 is the third of four) 1 0 and 2 2 1 0 seven times
    assert counts["together"] == ["16", "7", "7", "30"] and counts["no cues"] == ["14", "8", "8", "30"]
    page.get_by_role("button", name="Undo the last trial").tap()
    page.get_by_text("59 trials").wait_for()
    faults += looked_at(page)
    page.set_viewport_size({"width": 1100, "height": 900})
    return faults


def paper_grid(page: Page) -> list[str]:
    """A second session keyed in from paper."""
    page.get_by_role("link", name="M12", exact=True).click()
    page.wait_for_url("**/child/M12")
    page.get_by_role("link", name="Sessions").click()
    page.get_by_role("button", name="Start a session").click()
    page.get_by_role("link", name="Enter a paper data sheet").click()
    page.wait_for_url("**/grid")
    faults = looked_at(page)
    page.get_by_label("Cue level, cake").fill("4433000000")
    page.get_by_label("Result, cake").fill("0112222222")
    page.get_by_role("button", name="Save all trials").click()
    page.get_by_text("10 trials").wait_for()
    return faults


def nineteen_probes(page: Page) -> list[str]:
    """The probe sessions of the scenario: charts, tables, and its overlap figures exactly."""
    page.get_by_role("link", name="M12", exact=True).click()
    page.wait_for_url("**/child/M12")
    page.get_by_role("link", name="Enter a probe", exact=True).click()
    page.wait_for_url("**/progress*")
    faults = looked_at(page)
    page.locator("summary", has_text="Paste a table of probes").click()
    page.get_by_label("Rows from a spreadsheet").fill(TABLE)
    page.get_by_label("Session in which practice of a set began").fill("set2 = 13")
    page.get_by_role("button", name="Save the table").click()
    page.wait_for_url("**said=saved")
    page.locator(".drawing svg").nth(1).wait_for()
    faults += looked_at(page)
    open_folds(page)
    report = page.inner_text(".report")
    # the scenario's check values: 31/32 = 0.969 and mean 1.5 to 5.625; 72/72 = 1.0 and mean 0.917 to 5.833
    for shown in ("0.969 (31 / 32)", "1.000 (72 / 72)"):
        assert shown in report
    for one, other in (("1.5", "5.625"), ("0.917", "5.833")):
        assert re.search(rf"\b{re.escape(one)}\b.*\b{re.escape(other)}\b", report)
    history = page.locator("section[aria-labelledby=rungs]").inner_text()
    assert "cake" in history and "teɪt" in history and "more" in history
    return faults


def report_as_docx(page: Page) -> None:
    """A file that holds the figures, the charts as pictures, and opens as what it says it is."""
    with page.expect_download() as given:
        page.get_by_role("link", name="As DOCX").click()
    with zipfile.ZipFile(io.BytesIO(given.value.path().read_bytes())) as inside:
        text = re.sub(r"<[^>]+>", "", inside.read("word/document.xml").decode("utf-8"))
        assert "0.969" in text and "1.000" in text and "M12" in text
        assert sum(name.startswith("word/media/") for name in inside.namelist()) == 1  # both sets, stacked on one axis
