"""Who may ask the desk anything: this computer, this page, a browser that came in by a start link. All else is refused.

The guard stands before every route, so that no page can forget it. It writes nothing down: not the address asked for,
not what was typed, not a child's code. The key in a start link is spent by the first browser that opens it. That browser gets a
mark of its own (`Browsers`), by which a bookmark works after a restart, and which can be revoked on the page.
"""

from __future__ import annotations

import asyncio
import hmac
import sys
from collections.abc import Iterable
from http.cookies import CookieError, SimpleCookie
from threading import Lock
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from approx.records.database.browsers import KEPT_UNUSED, Browsers, KnownBrowser
from approx.wording import worded

MOST_REQUEST_BYTES = 10_500_000
"""The largest request that is read, an uploaded file of 10 MB included."""

MOST_IMPORT_BYTES = 500_000_000
"""The largest export that is taken in again. It goes through to a file, and is never whole in memory."""

STREAMED = frozenset({"/import"})
"""Paths whose form is read as it comes, up to `MOST_IMPORT_BYTES`."""

MOST_SECONDS = 30.0
"""How long a request may take to arrive."""

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; manifest-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "cache-control": "no-store",
}
_LOOPBACK = frozenset({"127.0.0.1", "::1"})
_READING = frozenset({"GET", "HEAD"})
_LONGEST_LENGTH = 12
"""Digits of an announced length; a longer one is no length of ours."""

_USED = "This link has been used, or is from an earlier start. Close the desk and start it again."
_UNKNOWN = "This browser is not known here. Open the address that `approx desk` printed."

BROWSER = "approx.browser"
"""Key of the scope under which a page finds the `KnownBrowser` that asks."""
_NAMES = (("Edg/", "Edge"), ("Firefox/", "Firefox"), ("Chromium/", "Chromium"), ("Chrome/", "Chrome"),
          ("Safari/", "Safari"))  # fmt: skip
_SYSTEMS = (("Android", "Android"), ("iPhone", "iPhone"), ("iPad", "iPad"), ("Windows", "Windows"), ("Mac OS", "macOS"),
            ("CrOS", "ChromeOS"), ("Linux", "Linux"))  # fmt: skip


def cookie_name(port: int) -> str:
    """Cookies are not kept apart by port, so the name tells two desks on one computer apart."""
    return f"approx_desk_{port}"


class Guard:
    """An ASGI application around another. `door` knows keys and browsers; `port` is the one that is listened on."""

    def __init__(self, app: ASGIApp, door: Door, port: int) -> None:
        self.app, self.door, self.port = app, door, port
        self.hosts = frozenset(f"{name}:{port}" for name in ("127.0.0.1", "localhost", "[::1]"))
        self.origins = frozenset(f"http://{host}" for host in self.hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """An ASGI application: every connection is checked before it is served."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            await self._http(scope, receive, send)
        else:  # the desk opens no other kind of connection
            await send({"type": "websocket.close", "code": 1008})

    async def _http(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One answer to each request, with the headers, whatever goes wrong on the way to it."""
        sending = _Sending(scope, send)
        try:
            await self._answer(scope, receive, sending)
        except Exception as error:  # only the place is told, no data
            print(f"approx desk: {type(error).__name__} at {_place(error)}", file=sys.stderr)
        if not sending.started:  # not even the page that tells of a failure could be made
            await _no(500, "Something failed here. What was saved before is kept.")(scope, receive, sending)

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        answer = self._refusal(scope) or self._entry(scope)
        if answer is None and scope["method"] == "POST" and scope["path"] in STREAMED:
            await self._streamed(scope, receive, send)
            return
        if answer is None and scope["method"] not in _READING:
            try:
                async with asyncio.timeout(MOST_SECONDS):
                    body = await _body(receive)
            except TimeoutError:
                answer = _no(408, "The request took too long to arrive.")
            else:
                answer = _too_big(MOST_REQUEST_BYTES) if body is None else None
                receive = _replayed(body or b"", receive)
        await (answer or self.app)(scope, receive, send)

    async def _streamed(self, scope: Scope, receive: Receive, send: Send) -> None:
        """A large form goes to its page part by part; it ends where a part is late or the whole is too long."""
        size, ended = 0, False
        refused: Response | None = None

        async def part() -> Message:
            nonlocal size, ended, refused
            if ended:
                return await receive()
            try:
                async with asyncio.timeout(MOST_SECONDS):
                    message = await receive()
            except TimeoutError:
                refused = _no(408, "The request took too long to arrive.")
                return {"type": "http.disconnect"}
            size += len(message.get("body", b""))
            if size > MOST_IMPORT_BYTES:
                refused = _too_big(MOST_IMPORT_BYTES)
                return {"type": "http.disconnect"}
            ended = not message.get("more_body", False)
            return message

        async def unless_refused(message: Message) -> None:
            if refused is None:
                await send(message)

        try:
            await self.app(scope, part, unless_refused)
        except Exception:
            if refused is None:
                raise
        if refused is not None:
            await refused(scope, receive, send)

    def _refusal(self, scope: Scope) -> Response | None:
        """Why this request is none of ours: from elsewhere, to another host, from another page, or too big."""
        headers = Headers(scope=scope)
        client = scope.get("client")
        if client is None or client[0] not in _LOOPBACK:
            return _no(403, "The desk answers this computer only.")
        if len(headers.getlist("host")) != 1 or headers["host"].lower() not in self.hosts:
            return _no(403, "The desk is not at this address.")
        origin = headers.get("origin")
        if origin is not None and origin.lower() not in self.origins:
            return _no(403, "This request comes from another page.")
        fetched_from = headers.get("sec-fetch-site")
        if fetched_from not in (None, "same-origin", "none") and not self._opens_page(scope, headers):
            return _no(403, "This request comes from another page.")
        if scope["method"] not in (*_READING, "POST"):
            return _no(405, "The desk reads and saves; it does nothing else.")
        if scope["method"] == "POST" and origin is None:
            return _no(403, "This request does not say which page it comes from.")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or len(length) > _LONGEST_LENGTH or int(length) > _most(scope):
            return _too_big(_most(scope))
        return None

    def _opens_page(self, scope: Scope, headers: Headers) -> bool:
        """True for the address with the key, opened from a mail or a note of the user's own."""
        return scope["method"] == "GET" and headers.get("sec-fetch-mode") == "navigate" and "key" in dict(_query(scope))

    def _entry(self, scope: Scope) -> Response | None:
        """A key that is not spent becomes a cookie and leaves the address; else only a browser that is known comes in."""
        query = _query(scope)
        keys = [value for name, value in query if name == "key"]
        known = self.door.known(_cookie(scope, cookie_name(self.port)))
        if known is None and not keys:
            return _both(403, _UNKNOWN)
        if keys and scope["method"] in _READING:
            # a key that a known browser opens is spent too: whoever sees the address later can do nothing with it
            fits = scope["method"] == "GET" and len(keys) == 1 and self.door.spend(keys[0])
            if known is None and not fits:
                return _both(403, _USED)
            rest = urlencode([(name, value) for name, value in query if name != "key"])
            # the path alone, with one slash in front: an address such as //other.example would lead away
            path = "/" + scope["path"].lstrip("/\\")
            answer = RedirectResponse(f"{path}?{rest}" if rest else path, 303)
            if known is None:
                mark, age = (
                    self.door.let_in(Headers(scope=scope).get("user-agent", "")),
                    int(KEPT_UNUSED.total_seconds()),
                )
                answer.set_cookie(cookie_name(self.port), mark, age, path="/", httponly=True, samesite="strict")
            return answer
        if known is None:
            return _both(403, _UNKNOWN)
        scope[BROWSER] = known
        return None


def _query(scope: Scope) -> list[tuple[str, str]]:
    return parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)


