"""The day of a clinician from an empty caseload to a report, on a phone, a tablet and a laptop, in both languages, light and
dark: by touch where there is touch, every page looked at on its way, nothing left English on a Spanish one.

With DESK_PICTURES=FOLDER each page is kept there as it was seen.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from desk_browser import known
from page_faults import small_targets, wider_than_the_screen
from places import ROOT
from playwright.sync_api import Browser, Locator, Page
from running_desk import RunningDesk
from test_web_spanish import english_in, without_typed_rows

from approx.web.server.desk import LANGUAGE_COOKIE, Texts

pytest_plugins = ["desk_browser"]
pytestmark = pytest.mark.slow
SEEN = (
    ("phone", 390, 844, "dark", "es"), ("phone", 390, 844, "light", "en"), ("tablet", 768, 1024, "light", "en"),
    ("laptop", 1280, 800, "light", "es"),
)  # fmt: skip
FURTHER = (
    ("phone", 390, 844, "light", "es"), ("phone", 390, 844, "dark", "en"), ("tablet", 768, 1024, "dark", "es"),
    ("laptop", 1280, 800, "dark", "en"),
)  # fmt: skip
"""Those too with DESK_ALL_SIZES=1: each takes a quarter of a minute."""
CHILD_WORDS = frozenset({"cake", "more", "the", "is", "that", "i", "not", "word"})
"""What was typed: words, and what a column of the list says of how each was got."""


class Story:
    """One browser of one size, theme and language; whatever is wrong on a page it comes to is kept."""

    def __init__(self, page: Page, language: str, name: str) -> None:
        self.page, self.name, self.faults, self.seen = page, name, list[str](), 0
        self.says = Texts(language)

    def act(self, thing: Locator) -> None:
        if self.page.viewport_size and self.page.viewport_size["width"] < 1000:
            thing.tap()
        else:
            thing.click()

    def press(self, key: str) -> None:
        """The button of this sentence."""
        self.act(self.page.get_by_role("button", name=self.says(key), exact=True).first)

    def follow(self, key: str) -> None:
        """The link of this sentence."""
        self.act(self.page.get_by_role("link", name=self.says(key), exact=True).first)

    def section(self, name: str) -> None:
        """A section of the child, from whatever page of it is open."""
        nav = self.page.locator("nav.strip:not(.fine) a, nav.rail > ol > li > a")
        self.act(
            nav.locator("visible=true").filter(has_text=re.compile(f"^{re.escape(self.says(f'section.{name}'))}$"))
        )

    def sub(self, name: str) -> None:
        """A page of the section."""
        nav = self.page.locator("nav.strip.fine a, nav.rail ol ol a").locator("visible=true")
        self.act(nav.filter(has_text=re.compile(f"^{re.escape(self.says(f'{name}.link'))}$")))

    def look(self, where: str) -> None:
        """The page as it stands: axe, targets, width, language."""
        page = self.page
        page.wait_for_load_state("networkidle")
        for violation in Axe().run(page).response["violations"]:
            if violation["impact"] in ("serious", "critical"):
                self.faults.append(
                    f"{where}: {violation['id']} {[node['html'][:120] for node in violation['nodes'][:2]]}"
                )
        self.faults += [f"{where}: small {target}" for target in small_targets(page)]
        if wider_than_the_screen(page) > 0:
            self.faults.append(f"{where}: {wider_than_the_screen(page)} px too wide")
        if self.says.language == "es":
            english = english_in(without_typed_rows(page.content()), CHILD_WORDS)
            self.faults += [f"{where}: English {text}" for text in english if text.casefold() not in CHILD_WORDS]
        self.seen += 1
        if folder := os.environ.get("DESK_PICTURES"):
            page.screenshot(path=f"{folder}/{self.name}-{self.seen:02}-{where}.png", full_page=True)


@pytest.mark.parametrize(
    ("what", "width", "height", "theme", "language"), SEEN + FURTHER * bool(os.environ.get("DESK_ALL_SIZES"))
)
def test_from_an_empty_caseload_to_a_report(
    chromium: Browser, tmp_path: Path, what: str, width: int, height: int, theme: str, language: str
) -> None:
    with RunningDesk(tmp_path / "c.sqlite") as running:
        context = chromium.new_context(
            viewport={"width": width, "height": height}, has_touch=what != "laptop", is_mobile=what == "phone",
            color_scheme=theme,  # type: ignore[arg-type]
        )  # fmt: skip
        page = known(context, running.url).new_page()
        page.set_default_timeout(15_000)
        broken: list[str] = []
        page.on("pageerror", lambda error: broken.append(str(error)))
        home = running.url.partition("/?")[0]
        context.add_cookies([{"name": LANGUAGE_COOKIE, "value": language, "url": home}])
        story = Story(page, language, f"{what}-{theme}-{language}")
        page.goto(home)
        for chapter in CHAPTERS:
            chapter(story)
        context.close()
    assert "\n".join(story.faults) == "" and broken == [] and story.seen > 20


def first_run(story: Story) -> None:
    """An empty caseload offers the example; one's own child comes with four steps."""
    page, says = story.page, story.says
    assert page.get_by_role("button", name=says("today.open_example")).is_visible()
    story.look("empty")
    page.get_by_label(says("caseload.code"), exact=True).fill("M12")
    page.get_by_label(says("child.age"), exact=True).fill("4;5")
    story.press("caseload.add")
    page.wait_for_url("**/child/M12?**")
    assert page.locator("ol.steps li").count() == 4 and page.locator("ol.steps li.next").count() == 1
    story.look("new-child")


