"""A desk for tests: its application asked as a browser on this computer would ask it."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from queue import SimpleQueue
from threading import Thread

import anyio
from anyio.from_thread import BlockingPortal
from httpx import Response
from starlette.testclient import TestClient

from approx.web.app import desk_app
from approx.web.server.desk import Desk

PORT = 8123
HOME = f"http://127.0.0.1:{PORT}"
KEY = "the-key-of-this-start"


@cache
def event_loop() -> BlockingPortal:
    """One event loop for the requests of all desks; else each request would begin one of its own, which costs as much as a page."""
    begun: SimpleQueue[BlockingPortal] = SimpleQueue()

    async def serve() -> None:
        async with BlockingPortal() as portal:
            begun.put(portal)
            await portal.sleep_until_stopped()

    Thread(target=anyio.run, args=(serve,), daemon=True).start()
    return begun.get()


class Browser:
    """A client that has come in with the key, and sends the token of the pages with every form."""

    def __init__(self, file: Path, language: str = "en", enter: bool = True) -> None:
        self.desk = Desk(file, KEY, language)
        self.client = TestClient(desk_app(self.desk, PORT), base_url=HOME, client=("127.0.0.1", 50_000))
        self.client.portal = event_loop()
        if enter:
            entered = self.client.get(f"/?key={KEY}", follow_redirects=False)
            assert entered.is_redirect and entered.headers["location"] == "/"

    def get(self, path: str) -> Response:
        return self.client.get(path)

    def post(self, path: str, **fields: object) -> Response:
        """A form with its token, sent as the pages send it; the answer after the redirect, unless `follow` is False."""
        data = {name: value for name, value in fields.items() if name not in ("files", "follow")}
        files = fields.get("files")
        return self.client.post(
            path,
            data={"csrf": self.desk.csrf} | data,
            files=files,
            headers={"origin": HOME},  # type: ignore[arg-type]
            follow_redirects=bool(fields.get("follow", True)),
        )


def field(page: str, name: str) -> str:
    """The value of the first field of a name."""
    found = re.search(rf'name="{re.escape(name)}"[^>]*? value="([^"]*)"', page)
    assert found, name
    return found[1]


def session_with(browser: Browser, *words: tuple[str, str], code: str = "M12") -> tuple[str, list[int]]:
    """A session of a child with these words and forms in work: its path, and the ids of the words."""
    for word, form in words:
        assert browser.post(f"/child/{code}/targets", word=word, form=form).status_code == 200
    targets = browser.desk.caseload.targets(code)
    assert isinstance(targets, tuple)
    started = browser.post(f"/child/{code}/sessions", date="2026-03-02")
    return started.url.path, [target.id for target in targets]
