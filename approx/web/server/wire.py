"""HTTP as it comes over the wire, bounded by time: who opens a connection and does not ask, or does not read, is let go.

uvicorn limits connections by number alone, and waits for the first request without end; so sixty-four half-open ones
would shut everybody else out. Here a request's head has to arrive within `HEAD_SECONDS` of its beginning, an answer has
to be taken within `TAKE_SECONDS`, and where there are too many connections the one that has waited longest goes. What
is no HTTP gets the guard's headers too, and nothing is written down.
"""

from __future__ import annotations

from asyncio import TimerHandle, Transport
from socket import IPPROTO_TCP, TCP_NODELAY
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from approx.web.server.guard import HEADERS

HEAD_SECONDS, TAKE_SECONDS = 5.0, 60.0
MOST_CONNECTIONS = 256
"""A browser opens six; more are somebody else's, and the oldest that asks nothing makes room."""


class Wire(H11Protocol):
    """One connection."""

    _late: TimerHandle | None = None
    _stuck: TimerHandle | None = None

    def connection_made(self, transport: Transport) -> None:  # type: ignore[override]
        """Let in, for as long as its first request may take."""
        super().connection_made(transport)
        # Head and body of an answer go at once, or the second waits for the first to be confirmed, some 40 ms an answer (Nagle's
        # algorithm: RFC 9293, 3.7.4). asyncio sees to it only where an accepted socket names its protocol, which ours does not.
        transport.get_extra_info("socket").setsockopt(IPPROTO_TCP, TCP_NODELAY, 1)
        self._wait()
        if len(self.connections) > MOST_CONNECTIONS:
            waiting = [other for other in self.connections if isinstance(other, Wire) and other._late is not None]
            min(waiting, key=lambda other: other._due, default=self)._abort()

    def connection_lost(self, exc: Exception | None) -> None:
        """Gone, whoever ended it."""
        self._stop_waiting()
        self._taken()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Some bytes. A head that is not whole yet keeps the time it has left."""
        try:
            super().data_received(data)
        except Exception:  # whatever the parser or a name in the head makes of any bytes; nothing was begun
            self.send_400_response("")
            return
        if self._asking():
            self._stop_waiting()
        elif self._late is None:
            self._wait()

    def on_response_complete(self) -> None:
        """Answered. What of a request has not come by then is not waited for without end."""
        super().on_response_complete()
        if not self.transport.is_closing() and self.conn.their_state is not h11.IDLE and not self._asking():
            self._wait()

    def pause_writing(self) -> None:
        """The other side does not read; for a time it may."""
        self.flow.pause_writing()
        self._taken()
        self._stuck = self.loop.call_later(TAKE_SECONDS, self._abort)

    def resume_writing(self) -> None:
        """It reads again."""
        self._taken()
        self.flow.resume_writing()

    def send_400_response(self, msg: str) -> None:
        """What is no request is told so, with the headers of every answer."""
        self._stop_waiting()
        text = b"This is no request.\n"
        headers: list[Any] = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
        headers += [
            ("content-type", "text/plain; charset=utf-8"),
            ("content-length", str(len(text))),
            ("connection", "close"),
        ]
        try:
            for event in (h11.Response(status_code=400, headers=headers, reason=b"Bad Request"), h11.Data(data=text),
                          h11.EndOfMessage()):  # fmt: skip
                self.transport.write(self.conn.send(event) or b"")
        except h11.LocalProtocolError:  # an answer to what came before is on its way
            self._abort()
            return
        self.transport.close()

    def _asking(self) -> bool:
        """True while a request is whole as far as its head, and not answered."""
        return self.cycle is not None and not self.cycle.response_complete

    def _wait(self) -> None:
        self._stop_waiting()
        self._due = self.loop.time() + HEAD_SECONDS
        self._late = self.loop.call_later(HEAD_SECONDS, self._abort)

    def _stop_waiting(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def _taken(self) -> None:
        if self._stuck is not None:
            self._stuck.cancel()
            self._stuck = None

    def _abort(self) -> None:
        self._stop_waiting()
        if self.transport is not None:
            self.transport.abort()
