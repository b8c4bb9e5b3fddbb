"""The pages of practice in a real browser: looked at by axe in both languages, at 768 px, light and dark; a sheet as paper."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from page_faults import looked_at, wrong
from playwright.sync_api import Page
from test_web_practice import SAMPLES

pytest_plugins = ["desk_browser"]
pytestmark = pytest.mark.slow


@pytest.fixture
def with_child(page: Page, desk: tuple[str, Path]) -> Iterator[Page]:
    """M12 (invented) with the sounds of two samples, two words in work and a session of tries, all entered by hand."""
    home = page.url.partition("/child")[0].rstrip("/")
    if page.get_by_role("link", name="M12").count() == 0:
        page.get_by_label("Code", exact=True).fill("M12")
        page.get_by_role("button", name="Add this child").click()
        for name in ("m12.csv", "m12_later.csv"):
            page.goto(f"{home}/child/M12/samples")
            rows = (SAMPLES / name).read_text(encoding="utf-8").replace(",", "\t")
            page.get_by_label("Rows from a spreadsheet").fill(rows)
            page.get_by_role("button", name="Look at the columns").click()
            page.wait_for_url("**/samples/look")
            page.get_by_role("button", name="Save the sample").click()
            page.wait_for_url("**/sample/*")
        page.get_by_role("link", name="Compare with the inventory").click()
        page.get_by_role("button", name="Save what is ticked").click()
        page.wait_for_url("**/sounds?**")
    yield page


@pytest.mark.parametrize("tongue", ["en", "es"])
def test_the_pages_of_practice(with_child: Page, tongue: str) -> None:
    page = with_child
    home = page.url.partition("/child")[0].rstrip("/")
    page.goto(f"{home}/language/{tongue}")
    child = f"{home}/child/M12"
    faults = []

    # words: a set of four, ticked, put in work
    page.goto(f"{child}/words?set=4")
    faults += looked_at(page)
    for box in page.locator("input[name=pick]").all():
        box.check()
    page.locator("button[value=practise]").click()
    page.wait_for_url("**said=words_added**")

    # phrases, frames and steps; two phrases go on a sheet
    for query in ("what=frames", "what=grammar&grammar=eat+cake", "what=phrases"):
        page.goto(f"{child}/phrases?{query}")
        assert page.locator("input[name=phrase]").count() > 2
        faults += looked_at(page)
    for box in page.locator("input[name=phrase]").all()[:2]:
        box.check()
    page.locator(".bar button").click()
    page.wait_for_url("**/sheets?**")

    # every kind of sheet, and the family page as paper
    for kind in ("session", "group", "cards", "match", "listen", "plan", "family"):
        page.goto(f"{child}/sheets?kind={kind}&typed=cup,+hat,+mud,+dog&minutes=30")
        faults += looked_at(page) if kind == "plan" else []
        page.locator(".said a").first.click()
        page.wait_for_url("**/sheet?**")
        page.set_viewport_size({"width": 768, "height": 1024})
        faults += wrong(page)
        too_wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        if page.evaluate(too_wide) > 0:
            faults.append(f"{page.url}: too wide")
        page.set_viewport_size({"width": 1100, "height": 900})
    assert page.pdf(prefer_css_page_size=True).startswith(b"%PDF")
    page.emulate_media(media="print")
    assert not page.locator(".back").is_visible() and page.locator(".one").count() == 4
    page.emulate_media(media="screen")

    # now against then, and the report
    page.goto(f"{child}/compare")
    assert page.locator(".report table").count() >= 3
    faults += looked_at(page)
    page.goto(f"{child}/report?part=words&part=compare&part=goals")
    faults += looked_at(page)

    # a note and a goal, by the keyboard's own submit
    page.goto(f"{child}/sessions")
    page.locator("form[action$=sessions] button").press("Enter")
    page.wait_for_url("**/session/*")
    for sign in ("r2", "r1"):
        page.locator(f"button.{sign}").click()
    page.locator(".count strong", has_text="2").wait_for()
    page.goto(f"{child}/notes")
    page.locator("main form[method=get] button").last.press("Enter")
    page.wait_for_url("**session=**")
    assert "2" in page.locator("#objective").input_value()
    page.locator("form.guarded button.main").press("Enter")
    page.wait_for_url("**said=note_kept")
    faults += looked_at(page)
    page.goto(f"{child}/goals")
    page.locator("#percent").fill("90")
    page.locator("#percent").press("Enter")
    page.wait_for_url("**percent=90**")
    page.locator("form[method=post] button.main").first.press("Enter")
    page.wait_for_url("**said=goal_kept")
    faults += looked_at(page)
    assert faults == []
