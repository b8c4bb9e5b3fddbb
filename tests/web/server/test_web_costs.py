"""What the daily work costs in taps and loads, counted in a real browser; and that no page scrolls sideways at 390 px."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_browser import ARGUMENTS
from page_faults import wider_than_the_screen
from playwright.sync_api import Browser, Page, sync_playwright
from running_desk import RunningDesk

pytestmark = pytest.mark.slow
PHONE = {"width": 390, "height": 844}
WORDS = (
    ("pea", "pi", "pi"), ("boot", "but", "but"), ("mud", "mʌd", "mʌd"), ("cup", "kʌp", "tʌp"), ("egg", "ɛɡ", "ɛd"),
    ("bug", "bʌɡ", "bʌd"), ("cake", "keɪk", "teɪt"), ("fig", "fɪɡ", "pɪd"), ("soap", "soʊp", "toʊp"), ("seed", "sid", "tid"),
) * 3  # fmt: skip
LAYOUTS = {
    "tabs": "\n".join(f"{word}\t{said}" for word, _, said in WORDS),
    "tabs, heading": "word\tsaid\n" + "\n".join(f"{word}\t{said}" for word, _, said in WORDS),
    "commas, adult form": "\n".join(",".join(row) for row in WORDS),
    "semicolons": "\n".join(f"{word};{said}" for word, _, said in WORDS),
    "bars": "\n".join(f"| {word} | {said} |" for word, _, said in WORDS),
    "numbers before": "\n".join(f"{at}. {word} {said}" for at, (word, _, said) in enumerate(WORDS, 1)),
    "colon": "\n".join(f"{word}: {said}" for word, _, said in WORDS),
    "arrow": "\n".join(f"{word} → {said}" for word, _, said in WORDS),
    "slashes and brackets": "\n".join(f"{word} /{adult}/ [{said}]" for word, adult, said in WORDS),
    "dash": "\n".join(f"{word} - {said}" for word, _, said in WORDS),
    "date and number": "\n".join(f"2026-03-02\t{at}\t{word}\t{said}" for at, (word, _, said) in enumerate(WORDS, 1)),
    "headings of others": "Item,Target (IPA),Child\n" + "\n".join(",".join(row) for row in WORDS),
}
"""Thirty rows each, in twelve layouts that people paste."""


COUNTER = "addEventListener('pointerup', (event) => { if (event.isTrusted) window.tapped(); }, true);"
"""Every touch is counted by the page itself, on every page it leads to."""
TAPS: list[str] = []
"""The pages touched since the list was emptied, a touch each."""


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Page, str]]:
    """A page on a phone over the invented child and one more; the start link itself is one click."""
    file = tmp_path_factory.mktemp("costs") / "c.sqlite"
    with RunningDesk(file) as running, sync_playwright() as playwright:
        running.post("/example")
        running.post("/children", code="K07", age="3;2")
        running.post("/child/K07/targets", words="mud")
        browser: Browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=ARGUMENTS)
        home = running.url.partition("/?")[0]
        context = browser.new_context(viewport=PHONE, has_touch=True)  # type: ignore[arg-type]
        name, _, mark = running.cookie.partition("=")
        context.add_cookies([{"name": name, "value": mark, "url": home}])
        context.expose_binding("tapped", lambda source: TAPS.append(source["page"].url))
        context.add_init_script(COUNTER)
        yield context.new_page(), home
        browser.close()


def test_a_child_is_one_tap_away_and_another_two(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(home)
    TAPS.clear()
    page.locator("section[aria-labelledby=seen] a", has_text="EXAMPLE").tap()
    page.wait_for_url("**/child/EXAMPLE")
    assert len(TAPS) == 1
    page.goto(f"{home}/child/EXAMPLE/progress")
    TAPS.clear()
    page.locator(".menu summary", has_text="EXAMPLE").tap()
    page.locator(".menu a", has_text="K07").tap()
    page.wait_for_url("**/child/K07/progress")  # the same page of the other child
    assert len(TAPS) == 2


def test_a_trial_is_one_tap_and_its_word_outlives_a_reload(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(f"{home}/session/6")
    assert page.locator(".count").inner_text().startswith("30 trials")
    TAPS.clear()
    page.locator("button.r2").tap()
    page.locator(".count", has_text="31 trials").wait_for()
    assert len(TAPS) == 1
    page.locator(".words label", has_text="soap").tap()
    page.reload()
    assert page.locator(".words label", has_text="soap").locator("input").is_checked()


def test_a_double_tap_asks_and_keys_count(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(f"{home}/session/5")
    before = int(page.locator(".count strong").inner_text().split()[0])
    page.evaluate("document.querySelector('button.r0').click(); document.querySelector('button.r0').click()")
    page.locator(".twice").wait_for()
    page.locator(".count", has_text=f"{before + 1} trials").wait_for()
    page.locator(".twice button[data-answer=no]").tap()
    assert not page.locator(".twice").is_visible()
    page.wait_for_timeout(350)
    page.keyboard.press("1")
    page.locator(".count", has_text=f"{before + 2} trials").wait_for()
    first = page.locator(".words input:checked").get_attribute("value")
    page.keyboard.press("4")
    assert page.locator(".words input:checked").get_attribute("value") != first
    page.keyboard.press("u")
    page.locator(".count", has_text=f"{before + 1} trials").wait_for()


def test_three_forms_are_chosen_without_a_tap_before_typing_and_without_a_reload(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(f"{home}/child/EXAMPLE/phrase")
    page.evaluate("window.same = true")
    TAPS.clear()
    page.keyboard.type("big bug cup")  # no tap: the field has the focus
    assert page.get_by_label("Word or phrase", exact=True).input_value() == "big bug cup" and TAPS == []
    for word in ("big", "bug", "cup"):
        page.locator(".word-line", has=page.get_by_role("heading", name=word)).get_by_role(
            "button", name="Choose"
        ).tap()
        page.locator(".said", has_text=word).wait_for()
    assert page.evaluate("window.same") and len(TAPS) == 3


@pytest.mark.parametrize("layout", LAYOUTS)
def test_thirty_words_of_any_layout_take_three_clicks(phone: tuple[Page, str], layout: str) -> None:
    page, home = phone
    page.goto(f"{home}/child/EXAMPLE/samples")
    TAPS.clear()
    page.get_by_label("Rows from a spreadsheet").tap()
    page.keyboard.insert_text(LAYOUTS[layout])
    page.get_by_role("button", name="Look at the columns").tap()
    page.wait_for_url("**/samples/look")
    assert wider_than_the_screen(page) <= 0
    page.get_by_role("button", name="Save the sample").tap()
    page.wait_for_url("**/sample/*")
    assert "30 tokens, 30 scored" in page.inner_text("main")
    assert len(TAPS) == 3


def test_a_probe_takes_four_taps_from_the_first_page(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(home)
    TAPS.clear()
    page.locator("section[aria-labelledby=seen] a", has_text="EXAMPLE").tap()
    page.get_by_role("link", name="Enter a probe", exact=True).tap()
    page.get_by_label("Correct 1").tap()
    page.keyboard.type("7")
    page.get_by_role("button", name="Save the probes").tap()
    page.wait_for_url("**said=saved")
    assert "7/10" in page.locator(".answer-line").first.inner_text() and len(TAPS) == 4


def test_two_children_take_turns(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(home)
    for code in ("EXAMPLE", "K07"):
        page.get_by_label(f"Group session {code}").check()
    page.get_by_role("button", name="Start the group").tap()
    page.wait_for_url("**/group?**")
    page.locator("button.r2").tap()
    page.locator(".count", has_text="1 trial").wait_for()
    page.get_by_role("link", name="Next child").tap()
    page.get_by_role("heading", name="K07").wait_for()
    page.locator(".words label", has_text="mud").wait_for()
    assert page.locator(".count").inner_text().startswith("0 trials")


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_page_scrolls_sideways_on_a_phone(phone: tuple[Page, str], language: str) -> None:
    page, home = phone
    page.goto(f"{home}/language/{language}?back=/")
    child = "/child/EXAMPLE"
    paths = ["/", "/glossary", "/deleted", "/files", "/lock", "/browsers", "/parts", child, "/sample/1", "/sample/1/rows",
             "/sample/1/sounds", "/session/6", "/session/6/grid", f"{child}/delete"]  # fmt: skip
    paths += [f"{child}/{name}" for name in ("sounds", "samples", "compare", "phrase?phrase=big+cake", "words", "phrases",
              "sessions", "progress", "goals", "sheets", "notes", "report?part=words", "history")]  # fmt: skip
    wide = []
    for path in paths:
        page.goto(home + path)
        assert page.locator("html").get_attribute("lang") == language
        if wider_than_the_screen(page) > 0:
            wide.append((path, wider_than_the_screen(page)))
    page.goto(f"{home}/language/en?back=/")
    assert wide == []


def test_the_answer_stands_in_the_first_screen(phone: tuple[Page, str]) -> None:
    """Analysis, words and progress: what is asked for begins above the edge of a phone."""
    page, home = phone
    for path, answer in (
        ("/sample/1", ".positions tbody tr"), ("/child/EXAMPLE/words", ".stack tbody tr"), ("/child/EXAMPLE/progress", ".answer-line")
    ):  # fmt: skip
        page.goto(home + path)
        box = page.locator(answer).first.bounding_box()
        assert box and box["y"] < PHONE["height"] - 60, path


def test_the_start_link_is_the_one_click(tmp_path: Path) -> None:
    """The launcher opens the link; the first page is there without another click."""
    with RunningDesk(tmp_path / "c.sqlite") as running:
        answer, text = running.ask("GET", "/")
        assert answer.status == 200 and "Open an example child" in text


def test_a_chart_is_as_wide_as_a_phone_and_goals_begin_with_what_matters(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(f"{home}/child/EXAMPLE/progress")
    page.locator(".drawing svg").first.wait_for()
    drawn = page.locator(".drawing svg").first.bounding_box()
    letters = page.locator(".drawing svg text").evaluate_all(
        "all => all.map(t => [t.getBoundingClientRect().right, t.getBoundingClientRect().height])"
    )
    assert drawn and drawn["x"] + drawn["width"] <= PHONE["width"]
    assert max(right for right, _ in letters) <= PHONE["width"] and min(height for _, height in letters) > 11
    page.goto(f"{home}/child/EXAMPLE/goals")
    box = page.get_by_role("button", name="Make the sentence").bounding_box()
    assert box and box["y"] + box["height"] < PHONE["height"]


def test_what_is_done_with_ticked_words_stays_in_reach_once_one_is_ticked(phone: tuple[Page, str]) -> None:
    page, home = phone
    page.goto(f"{home}/child/EXAMPLE/words")
    button = page.get_by_role("button", name="Add to therapy")
    first = button.bounding_box()
    assert first and first["y"] > PHONE["height"]  # at the end of the list, over nothing
    page.get_by_label("baby", exact=True).tap()
    then = button.bounding_box()
    assert then and then["y"] < PHONE["height"]
