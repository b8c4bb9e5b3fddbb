"""The guard by itself, over an application of one line: each rule at its edge, each answer as it goes out."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest

from approx.records.database.browsers import Browsers
from approx.web.server import guard
from approx.web.server.guard import (
    BROWSER,
    HEADERS,
    MOST_IMPORT_BYTES,
    MOST_REQUEST_BYTES,
    Door,
    Guard,
    browser_label,
    cookie_name,
)

PORT, KEY = 8123, "the-key"
HOST, HOME = f"127.0.0.1:{PORT}", f"http://127.0.0.1:{PORT}"
Answer = tuple[int, dict[str, str], bytes]


class Asked:
    """A guard, what reached the application behind it, and a browser that is known."""

    def __init__(self, folder: Path) -> None:
        self.door = Door(Browsers(folder / "c.sqlite"), KEY)
        self.mark = self.door.let_in("Firefox/1 Linux")
        self.reached: list[tuple[dict[str, Any], bytes]] = []
        self.ended: list[Any] = []
        self.guard = Guard(self._app, self.door, PORT)

    async def _app(self, scope: Any, receive: Any, send: Any) -> None:
        body, more = b"", scope["method"] == "POST"
        while more:
            message = await receive()
            if message["type"] != "http.request":
                self.ended.append(message)
                raise RuntimeError("gone")
            body += message["body"]
            more = message.get("more_body", False)
        self.reached.append((scope, body))
        await send({"type": "http.response.start", "status": 200, "headers": [(b"cache-control", b"public")]})
        await send({"type": "http.response.body", "body": b"fine"})

    def __call__(
        self, method: str = "GET", path: str = "/", query: str = "", body: tuple[bytes, ...] = (), *,
        client: tuple[str, int] | None = ("127.0.0.1", 5), cookie: str | None = "", **headers: str | None,
    ) -> Answer:  # fmt: skip
        given: dict[str, str | None] = {"host": HOST} | ({"origin": HOME} if method == "POST" else {})
        given |= {"cookie": f"{cookie_name(PORT)}={self.mark}" if cookie == "" else cookie}
        given |= {name.replace("_", "-"): value for name, value in headers.items()}
        scope = {
            "type": "http", "method": method, "path": path, "query_string": query.encode(), "client": client,
            "headers": [(name.encode(), value.encode("latin-1")) for name, value in given.items() if value is not None],
        }  # fmt: skip
        return self.asked(scope, body)

    def asked(self, scope: dict[str, Any], body: tuple[bytes, ...] = ()) -> Answer:
        sent: list[Any] = []
        parts = list(body) or [b""]

        async def receive() -> Any:
            if not parts:
                return {"type": "http.disconnect"}
            part = parts.pop(0)
            # the last part need not say that it is the last (ASGI: more_body is False by default)
            return {"type": "http.request", "body": part} | ({"more_body": True} if parts else {})

        async def send(message: Any) -> None:
            sent.append(message)

        asyncio.run(self.guard(scope, receive, send))
        assert [message["type"] for message in sent[:2]] == ["http.response.start", "http.response.body"]
        head = {name.decode(): value.decode() for name, value in sent[0]["headers"]}
        for name, value in HEADERS.items():  # on every answer, whatever was asked, and over what a page says
            assert head[name] == value
        return sent[0]["status"], head, b"".join(message.get("body", b"") for message in sent[1:])


@pytest.fixture
def ask(tmp_path: Path) -> Asked:
    return Asked(tmp_path)


def test_what_the_headers_say() -> None:
    assert HEADERS == {
        "content-security-policy": "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; "
        "font-src 'self'; connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
        "x-content-type-options": "nosniff", "x-frame-options": "DENY", "referrer-policy": "same-origin",
        "cross-origin-opener-policy": "same-origin", "cross-origin-resource-policy": "same-origin",
        "permissions-policy": "camera=(), geolocation=(), microphone=()", "cache-control": "no-store",
    }  # fmt: skip
    assert (MOST_REQUEST_BYTES, MOST_IMPORT_BYTES, guard.MOST_SECONDS) == (10_500_000, 500_000_000, 30.0)
    assert frozenset({"/import"}) == guard.STREAMED and cookie_name(PORT) == "approx_desk_8123"


def test_a_known_browser_comes_through_and_is_named(ask: Asked) -> None:
    status, _, body = ask()
    assert (status, body) == (200, b"fine") and ask.reached[0][0][BROWSER].label == "Firefox, Linux"
    assert BROWSER == "approx.browser"
    assert ask("HEAD")[0] == 200 and ask("POST", body=(b"a", b"b"))[0] == 200 and ask.reached[-1][1] == b"ab"
    assert ask(cookie=f"other=1; {cookie_name(PORT)}={ask.mark}")[0] == 200


@pytest.mark.parametrize("client", [None, ("192.168.1.20", 5), ("127.0.0.2", 5), ("", 5)])
def test_another_computer(ask: Asked, client: tuple[str, int] | None) -> None:
    status, _, body = ask(client=client)
    assert (status, body) == (403, b"The desk answers this computer only.\n") and not ask.reached


def test_this_computer_by_its_other_names(ask: Asked) -> None:
    assert ask(client=("::1", 5))[0] == 200
    for host in (f"localhost:{PORT}", f"[::1]:{PORT}", f"LOCALHOST:{PORT}"):
        assert ask(host=host)[0] == 200 and ask("POST", host=host, origin=f"http://{host}")[0] == 200
    for origin in (f"http://localhost:{PORT}", f"http://[::1]:{PORT}", f"HTTP://LOCALHOST:{PORT}"):
        assert ask("POST", origin=origin)[0] == 200


@pytest.mark.parametrize(
    "host", [None, "", "evil.example", "127.0.0.1", f"127.0.0.1:{PORT + 1}", f"{HOST}.evil.example"]
)
def test_another_host(ask: Asked, host: str | None) -> None:
    status, _, body = ask(host=host)
    assert (status, body) == (403, b"The desk is not at this address.\n") and not ask.reached


def test_two_hosts(ask: Asked) -> None:
    twice = [(b"host", HOST.encode())] * 2
    cookie = (b"cookie", f"{cookie_name(PORT)}={ask.mark}".encode())
    scope = {"type": "http", "method": "GET", "path": "/", "query_string": b"", "client": ("127.0.0.1", 1)}
    assert ask.asked(scope | {"headers": [*twice, cookie]})[0] == 403
    assert ask.asked(scope | {"headers": [*twice[:1], cookie]})[0] == 200


@pytest.mark.parametrize("method", ["GET", "POST"])
@pytest.mark.parametrize(
    "origin", ["", "null", "http://[", f"https://{HOST}", "http://127.0.0.1", f"{HOME}/", f"{HOME}0"]
)
def test_another_origin(ask: Asked, origin: str, method: str) -> None:
    status, _, body = ask(method, origin=origin)
    assert (status, body) == (403, b"This request comes from another page.\n") and not ask.reached


def test_a_form_without_an_origin(ask: Asked) -> None:
    status, _, body = ask("POST", origin=None)
    assert (status, body) == (403, b"This request does not say which page it comes from.\n")
    assert ask("GET", origin=None)[0] == ask("GET", origin=HOME)[0] == 200 and len(ask.reached) == 2


@pytest.mark.parametrize("site", ["cross-site", "same-site", "", "other"])
def test_fetched_by_another_page(ask: Asked, site: str) -> None:
    status, _, body = ask(sec_fetch_site=site, sec_fetch_mode="navigate")
    assert (status, body) == (403, b"This request comes from another page.\n")
    assert ask(sec_fetch_site="same-origin")[0] == ask(sec_fetch_site="none")[0] == 200
    # the start link may be opened from a mail, by a click and by nothing else
    assert ask(query=f"key={KEY}", sec_fetch_site=site, sec_fetch_mode="no-cors")[0] == 403
    assert ask(query=f"key={KEY}", sec_fetch_site=site)[0] == 403
    assert ask("POST", query=f"key={KEY}", sec_fetch_site=site, sec_fetch_mode="navigate")[0] == 403
    assert ask("HEAD", query=f"key={KEY}", sec_fetch_site=site, sec_fetch_mode="navigate")[0] == 403
    assert not [scope for scope, _ in ask.reached if scope["query_string"]]
    assert ask(query=f"key={KEY}", sec_fetch_site=site, sec_fetch_mode="navigate")[0] == 303


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "CONNECT", "get", ""])
def test_other_methods(ask: Asked, method: str) -> None:
    status, _, body = ask(method)
    assert (status, body) == (405, b"The desk reads and saves; it does nothing else.\n") and not ask.reached


@pytest.mark.parametrize(
    ("length", "path", "status"),
    [
        ("10500000", "/x", 200), ("10500001", "/x", 413), ("500000000", "/import", 200), ("500000001", "/import", 413),
        ("-1", "/x", 413), ("", "/x", 413), ("1e3", "/x", 413), ("\xb2", "/x", 413), ("0" * 11 + "1", "/x", 200),
        ("0" * 12 + "1", "/x", 413), ("1" * 5000, "/x", 413),
    ],
)  # fmt: skip
def test_announced_lengths(ask: Asked, length: str, path: str, status: int) -> None:
    answer = ask("POST", path, body=(b"a",), content_length=length)
    assert answer[0] == status and len(ask.reached) == (status == 200)
    if status == 413:
        megabytes = b"500" if path == "/import" else b"10"
        assert answer[2].startswith(b"This is larger than " + megabytes + b" MB. Nothing was saved.\nEsto ocupa ")


def test_lengths_that_come_without_being_announced(ask: Asked, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "MOST_REQUEST_BYTES", 10)
    monkeypatch.setattr(guard, "MOST_IMPORT_BYTES", 20)
    assert ask("POST", body=(b"12345", b"67890"))[0] == 200 and ask.reached[-1][1] == b"1234567890"
    assert ask("POST", body=(b"12345", b"678901"))[0] == 413
    assert ask("POST", "/import", body=(b"1" * 10, b"2" * 10))[0] == 200 and ask.reached[-1][1] == b"1" * 10 + b"2" * 10
    assert ask("POST", "/import", body=(b"1" * 10, b"2" * 10, b"3"))[0] == 413
    assert ask.ended == [{"type": "http.disconnect"}]
    assert ask("POST", "/import", cookie=None, body=(b"1",))[0] == 403 and len(ask.reached) == 2


@pytest.mark.parametrize("path", ["/x", "/import"])
def test_a_part_that_does_not_come(ask: Asked, monkeypatch: pytest.MonkeyPatch, path: str) -> None:
    monkeypatch.setattr(guard, "MOST_SECONDS", 0.05)
    sent: list[Any] = []

    async def receive() -> Any:
        await asyncio.sleep(5)

    async def send(message: Any) -> None:
        sent.append(message)

    headers = {"host": HOST, "origin": HOME, "cookie": f"{cookie_name(PORT)}={ask.mark}"}
    scope = {"type": "http", "method": "POST", "path": path, "query_string": b"", "client": ("127.0.0.1", 1),
             "headers": [(name.encode(), value.encode()) for name, value in headers.items()]}  # fmt: skip
    asyncio.run(ask.guard(scope, receive, send))
    assert sent[0]["status"] == 408 and sent[1]["body"] == b"The request took too long to arrive.\n"
    assert not ask.reached and len(sent) == 2
    assert ask.ended == ([{"type": "http.disconnect"}] if path == "/import" else [])  # what reads it is told


def test_a_page_that_fails_while_an_import_comes(ask: Asked, capfd: pytest.CaptureFixture[str]) -> None:
    async def failing(scope: Any, receive: Any, send: Any) -> None:
        raise ValueError("secret of K07")

    ask.guard.app = failing
    status, _, body = ask("POST", "/import", body=(b"1",))
    assert (status, body) == (500, b"Something failed here. What was saved before is kept.\n")
    said = capfd.readouterr().err
    assert said.startswith("approx desk: ValueError at test_web_guard_rules.py:") and said.count("\n") == 1


def test_who_goes_before_the_form_is_whole(ask: Asked) -> None:
    """Nothing of it reaches the page as if it were whole."""
    sent: list[Any] = []

    async def gone() -> Any:
        return {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        sent.append(message)

    headers = {"host": HOST, "origin": HOME, "cookie": f"{cookie_name(PORT)}={ask.mark}"}
    scope = {"type": "http", "method": "POST", "path": "/x", "query_string": b"", "client": ("127.0.0.1", 1),
             "headers": [(name.encode(), value.encode()) for name, value in headers.items()]}  # fmt: skip
    asyncio.run(ask.guard(scope, gone, send))
    assert not ask.reached


def test_a_link_in_and_where_it_leads(ask: Asked) -> None:
    status, head, _ = ask(
        path="//evil.example/x", query=f"a=1&key={KEY}&b=%20", cookie=None, user_agent="Firefox/9 Windows"
    )
    assert status == 303 and head["location"] == "/evil.example/x?a=1&b=+"
    cookie = head["set-cookie"]
    mark = cookie.partition("=")[2].partition(";")[0]
    assert cookie == f"approx_desk_8123={mark}; HttpOnly; Max-Age=34560000; Path=/; SameSite=strict"
    assert ask.door.known(mark) is not None and not ask.reached
    assert ask.door.browsers.listed()[0].label == "Firefox, Windows"


def test_a_link_in_leads_nowhere_else_by_a_backslash(ask: Asked) -> None:
    assert ask(path="/\\evil", query=f"key={KEY}", cookie=None)[1]["location"] == "/evil"


def test_no_way_in(ask: Asked) -> None:
    known, used = b"This browser is not known here.", b"This link has been used, or is from an earlier start."
    for query, cookie, said in (
        ("", None, known), ("", "x=1", known), ("", f"{cookie_name(PORT)}=wrong", known), ("", "a\x01=", known),
        ("key=", None, used), ("key=wrong", None, used), (f"key={KEY}&key={KEY}", None, used), (f"key={KEY}x", None, used),
    ):  # fmt: skip
        status, head, body = ask(query=query, cookie=cookie)
        assert status == 403 and body.startswith(said) and "set-cookie" not in head, query
    assert ask("HEAD", query=f"key={KEY}", cookie=None)[0] == 403
    assert ask("POST", query=f"key={KEY}", cookie=None)[0] == 403
    assert ask(query=f"key={KEY}", cookie=None)[0] == 303  # none of these has spent it
    assert ask(query=f"key={KEY}", cookie=None)[0] == 403
    assert ask(query=f"key={KEY}")[0] == 303 and "set-cookie" not in ask(query=f"key={KEY}")[1]
    assert ask("POST", query="key=x")[0] == 200 and len(ask.reached) == 1  # a form of a known browser is no way in


def test_a_cookie_that_cannot_be_read_hides_no_other(ask: Asked) -> None:
    good = (b"cookie", f"{cookie_name(PORT)}={ask.mark}".encode())
    scope = {"type": "http", "method": "GET", "path": "/", "query_string": b"", "client": ("127.0.0.1", 1)}
    for bad in (b"\x00=\x01", b"a=b", b""):
        headers = [(b"host", HOST.encode()), (b"cookie", bad), good]
        assert ask.asked(scope | {"headers": headers})[0] == 200


def test_other_kinds_of_connection(ask: Asked) -> None:
    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    asyncio.run(ask.guard({"type": "websocket"}, send, send))
    assert sent == [{"type": "websocket.close", "code": 1008}]
    begun: list[str] = []

    async def life(scope: Any, receive: Any, send: Any) -> None:
        begun.append(scope["type"])

    ask.guard.app = life
    asyncio.run(ask.guard({"type": "lifespan"}, send, send))
    assert begun == ["lifespan"]


@pytest.mark.parametrize(
    ("said", "label"),
    [
        ("Mozilla/5.0 (X11; Linux x86_64) Chrome/120 Safari/537", "Chrome, Linux"), ("", "?"), ("curl/8", "?"),
        ("Mozilla/5.0 (Windows NT 10.0) Chrome/120 Safari/537 Edg/120", "Edge, Windows"),
        ("Mozilla/5.0 (Macintosh; Intel Mac OS X 10) Safari/605", "Safari, macOS"), ("Firefox/1", "Firefox"),
    ],
)  # fmt: skip
def test_what_a_browser_is_called(said: str, label: str) -> None:
    assert browser_label(said) == label


def test_an_import_may_take_longer_than_its_parts(ask: Asked, monkeypatch: pytest.MonkeyPatch) -> None:
    """Once the form is whole, the page may listen for who goes, and work as long as it needs."""
    monkeypatch.setattr(guard, "MOST_SECONDS", 0.05)
    heard: list[Any] = []

    async def working(scope: Any, receive: Any, send: Any) -> None:
        assert (await receive())["body"] == b"1"
        heard.append(await receive())
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"taken in"})

    parts = [{"type": "http.request", "body": b"1"}]  # the last part need not say that it is the last
    sent: list[Any] = []

    async def receive() -> Any:
        if parts:
            return parts.pop()
        await asyncio.sleep(0.3)
        return {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        sent.append(message)

    ask.guard.app = working
    headers = {"host": HOST, "origin": HOME, "cookie": f"{cookie_name(PORT)}={ask.mark}"}
    scope = {"type": "http", "method": "POST", "path": "/import", "query_string": b"", "client": ("127.0.0.1", 1),
             "headers": [(name.encode(), value.encode()) for name, value in headers.items()]}  # fmt: skip
    asyncio.run(ask.guard(scope, receive, send))
    assert sent[0]["status"] == 200 and heard == [{"type": "http.disconnect"}]


def test_a_fault_without_a_place_is_named_so() -> None:
    assert guard._place(ValueError("secret")) == "?"
