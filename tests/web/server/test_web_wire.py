"""Over the wire itself: half-open and slow connections shut nobody out, what is no request is answered in one way."""

from __future__ import annotations

import select
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import pytest
from places import ROOT
from running_desk import START, RunningDesk

from approx.web.server.guard import HEADERS
from approx.web.server.wire import HEAD_SECONDS, MOST_CONNECTIONS

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningDesk]:
    with RunningDesk(tmp_path_factory.mktemp("wire") / "c.sqlite") as running:
        yield running


def opened(desk: RunningDesk) -> socket.socket:
    return socket.create_connection(("127.0.0.1", desk.parts.port or 0), timeout=30)


def answer_to(desk: RunningDesk, sent: bytes) -> bytes:
    with opened(desk) as raw:
        raw.sendall(sent)
        raw.shutdown(socket.SHUT_WR)
        got = b""
        while part := raw.recv(65_536):
            got += part
    return got


@pytest.mark.parametrize("begun", [b"", b"GET / HTTP/1.1\r\nHost: 127", b"\r\n"])
def test_hundreds_of_half_open_connections_shut_nobody_out(desk: RunningDesk, begun: bytes) -> None:
    there = []
    for _ in range(MOST_CONNECTIONS + 100):
        raw = opened(desk)
        raw.sendall(begun)
        there.append(raw)
    asked = time.monotonic()
    assert desk.ask("GET", "/")[0].status == 200
    assert time.monotonic() - asked < 3
    time.sleep(HEAD_SECONDS + 1)
    closed = 0
    for raw in there:
        raw.settimeout(0)
        try:
            while raw.recv(4096):
                pass
            closed += 1
        except BlockingIOError:
            pass
        except OSError:
            closed += 1
        raw.close()
    assert closed == len(there)


def test_a_head_that_trickles_is_cut_off(desk: RunningDesk) -> None:
    begun = time.monotonic()
    with opened(desk) as raw, pytest.raises(OSError):
        for sign in b"GET / HTTP/1.1\r\nX: " + b"a" * 200:
            raw.sendall(bytes([sign]))
            time.sleep(0.1)
            if raw in select.select([raw], [], [], 0)[0] and raw.recv(1) == b"":
                raise OSError
    assert HEAD_SECONDS - 1 < time.monotonic() - begun < HEAD_SECONDS + 4


def test_a_second_request_that_never_ends_is_cut_off(desk: RunningDesk) -> None:
    """On a connection that has been answered once, too; and a body that a page does not read."""
    head = f"GET / HTTP/1.1\r\nHost: {desk.parts.netloc}\r\nCookie: {desk.cookie}\r\n"
    for sent in (head + "\r\n" + head[:20], head + "Content-Length: 50\r\n\r\nabc"):
        with opened(desk) as raw:
            raw.sendall(sent.encode())
            begun, got = time.monotonic(), b""
            try:
                while part := raw.recv(65_536):
                    got += part
            except OSError:
                pass
            assert got.startswith(b"HTTP/1.1 200") and time.monotonic() - begun < HEAD_SECONDS + 8


@pytest.mark.parametrize(
    "sent",
    [
        b"hello\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", b"GET / HTTP/9.9\r\n\r\n", b"GET /\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\nContent-Length: -1\r\n\r\n", b"GET / HTTP/1.1\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", b"GET / HTTP/1.1\r\nBad Header: x\r\nHost: a\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\nContent-Length: 4\r\n\r\nzzzz",
        b"GET /\xff\xfe HTTP/1.1\r\nHost: a\r\n\r\n", b"GET / HTTP/1.1\r\nHost: a\r\nX: " + b"a" * 70_000 + b"\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n\r\nZZ\r\n", b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
        b"GET http://[ HTTP/1.1\r\nHost: [\r\n\r\n", b"\x00" * 5000,
    ],
)  # fmt: skip
def test_whatever_comes_the_answer_has_the_headers(desk: RunningDesk, sent: bytes) -> None:
    head = answer_to(desk, sent).partition(b"\r\n\r\n")[0].decode("latin-1").lower()
    assert head.startswith(("http/1.1 400", "http/1.1 403", "http/1.1 405"))
    for name, value in HEADERS.items():
        assert f"{name}: {value.lower()}" in head
    assert "server:" not in head


