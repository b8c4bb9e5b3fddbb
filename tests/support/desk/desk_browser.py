"""The desk in a real browser: its start, Debian's chromium, a page that has come in. Tests name this in `pytest_plugins`."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from shutil import which

import pytest
from places import ROOT
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from running_desk import START, cookie_of

ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]


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
    """Debian's own. Without it these tests fail: a set that is left out in silence shows nothing."""
    path = which("chromium") or which("chromium-browser")
    assert path, "the browser tests need Debian's chromium: apt-get install chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield browser
        browser.close()


def known(context: BrowserContext, url: str) -> BrowserContext:
    """The context as a browser that came in before: a start link opens the desk for one browser alone."""
    name, value = cookie_of(url)
    context.add_cookies([{"name": name, "value": value, "url": url.split("?", maxsplit=1)[0]}])
    return context


@pytest.fixture
def page(chromium: Browser, desk: tuple[str, Path]) -> Iterator[Page]:
    """A page that has come in. Whatever the browser complains of, or asks of elsewhere, fails the test."""
    context = chromium.new_context(viewport={"width": 1100, "height": 900}, has_touch=True)
    made = known(context, desk[0]).new_page()
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
