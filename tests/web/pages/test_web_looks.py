"""What was found by looking at the desk: fonts of its own, room in low windows, paper, one answer to two presses."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from desk_browser import known
from desk_steps import add_words, new_child, open_folds
from page_faults import looked_at
from playwright.sync_api import Browser, Page
from starlette.requests import Request
from test_web_progress import TABLE

from approx.web.server.desk import LANGUAGE_COOKIE, Desk
from approx.web.server.guard import POLICY

pytest_plugins = ["desk_browser"]
pytestmark = pytest.mark.slow
LOADED = "document.fonts.ready.then(() => [...document.fonts].filter(f => f.status == 'loaded').map(f => f.family))"


@pytest.fixture
def child(page: Page) -> Page:
    """V01 (invented) with common early sounds and one word in work; the page of the child is open."""
    home = page.url.rstrip("/")
    if page.get_by_role("link", name="V01").count() == 0:
        new_child(page, "V01")
        page.get_by_role("link", name="Tap the sounds").click()
        page.get_by_role("link", name="Start from common early sounds").click()
        page.get_by_role("button", name="Save the sounds").click()
        page.wait_for_url("**said=sounds_saved")
        page.goto(f"{home}/child/V01/sessions")
        add_words(page, "mud")
    page.goto(f"{home}/child/V01")
    return page


def test_a_sheet_and_a_page_have_fonts_of_their_own_and_a_button_that_prints(child: Page) -> None:
    """The same files as in the PDF; the policy lets them in (the fixture fails on any complaint of the browser)."""
    address = child.url
    child.goto(f"{address}/phrase?phrase=mud")
    assert child.evaluate(LOADED) == ["Approx Phonetic"]
    child.goto(f"{address}/sheet?kind=session&word=mud")
    assert set(child.evaluate(LOADED)) == {"Approx Text", "Approx Phonetic"}
    child.evaluate("window.print = () => { document.title = 'printed'; }")
    child.get_by_role("button", name="Print").click()
    assert child.title() == "printed"
    child.emulate_media(media="print")
    assert not child.get_by_role("button", name="Print").is_visible()


def test_a_low_window_keeps_its_words_in_sight(child: Page) -> None:
    """At 200 % zoom of a small laptop a bar that stays would cover what it belongs to."""
    child.get_by_role("link", name="Sessions", exact=True).click()
    child.get_by_role("button", name="Start a session").click()
    child.wait_for_url("**/session/*")
    for height, kept in ((900, "sticky"), (450, "static")):
        child.set_viewport_size({"width": 640, "height": height})
        assert child.locator(".bar").evaluate("bar => getComputedStyle(bar).position") == kept


def test_two_presses_keep_one_goal_and_the_way_back_lets_send_again(child: Page) -> None:
    child.get_by_role("link", name="Goals").click()
    child.get_by_label("Goal sentence").first.fill("V01 says mud.")
    child.get_by_role("button", name="Save this goal").dblclick()
    child.wait_for_url("**said=goal_kept")
    assert child.locator("section.report").count() == 1
    child.go_back()
    child.get_by_label("Goal sentence").first.fill("V01 says more.")
    child.get_by_role("button", name="Save this goal").click()
    child.wait_for_url("**said=goal_kept")
    assert child.locator("section.report").count() == 2


def test_tables_are_whole_on_paper(child: Page) -> None:
    """Nothing of a table stands beyond the edge of a Letter page (816 px) less its margins of 14 mm (53 px each)."""
    child.get_by_role("link", name="Progress").first.click()
    child.locator("summary", has_text="Paste a table of probes").click()
    child.get_by_label("Rows from a spreadsheet").fill(TABLE)
    child.get_by_role("button", name="Save the table").click()
    child.wait_for_url("**said=saved")
    child.locator(".drawing svg").first.wait_for()
    open_folds(child)
    child.emulate_media(media="print")
    child.set_viewport_size({"width": 816 - 2 * 53, "height": 1000})
    beyond = (
        "tables => tables.filter(t => t.getBoundingClientRect().right > innerWidth).map(t => t.caption.textContent)"
    )
    assert child.locator(".report table").count() > 4 and child.locator(".report table").evaluate_all(beyond) == []


def test_charts_bring_nothing_that_the_policy_forbids(child: Page) -> None:
    """A style in a picture would be dropped by the browser with a complaint: `style-src 'self'` allows none."""
    drawn = child.request.get(f"{child.url}/progress/chart/0").text()
    assert "<svg" in drawn and "style-src 'self'" in POLICY
    assert re.findall(r"<style|\sstyle=|\son\w+=|role=\"graphics-", drawn) == []


@pytest.mark.parametrize("tongue", ["en", "es"])
def test_the_page_of_a_failure_is_looked_at_too(
    chromium: Browser, desk: tuple[str, Path], tmp_path: Path, tongue: str
) -> None:
    """What every mistake of the program itself leads to, put at an address of a running desk, whose style it has."""
    head = [(b"cookie", f"{LANGUAGE_COOKIE}={tongue}".encode())]
    asked = Request({"type": "http", "method": "GET", "path": "/", "query_string": b"", "headers": head})
    broken = Desk(tmp_path / "c.sqlite", "key")
    body = bytes(broken.page(asked, "failed", 500).body).decode()
    broken.close()
    context = chromium.new_context(viewport={"width": 1100, "height": 900})
    page = known(context, desk[0]).new_page()
    page.goto(desk[0])
    page.route("**/broken", lambda route: route.fulfill(status=500, body=body, content_type="text/html"))
    page.goto(f"{desk[0].partition('?')[0]}broken")
    said = {"en": "What was confirmed as saved is safe", "es": "Lo que se confirmó como guardado está a salvo"}
    assert said[tongue] in page.inner_text("main") and looked_at(page) == []
    context.close()