def told(stream: IO[str]) -> str:
    return stream.read()


def test_nothing_of_it_is_written_down(tmp_path: Path) -> None:
    """Noise of every kind, then the end: the desk says one sentence."""
    running = subprocess.Popen(
        [sys.executable, "-c", START, str(tmp_path / "c.sqlite")],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert running.stdout and running.stderr
    port = int(running.stdout.readline().partition("/?")[0].rpartition(":")[2])
    for sent in (b"hello\r\n\r\n", b"GET /secret-K07 HTTP/1.1\r\nUpgrade: websocket\r\nConnection: upgrade\r\nHost: a\r\n\r\n",
                 b"\x16\x03\x01", b"POST / HTTP/1.1\r\nHost: a\r\nOrigin: http://[\r\nContent-Length: 5\r\n\r\nab",
                 b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", b"GET /%ff%fe%00 HTTP/1.1\r\nHost: \xff\r\n\r\n"):  # fmt: skip
        with socket.create_connection(("127.0.0.1", port), timeout=20) as raw:
            raw.sendall(sent)
            time.sleep(0.2)
    running.send_signal(signal.SIGINT)
    assert running.wait(20) == 0
    assert told(running.stderr) == "The desk is closed.\n"


def test_who_does_not_read_the_answer_is_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """The clock of an answer that is not taken starts, and ends the connection."""
    import asyncio

    from uvicorn import Config
    from uvicorn.server import ServerState

    from approx.web.server import wire

    monkeypatch.setattr(wire, "TAKE_SECONDS", 0.3)

    async def large(scope: object, receive: object, send: object) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})  # type: ignore[operator]
        for _ in range(2000):
            await send({"type": "http.response.body", "body": b"x" * 65_536, "more_body": True})  # type: ignore[operator]

    async def run() -> float:
        config, state = Config(large, log_config=None, lifespan="off"), ServerState()  # type: ignore[arg-type]
        loop = asyncio.get_running_loop()
        server = await loop.create_server(lambda: wire.Wire(config, state, {}), "127.0.0.1", 0)
        port = server.sockets[0].getsockname()[1]
        with socket.socket() as raw:
            raw.setblocking(False)
            await loop.sock_connect(raw, ("127.0.0.1", port))
            await loop.sock_sendall(raw, b"GET / HTTP/1.1\r\nHost: a\r\n\r\n")
            begun = time.monotonic()
            await asyncio.sleep(0.1)
            while state.connections and time.monotonic() - begun < 10:
                await asyncio.sleep(0.05)
            server.close()
            return time.monotonic() - begun

    assert asyncio.run(run()) < 5


def test_the_parts_of_an_answer_go_at_once() -> None:
    """Head and body are two parts: where the second waits until the first was confirmed, each answer comes 40 ms later."""
    from asyncio import Transport, get_running_loop, open_connection, run

    from uvicorn import Config
    from uvicorn.server import ServerState

    from approx.web.serve import listening
    from approx.web.server.wire import Wire

    told: list[int] = []

    class Accepted(Wire):
        def connection_made(self, transport: Transport) -> None:  # type: ignore[override]
            super().connection_made(transport)
            told.append(transport.get_extra_info("socket").getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            transport.close()

    async def nothing(scope: object, receive: object, send: object) -> None:
        """Nobody asks."""

    async def ask() -> None:
        listener, config = listening(0), Config(nothing, log_config=None, lifespan="off")  # type: ignore[arg-type]
        assert listener is not None
        made = lambda: Accepted(config, ServerState(), {})  # noqa: E731
        async with await get_running_loop().create_server(made, sock=listener):
            reader, writer = await open_connection(*listener.getsockname())
            assert await reader.read() == b""
            writer.close()

    run(ask())
    assert len(told) == 1 and told[0] != 0