def _cookie(scope: Scope, name: str) -> str:
    value = ""
    for text in Headers(scope=scope).getlist("cookie"):
        try:
            found = SimpleCookie(text).get(name)
        except CookieError:
            continue
        if found is not None:
            value = value or found.value
    return value


async def _body(receive: Receive) -> bytes | None:
    """The whole body; None as soon as it is longer than allowed, whatever length was announced, and where the other side
    has gone: a part of a form is no form."""
    parts: list[bytes] = []
    size, more = 0, True
    while more:
        message = await receive()
        part: bytes = message.get("body", b"")
        size += len(part)
        if message["type"] != "http.request" or size > MOST_REQUEST_BYTES:
            return None
        parts.append(part)
        more = message.get("more_body", False)
    return b"".join(parts)


def _replayed(body: bytes, receive: Receive) -> Receive:
    """A `receive` that gives the body that was read already, then what comes after it."""
    waiting: list[Message] = [{"type": "http.request", "body": body}]

    async def again() -> Message:
        return waiting.pop() if waiting else await receive()

    return again


class _Sending:
    """`send` with the guard's headers on every answer; `started` once there is one."""

    def __init__(self, scope: Scope, send: Send) -> None:
        self.send, self.started = send, False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.started = True
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers[name] = value
        await self.send(message)


def _no(status: int, text: str) -> Response:
    return PlainTextResponse(text + "\n", status)


def _both(status: int, text: str) -> Response:
    """What a clinician may meet before a page is made, and so before its language is known: said in both."""
    from approx.reports.messages import said_in

    return _no(status, f"{text}\n{said_in(text, 'es')}")


def _most(scope: Scope) -> int:
    return MOST_IMPORT_BYTES if scope["path"] in STREAMED else MOST_REQUEST_BYTES


def _too_big(most: int) -> Response:
    return _both(413, worded("This is larger than {most} MB. Nothing was saved.", most=most // 1_000_000))


def _place(error: BaseException) -> str:
    """File and line where an error arose: no message, for it may quote what was typed."""
    import traceback

    frames: Iterable[traceback.FrameSummary] = traceback.extract_tb(error.__traceback__)
    last = list(frames)[-1:]
    return ", ".join(f"{frame.filename.rpartition('/')[2]}:{frame.lineno}" for frame in last) or "?"


class Door:
    """The keys that are not spent yet, and the browsers that are known."""

    def __init__(self, browsers: Browsers, key: str) -> None:
        self.browsers = browsers
        self._keys = [key]
        self._lock = Lock()

    def spend(self, key: str) -> bool:
        """True for a key that was not spent yet; it is spent now."""
        with self._lock:
            fitting = [own for own in self._keys if hmac.compare_digest(own.encode(), key.encode())]
            for own in fitting:
                self._keys.remove(own)
        return bool(fitting)

    def let_in(self, user_agent: str) -> str:
        """The mark for a browser that brought a key, to be handed to it alone."""
        return self.browsers.remember(browser_label(user_agent))

    def known(self, mark: str) -> KnownBrowser | None:
        """The browser with this mark."""
        return self.browsers.find(mark)


def browser_label(user_agent: str) -> str:
    """Which browser it is, such as "Firefox, Windows", from what it says of itself; "?" where it says nothing known."""
    name = next((name for sign, name in _NAMES if sign in user_agent), "")
    system = next((system for sign, system in _SYSTEMS if sign in user_agent), "")
    return ", ".join(filter(None, (name, system))) or "?"
