"""What the desk is asked for as a whole: closed and locked, its browsers, its window, what was deleted, terms, pasted tables."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from desk_browser import ARGUMENTS
from desk_client import Browser
from fast_cases import one_in
from playwright.sync_api import Page, sync_playwright
from running_desk import RunningDesk

from approx.web.server.guard import cookie_name


@pytest.fixture
def browser(tmp_path: Path) -> Browser:
    made = Browser(tmp_path / "c.sqlite")
    assert made.post("/example").status_code == 200
    return made


@pytest.mark.slow
def test_close_says_so_and_ends_the_program(tmp_path: Path) -> None:
    with RunningDesk(tmp_path / "c.sqlite") as running:
        answer, text = running.post("/close")
        assert answer.status == 200 and "closed" in text.casefold()
        assert running.process.wait(20) == 0


@pytest.mark.slow
def test_lock_now_asks_for_the_passphrase_again_and_is_offered_only_where_there_is_one(tmp_path: Path) -> None:
    browser = Browser(tmp_path / "c.sqlite")
    assert "/lock-now" not in browser.get("/").text
    secret = "four plain words here"
    assert browser.post("/lock", now="", new=secret, again=secret, kept="on").status_code == 200
    assert "/lock-now" in browser.get("/").text
    locked = browser.post("/lock-now")
    assert locked.url.path == "/unlock" and browser.get("/files").url.path == "/unlock"
    assert browser.post("/unlock", passphrase=secret).url.path == "/"


@pytest.mark.slow
def test_a_browser_is_kept_hashed_comes_in_after_a_restart_and_can_be_revoked(tmp_path: Path) -> None:
    file = tmp_path / "c.sqlite"
    with RunningDesk(file) as running:
        mark = running.cookie.partition("=")[2]
    kept = [
        path for path in tmp_path.iterdir() if hashlib.sha256(mark.encode()).hexdigest().encode() in path.read_bytes()
    ]
    assert len(kept) == 1 and mark.encode() not in kept[0].read_bytes()
    with closing(sqlite3.connect(kept[0])) as raw:
        assert raw.execute("SELECT count(*) FROM browsers").fetchone() == (1,)
    with RunningDesk(file) as again:
        again.cookie = (
            f"{cookie_name(again.parts.port or 0)}={mark}"  # a port of its own each start: by default it is fixed
        )
        answer, page = again.ask("GET", "/browsers")
        assert answer.status == 200 and page.count('name="browser"') == 2
        assert again.post("/browsers", all="1")[0].status in (200, 303, 401, 403)
        assert again.ask("GET", "/")[0].status in (401, 403)


@pytest.mark.slow
def test_the_window_of_its_own(browser: Browser) -> None:
    made = browser.get("/manifest.webmanifest")
    told = made.json()
    assert made.headers["content-type"].startswith("application/manifest+json")
    assert (told["start_url"], told["display"]) == ("/", "standalone")
    assert told["icons"] and all(browser.get(icon["src"]).status_code == 200 for icon in told["icons"])
    assert 'rel="manifest"' in browser.get("/").text


@pytest.mark.parametrize(
    ("path", "fields", "there"),
    one_in(2, [
        ("/child/EXAMPLE/goals/1/delete", {}, "goal"), ("/session/6/delete", {}, "session"),
        ("/child/EXAMPLE/delete", {}, "child"), ("/sample/1/delete", {}, "sample"),
    ]),
)  # fmt: skip
def test_what_is_deleted_waits_on_the_page_and_comes_back(
    browser: Browser, path: str, fields: dict[str, str], there: str
) -> None:
    browser.post("/child/EXAMPLE/goals", text="EXAMPLE says cake.")
    assert "Nothing was deleted" in browser.get("/deleted").text
    assert browser.post(path, **fields).status_code == 200
    page = browser.get("/deleted").text
    assert page.count('name="token"') == 1 and there in page.casefold()
    token = page.split('name="token" value="')[1].split('"')[0]
    assert browser.post("/undo", token=token, back="/deleted").status_code == 200
    assert "Nothing was deleted" in browser.get("/deleted").text


def test_an_earlier_inventory_is_put_back(browser: Browser) -> None:
    first = browser.desk.caseload.profile("EXAMPLE")
    saved = browser.desk.caseload.save_profile(
        "EXAMPLE", first.text.replace('"p b t d m n w h"', '"p b"'), 1, "by hand"
    )  # type: ignore[union-attr]
    assert getattr(saved, "version", 0) == 2
    page = browser.get("/child/EXAMPLE/history").text
    assert page.count('name="number"') == 1
    assert browser.post("/child/EXAMPLE/history/restore", number="1", version="2").status_code == 200
    now = browser.desk.caseload.profile("EXAMPLE")
    assert now.version == 3 and now.text == first.text  # type: ignore[union-attr]


def test_a_list_that_is_there_already_is_noticed_and_columns_mean_what_is_chosen(browser: Browser) -> None:
    rows = "cup\ttʌp\t1\nfish\tpɪs\t2\nmud\tmʌd\t3\negg\tɛd\t4"
    looked = browser.post("/child/EXAMPLE/samples/look", pasted=rows)
    assert "are already in a sample" not in looked.text
    chosen = {"looked": "1", "pasted": rows, "column": ["target_word", "produced_ipa", "note"], "date": "2026-10-01"}
    kept = browser.post("/child/EXAMPLE/samples", **chosen)
    assert kept.url.path == "/sample/2" and "4 tokens, 4 scored" in kept.text
    assert "are already in a sample" in browser.post("/child/EXAMPLE/samples/look", pasted=rows).text
    turned = browser.post(
        "/child/EXAMPLE/samples", **(chosen | {"column": ["target_word", "note", "produced_ipa"], "date": "2026-10-02"})
    )
    assert turned.status_code in (200, 422) and "4 tokens, 4 scored" not in turned.text


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Page, str]]:
    """A browser with touch and keyboard over the invented child."""
    with RunningDesk(tmp_path_factory.mktemp("terms") / "c.sqlite") as running, sync_playwright() as playwright:
        running.post("/example")
        chromium = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=ARGUMENTS)
        home = running.url.partition("/?")[0]
        context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        name, _, mark = running.cookie.partition("=")
        context.add_cookies([{"name": name, "value": mark, "url": home}])
        yield context.new_page(), home
        chromium.close()


@pytest.mark.slow
def test_a_term_explains_itself_by_touch_and_by_keyboard(page: tuple[Page, str]) -> None:
    shown, home = page
    shown.goto(f"{home}/sample/1")
    term = shown.locator("button.term").first
    meaning = shown.locator(f"#{term.get_attribute('popovertarget')}")
    term.tap()
    assert meaning.is_visible()
    shown.keyboard.press("Escape")
    assert not meaning.is_visible()
    term.focus()
    shown.keyboard.press("Enter")
    assert meaning.is_visible() and len(meaning.inner_text()) > 40


@pytest.mark.slow
def test_enter_goes_to_the_next_row_and_sends_nothing(page: tuple[Page, str]) -> None:
    shown, home = page
    shown.goto(f"{home}/child/EXAMPLE/samples")
    shown.locator("details:has(table.rows) > summary").first.tap()
    shown.locator("table.rows input[name=word]").first.fill("cup")
    shown.locator("table.rows input[name=said]").first.fill("tʌp")
    shown.keyboard.press("Enter")
    shown.keyboard.type("fish")
    assert shown.locator("table.rows input[name=word]").nth(1).input_value() == "fish"
    assert shown.url.endswith("/samples")


@pytest.mark.slow
def test_a_file_that_is_too_large_is_said_beside_its_field_and_not_sent(page: tuple[Page, str]) -> None:
    shown, home = page
    shown.goto(f"{home}/child/EXAMPLE/samples")
    shown.get_by_label("Rows from a spreadsheet").fill("cup\tkʌp")
    large = {"name": "list.csv", "mimeType": "text/csv", "buffer": b"x" * 5_000_001}
    shown.locator("#file").set_input_files(large)  # type: ignore[arg-type]
    assert "more than 5 MB" in shown.locator(".fault").inner_text()
    assert shown.locator("#file").evaluate("field => field.files.length") == 0
    assert shown.get_by_label("Rows from a spreadsheet").input_value() == "cup\tkʌp"
    assert shown.url.endswith("/samples")
