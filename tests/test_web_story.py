"""The story of one child in a real browser, from the first page to sixty tries; every page looked at by axe on the way."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import ROOT, CommandLine
from playwright.sync_api import Browser, Page, sync_playwright
from test_web_progress import TABLE

pytestmark = pytest.mark.slow

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
START = """
import sys
from pathlib import Path
from approx.cli.desk_command import run
sys.exit(run(Path(sys.argv[1]), 0, False, "en"))
"""
TABLET = {"width": 768, "height": 1024}


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """The command itself, started as a person starts it, and ended by Ctrl-C."""
    file = tmp_path_factory.mktemp("story") / "c.sqlite"
    running = subprocess.Popen(
        [sys.executable, "-c", START, str(file)], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert running.stdout and running.stderr
    yield running.stdout.readline().strip(), file
    running.send_signal(signal.SIGINT)
    rest, said = running.stdout.read(), running.stderr.read()
    assert running.wait(10) == 0 and rest == "" and said == "The desk is closed.\n"


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser, desk: tuple[str, Path]) -> Iterator[Page]:
    """A page that has come in. Whatever the browser complains of, or asks of elsewhere, fails the test."""
    context = chromium.new_context(viewport={"width": 1100, "height": 900})
    made = context.new_page()
    complaints: list[str] = []
    elsewhere: list[str] = []
    made.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    made.on("pageerror", lambda error: complaints.append(str(error)))
    made.on(
        "request",
        lambda request: elsewhere.append(request.url) if not request.url.startswith(desk[0].split("?")[0]) else None,
    )
    made.goto(desk[0])
    yield made
    context.close()
    assert complaints == [] and elsewhere == []


def wrong(page: Page) -> list[str]:
    """What axe calls serious or critical on this page, in light and in dark."""
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        for violation in Axe().run(page).response["violations"]:
            if violation["impact"] in ("serious", "critical"):
                nodes = [node["html"][:160] for node in violation["nodes"][:3]]
                found.append(f"{scheme} {page.url}: {violation['id']} {nodes}")
    page.emulate_media(color_scheme="light")
    return found


def small_targets(page: Page) -> list[str]:
    """Visible things to tap that are smaller than 44 px on a side (WCAG 2.5.5), links inside sentences apart."""
    script = """() => [...document.querySelectorAll('button, a.button, input:not([type=hidden]), select, textarea, summary')]
      .filter(e => e.getClientRects().length && !['checkbox', 'radio'].includes(e.type))
      .map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.height < 43.5 || r.width < 43.5)
      .map(([e, r]) => `${e.outerHTML.slice(0, 90)} ${r.width}x${r.height}`)"""
    labels = """() => [...document.querySelectorAll('label.box, label.row, .big-choices .face')]
      .filter(e => e.getClientRects().length && e.getBoundingClientRect().height < 43.5).map(e => e.outerHTML.slice(0, 90))"""
    return [*page.evaluate(script), *page.evaluate(labels)]


def wider_than_the_screen(page: Page) -> int:
    """By how many pixels the page must be moved sideways."""
    width: int = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    return width


def looked_at(page: Page) -> list[str]:
    """All faults of a page: axe, small targets, sideways scrolling at 768 px and at 200 % zoom of a laptop's 1280 px."""
    faults = wrong(page)
    for width in (768, 640):
        page.set_viewport_size({"width": width, "height": 900})
        faults += [f"{page.url} at {width}: {target}" for target in small_targets(page)]
        if wider_than_the_screen(page) > 0:
            faults.append(f"{page.url} at {width}: {wider_than_the_screen(page)} px too wide")
    page.set_viewport_size({"width": 1100, "height": 900})
    return faults


def heard(page: Page, name: str) -> str:
    """The accessible name of a sound's button now."""
    found = page.get_by_role("button", name=name).first.get_attribute("aria-label")
    assert found
    return found


