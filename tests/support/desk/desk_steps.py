"""Steps that a clinician takes on the pages, for the tests in a real browser."""

from __future__ import annotations

from playwright.sync_api import Page

RESULTS = (2, 2, 1, 0)
"""How the trials come out, over and over."""


def new_child(page: Page, code: str) -> None:
    """A new child from the first page; its field lies in a fold once there is a child."""
    field = page.get_by_label("Code", exact=True)
    if not field.is_visible():
        page.locator("summary", has_text="New child").click()
    field.fill(code)
    page.get_by_role("button", name="Add this child").click()
    page.wait_for_url(f"**/child/{code}?said=child_added")


def add_words(page: Page, *words: str) -> None:
    """Words for therapy, all in one field, on the page of sessions."""
    page.get_by_label("Words, one per line").fill("\n".join(words))
    page.get_by_role("button", name="Add these words").click()
    page.wait_for_url("**said=target_added")


def sixty_taps(page: Page, first: str, second: str) -> None:
    """Thirty trials of a word together, thirty of another without a cue; each counted before the next tap."""
    page.locator(".words label", has_text=first).click()
    page.locator(".help-row label", has_text="together").last.click()
    for number in range(60):
        if number == 30:
            page.locator(".words label", has_text=second).click()
            page.locator(".help-row label", has_text="no cues").click()
        elif number and RESULTS[number % 4] == RESULTS[(number - 1) % 4]:
            page.wait_for_timeout(330)  # the same button within 300 ms asks before it counts
        page.locator(f"button.r{RESULTS[number % 4]}").click()
        page.locator(".count strong", has_text=f"{number + 1} trial").wait_for()


def open_folds(page: Page) -> None:
    """Everything that is folded on the page, opened."""
    page.evaluate("document.querySelectorAll('details:not(.menu)').forEach(each => { each.open = true; })")


def totals_by_cue(page: Page) -> dict[str, list[str]]:
    """The counts of each cue level, as the page shows them unfolded."""
    open_folds(page)
    lines = (row.split("\t") for row in page.inner_text(".totals tbody").splitlines())
    return {cells[0]: cells[1:] for cells in lines}
