"""The desk as its own process, asked over the wire by a plain client."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from functools import cache
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path
from types import TracebackType
from urllib.parse import urlencode, urlsplit

from places import ROOT

START = """
import sys
from pathlib import Path
from approx.cli.desk_command import run
sys.exit(run(Path(sys.argv[1]), 0, False, "en"))
"""


@cache
def cookie_of(url: str) -> tuple[str, str]:
    """Name and value of the cookie for which a start link was spent; the link can be spent once, so it is remembered."""
    parts = urlsplit(url)
    connection = HTTPConnection("127.0.0.1", parts.port or 0, timeout=30)
    try:
        connection.request("GET", f"/?{parts.query}")
        name, _, value = (connection.getresponse().getheader("set-cookie") or "").partition(";")[0].partition("=")
    finally:
        connection.close()
    return name, value


class RunningDesk:
    """One start of the desk over a file. `ask` opens a connection for each request, as another tab would."""

    def __init__(self, file: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", START, str(file)], cwd=ROOT, stdout=subprocess.PIPE, text=True
        )
        assert self.process.stdout is not None
        self.url = self.process.stdout.readline().strip()
        self.parts = urlsplit(self.url)
        self.cookie = "=".join(cookie_of(self.url))
        found = re.search(r'name="csrf" value="(\w+)"', self.ask("GET", "/")[1] or self.ask("GET", "/unlock")[1])
        assert found
        self.csrf = found[1]

    def __enter__(self) -> RunningDesk:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            self.process.wait(20)

    def connection(self) -> HTTPConnection:
        """A new one to its port."""
        return HTTPConnection("127.0.0.1", self.parts.port or 0, timeout=30)

    def headers(self, **more: str) -> dict[str, str]:
        """Those of a form of its own pages."""
        return {"origin": f"http://{self.parts.netloc}", "cookie": getattr(self, "cookie", "")} | more

    def ask(self, method: str, path: str, body: bytes | None = None, **more: str) -> tuple[HTTPResponse, str]:
        """The answer and its text. OSError or HTTPException where the desk is gone."""
        connection = self.connection()
        try:
            connection.request(method, path, body, self.headers(**more))
            answer = connection.getresponse()
            return answer, answer.read().decode("utf-8")
        finally:
            connection.close()

    def post(self, path: str, **fields: object) -> tuple[HTTPResponse, str]:
        """A form with its token."""
        body = urlencode({"csrf": self.csrf} | fields, doseq=True).encode()
        return self.ask("POST", path, body, **{"content-type": "application/x-www-form-urlencoded"})