def test_the_story(page: Page, cli: CommandLine) -> None:
    faults = looked_at(page)

    # a new child, by keyboard alone
    page.get_by_label("Code", exact=True).focus()
    page.keyboard.type("M12")
    page.keyboard.press("Tab")
    page.keyboard.type("4;5")
    page.keyboard.press("Enter")
    page.wait_for_url("**/child/M12?said=child_added")
    faults += looked_at(page)

    # paste M12's list; the analysis has the digits of `approx score`
    page.get_by_role("link", name="Samples").click()
    faults += looked_at(page)
    rows = (ROOT / "samples" / "m12.csv").read_text(encoding="utf-8").replace(",", "\t")
    page.get_by_label("Rows from a spreadsheet").fill(rows)
    page.get_by_role("button", name="Save the sample").click()
    page.wait_for_url("**/sample/*")
    faults += looked_at(page)
    shown = page.inner_text(".analysis")
    measures: dict[str, dict[str, Any]] = cli("score", "samples/m12.csv", "--json").json["groups"][0]["measures"]
    percents = [measures[name] for name in ("pcc", "pcc_r", "pvc", "ppc", "pwc")]
    for each in percents:
        text = f"({each['hits']} of {each['out_of']})"
        line = next(line for line in shown.splitlines() if text in line and f"{each['value']:.1f}" in line)
        assert f"{each['low']:.1f} to {each['high']:.1f}" in line

    # accept the profile, and correct it by tapping
    page.get_by_role("button", name="Take the sounds from this sample").click()
    page.wait_for_url("**/child/M12/sounds?**")
    faults += looked_at(page)
    assert heard(page, "k, first in the word") == "k, first in the word: not yet"
    for sound, at in (("n", "first"), ("b", "first")):
        button = page.get_by_role("button", name=f"{sound}, {at} in the word")
        while "in hand" not in (button.get_attribute("aria-label") or ""):
            button.click()
    page.get_by_role("button", name="Save the sounds").click()
    page.wait_for_url("**/child/M12?said=sounds_saved")

    # a phrase, answered while it is typed; a form chosen
    page.get_by_role("link", name="Words and phrases").click()
    page.get_by_label("Word or phrase", exact=True).press_sequentially("more cake")
    page.get_by_role("heading", name="cake").wait_for()
    faults += looked_at(page)
    card = page.locator(".word", has=page.get_by_role("heading", name="cake"))
    assert "keɪk" in card.inner_text() and "teɪt" in card.inner_text()
    card.get_by_role("button", name="Choose this form").click()
    page.wait_for_url("**said=form_chosen**")
    page.locator(".word", has=page.get_by_role("heading", name="more")).get_by_role("button", name="Choose").click()
    page.wait_for_url("**said=form_chosen**")

    # a session from paper, and a look at the pages left
    page.get_by_role("link", name="M12").click()
    page.get_by_role("link", name="Sessions").click()
    page.get_by_role("button", name="Start a session").click()
    page.get_by_role("link", name="Key in a paper grid").click()
    faults += looked_at(page)
    page.get_by_label("Help given, cake").fill("4433000000")
    page.get_by_label("How it came out, cake").fill("0112222222")
    page.get_by_role("button", name="Save all tries").click()
    page.get_by_text("10 tries").wait_for()

    # the nineteen probe sessions of the scenario: charts with their figures, and the report as a word file
    page.get_by_role("link", name="M12").click()
    page.get_by_role("link", name="Progress").click()
    faults += looked_at(page)
    page.get_by_label("Rows from a spreadsheet").fill(TABLE)
    page.get_by_label("Session in which practice of a set began").fill("set2 = 13")
    page.get_by_role("button", name="Save the table").click()
    page.wait_for_url("**said=saved")
    faults += looked_at(page)
    assert page.locator("svg").count() == 2 and "0.969" in page.inner_text(".report")
    with page.expect_download() as given:
        page.get_by_role("link", name="As DOCX").click()
    assert given.value.path().read_bytes().startswith(b"PK")
    assert faults == []