def sample(story: Story) -> None:
    """A list pasted with its columns found; sounds by position in the first screen; what was heard taken over."""
    page = story.page
    story.follow("now.to_sample")
    page.wait_for_url("**/samples")
    story.look("samples")
    rows = (ROOT / "samples" / "m12.csv").read_text(encoding="utf-8").replace(",", "\t")
    page.get_by_label(story.says("samples.pasted")).fill(rows)
    story.press("samples.look")
    page.wait_for_url("**/samples/look")
    story.look("columns")
    story.press("samples.save")
    page.wait_for_url("**/sample/*")
    box = page.locator(".positions tbody tr").first.bounding_box()
    size = page.viewport_size
    assert box and size and box["y"] < size["height"] - 60
    story.look("analysis")
    story.follow("sample.take")
    page.wait_for_url("**/sounds")
    story.look("old-beside-new")
    story.press("take.save")
    page.wait_for_url("**/child/M12/sounds?**")
    story.look("inventory")


def words(story: Story) -> None:
    """A phrase typed at once into the field that has the focus, a form chosen; a word found and put into therapy."""
    page = story.page
    story.section("words")
    page.wait_for_url("**/phrase")
    page.keyboard.type("more cake")
    page.get_by_role("heading", name="cake").wait_for()
    story.look("phrase")
    line = page.locator(".word-line", has=page.get_by_role("heading", name="cake"))
    story.act(line.get_by_role("button", name=story.says("phrase.choose")))
    page.locator(".said", has_text="cake").wait_for()
    story.sub("words")
    page.wait_for_url("**/words")
    story.look("words")
    story.act(page.locator("table.list label.row").first)
    story.press("words.practise")
    page.wait_for_url("**said=**")
    story.look("words-in-therapy")


def session(story: Story) -> None:
    """Three trials by one tap each, the last taken back, and the note of what was counted."""
    page = story.page
    story.section("sessions")
    page.wait_for_url("**/sessions")
    story.look("sessions")
    story.press("sessions.start")
    page.wait_for_url("**/session/*")
    for number, score in enumerate((2, 1, 0), 1):
        story.act(page.locator(f"button.r{score}"))
        page.locator(".count strong", has_text=f"{number} ").wait_for()
    story.act(page.locator("button.take-back"))
    page.locator(".count strong", has_text="2 ").wait_for()
    story.look("session")
    story.section("papers")
    page.wait_for_url("**/sheets")
    story.sub("notes")
    page.wait_for_url("**/notes")
    story.press("notes.fill")
    page.wait_for_load_state()
    story.look("note")
    story.press("notes.keep")
    page.wait_for_url("**said=**")


def progress(story: Story) -> None:
    """Two probes, the answer and the chart of them; a goal from its parts."""
    page = story.page
    story.section("progress")
    page.wait_for_url("**/progress")
    story.look("no-probe")
    for right in ("2", "7"):
        fields = page.locator("table.probes tbody tr").first.locator("input")
        fields.nth(0).fill("set 1")
        fields.nth(1).fill(right)
        story.press("progress.save_one")
        page.wait_for_url("**said=saved")
    page.locator(".drawing svg").first.wait_for()
    assert "7/10" in page.locator(".answer-line").first.inner_text()
    story.look("progress")
    story.sub("goals")
    page.wait_for_url("**/goals")
    page.get_by_label(story.says("goals.target"), exact=True).fill("cake")
    page.get_by_label(story.says("goals.percent"), exact=True).fill("80")
    story.press("goals.make")
    page.wait_for_url("**make=1**")
    assert "cake" in page.get_by_label(story.says("goals.sentence")).first.input_value()
    story.look("goal")
    story.press("goals.keep")
    page.wait_for_url("**said=goal_kept")


def papers(story: Story) -> None:
    """A page for the family, the pictures, the report; what was so far, in the history."""
    page = story.page
    story.section("papers")
    page.wait_for_url("**/sheets")
    story.press("sheets.make")
    page.wait_for_url("**kind=**")
    story.look("sheets")
    story.sub("pictures")
    page.wait_for_url("**/pictures")
    story.look("pictures")
    story.sub("report")
    page.wait_for_url("**/report")
    story.press("report.ask")
    page.wait_for_url("**part=**")
    assert "cake" in page.inner_text("main")
    story.look("report")
    story.section("history")
    page.wait_for_url("**/history")
    story.look("history")


def desk(story: Story) -> None:
    """Today knows the child; what belongs to the desk, one tap from anywhere."""
    page = story.page
    story.act(page.locator("header.top > a"))
    page.wait_for_url("**/")
    assert page.locator("section[aria-labelledby=seen] a", has_text="M12").is_visible()
    story.look("today")
    for link in ("glossary.link", "trash.link", "files.title", "lock.link", "browsers.link"):
        story.act(page.locator(".menu summary", has_text=story.says("site.desk")))
        leads = page.locator(".menu a", has_text=story.says(link)).locator("visible=true").first
        address = str(leads.get_attribute("href"))
        story.act(leads)
        page.wait_for_url(f"**{address}")
        story.look(link.partition(".")[0])


CHAPTERS: tuple[Callable[[Story], None], ...] = (first_run, sample, words, session, progress, papers, desk)
