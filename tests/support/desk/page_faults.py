"""What must hold of every page that is looked at in a browser.

With DESK_PICTURES=FOLDER every page looked at is also kept there as pictures: light, dark, 768 px wide, and in print.
"""

from __future__ import annotations

import os
import re

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

TABLET = {"width": 768, "height": 1024}


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
    before = page.viewport_size
    faults = wrong(page)
    for width in (768, 640):
        page.set_viewport_size({"width": width, "height": 900})
        faults += [f"{page.url} at {width}: {target}" for target in small_targets(page)]
        if wider_than_the_screen(page) > 0:
            faults.append(f"{page.url} at {width}: {wider_than_the_screen(page)} px too wide")
    if before:
        page.set_viewport_size(before)
    keep_pictures(page)
    return faults


def keep_pictures(page: Page) -> None:
    """Pictures for a person to look at, where a folder is named for them."""
    folder, before = os.environ.get("DESK_PICTURES"), page.viewport_size
    if not folder or not before:
        return
    name = re.sub(r"\W+", "-", page.url.partition("//")[2].partition("/")[2].partition("?")[0]) or "caseload"
    name = f"{name}-{page.locator('html').get_attribute('lang')}"
    looks = {"light": {"color_scheme": "light"}, "dark": {"color_scheme": "dark"}, "print": {"media": "print"}}
    for look, media in looks.items():
        page.emulate_media(**media)  # type: ignore[arg-type]
        page.screenshot(path=f"{folder}/{name}-{look}.png", full_page=True)
    page.emulate_media(media="screen", color_scheme="light")
    page.set_viewport_size(TABLET)  # type: ignore[arg-type]
    page.screenshot(path=f"{folder}/{name}-768.png")
    page.set_viewport_size(before)