def test_sixty_tries_on_a_tablet(chromium: Browser, desk: tuple[str, Path]) -> None:
    """Touch, 768 px: sixty taps in a row, each on the disk when it is said to be saved, whatever happens to the program."""
    context = chromium.new_context(viewport=TABLET, has_touch=True)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(desk[0])
    page.get_by_label("Code", exact=True).fill("T60")
    page.get_by_role("button", name="Add this child").tap()
    page.get_by_role("link", name="Sessions").tap()
    for word in ("spoon", "mud"):
        page.get_by_label("Word", exact=True).fill(word)
        page.get_by_role("button", name="Add a word").tap()
        page.get_by_role("heading", name=word).wait_for()
    faults = looked_at(page)
    page.set_viewport_size(TABLET)  # type: ignore[arg-type]
    page.get_by_role("button", name="Start a session").tap()
    page.wait_for_url("**/session/*")
    faults += looked_at(page)
    page.set_viewport_size(TABLET)  # type: ignore[arg-type]
    page.locator("label", has_text="together").last.tap()
    for number in range(60):
        if number == 30:
            page.locator("label", has_text="mud").tap()
            page.locator("label", has_text="no help").tap()
        page.locator(f"button.r{(2, 2, 1, 0)[number % 4]}").tap()
    page.get_by_text("60 tries").wait_for()
    counts = {row.split("\t")[0]: row.split("\t")[1:] for row in page.inner_text(".totals tbody").splitlines()}
    # of thirty, by hand: 2 2 1 0 seven times and 2 2, then (number 30 is the third of four) 1 0 and 2 2 1 0 seven times
    assert counts["together"] == ["16", "7", "7", "30"] and counts["no help"] == ["14", "8", "8", "30"]
    page.get_by_role("button", name="Take the last try back").tap()
    page.get_by_text("59 tries").wait_for()
    low = page.locator(".result-row").bounding_box()
    assert low and low["y"] + low["height"] > 768  # in reach of the thumb that holds the tablet
    import sqlite3

    with sqlite3.connect(f"file:{desk[1]}?mode=ro", uri=True) as there:
        mine = "session_id IN (SELECT s.id FROM sessions s JOIN children c ON c.id = s.child_id WHERE c.code = 'T60')"
        assert there.execute(f"SELECT count(*) FROM trials WHERE trashed = '' AND {mine}").fetchone() == (59,)
    context.close()
    assert faults == []


def test_a_tap_whose_answer_was_lost_counts_once(chromium: Browser, desk: tuple[str, Path]) -> None:
    context = chromium.new_context(viewport=TABLET)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(desk[0])
    page.get_by_label("Code", exact=True).fill("L01")
    page.get_by_role("button", name="Add this child").click()
    page.get_by_role("link", name="Sessions").click()
    page.get_by_label("Word", exact=True).fill("mud")
    page.get_by_role("button", name="Add a word").click()
    page.get_by_role("button", name="Start a session").click()
    page.wait_for_url("**/session/*")

    def lost(route: Any) -> None:
        route.fetch()
        route.abort()

    page.route("**/trial", lost)
    page.locator("button.r2").click()
    page.get_by_text("Not saved. Tap the same button again.").wait_for()
    page.unroute("**/trial")
    page.locator("button.r2").click()
    page.get_by_text("1 tries").wait_for()
    page.locator("button.r2").click()
    page.get_by_text("2 tries").wait_for()
    context.close()


def test_without_script_the_pages_do_the_same(chromium: Browser, desk: tuple[str, Path]) -> None:
    context = chromium.new_context(java_script_enabled=False, viewport=TABLET)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(desk[0])
    page.get_by_label("Code", exact=True).fill("N01")
    page.get_by_role("button", name="Add this child").click()
    page.get_by_role("link", name="Sounds in hand").click()
    page.get_by_role("link", name="Begin with common early sounds").click()
    page.get_by_label("k, first in the word").select_option("established")
    page.get_by_role("button", name="Save the sounds").click()
    page.get_by_role("link", name="Words and phrases").click()
    page.get_by_label("Word or phrase", exact=True).fill("cow")
    page.get_by_role("button", name="Show").click()
    page.locator(".word").get_by_role("button", name="Choose this form").click()
    page.goto(f"{page.url.split('/child')[0]}/child/N01/sessions")
    page.get_by_role("button", name="Start a session").click()
    page.locator("button.r2").click()
    assert "1 tries" in page.inner_text("#totals")
    context.close()


def test_the_first_page_comes_at_once(desk: tuple[str, Path], chromium: Browser) -> None:
    """The page itself, once the desk runs: asked five times, the quickest under 300 ms."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(desk[0])
    times = []
    for _ in range(5):
        begun = time.perf_counter()
        page.goto(desk[0].split("?")[0])
        times.append(time.perf_counter() - begun)
    context.close()
    assert min(times) < 0.3, json.dumps(times)
