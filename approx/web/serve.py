"""The desk on this computer's own address, until it is told to stop."""

from __future__ import annotations

import gc
import secrets
import signal
import socket
import sys
import threading
import webbrowser
from contextlib import suppress
from functools import partial
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import uvicorn

ADDRESS = "127.0.0.1"
ANSWER_SECONDS = 2.0
"""How long one who holds the port is given to say that it is a desk."""
READY_AFTER = 1.5
"""Seconds after which the packages that the first page does not need are loaded, before anybody asks for them."""


def listening(port: int) -> socket.socket | None:
    """A socket on the loopback address; port 0 takes a free one. None if the port is taken.

    It listens from now on, so that a browser which is quicker than the rest of the start only waits.
    """
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":  # there the option would let a second desk take the same port
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((ADDRESS, port))
        made.listen(64)
    except OSError:
        made.close()
        return None
    return made


def is_desk(port: int) -> bool:
    """True where a desk answers at a port: it refuses a stranger by its own name."""
    from http.client import HTTPConnection, HTTPException

    asked = HTTPConnection(ADDRESS, port, timeout=ANSWER_SECONDS)
    try:
        asked.request("GET", "/")
        return b"approx desk" in asked.getresponse().read(4_000)
    except (OSError, HTTPException):
        return False
    finally:
        asked.close()


def serve(listener: socket.socket, file: Path | None, browser: bool, language: str) -> int:
    """Answer until Ctrl-C. The address with its key is the one line on stdout, printed when the first page is ready."""
    # what is loaded now is kept until the end: looking through it for garbage while it comes in takes a sixth of the start
    gc.disable()
    key = secrets.token_urlsafe(24)
    port = listener.getsockname()[1]
    url = f"http://{ADDRESS}:{port}/?key={key}"
    if browser:  # it starts while the rest is loaded; what it asks meanwhile waits at the socket
        threading.Thread(target=webbrowser.open, args=(url,), daemon=True).start()
    import uvicorn

    from approx.web.app import desk_app
    from approx.web.server.desk import Desk
    from approx.web.server.upkeep import Upkeep
    from approx.web.server.wire import Wire

    desk = Desk(file, key, language)
    settings = uvicorn.Config(
        desk_app(desk, port), log_config=None, log_level="critical", access_log=False, lifespan="off",
        server_header=False, date_header=False, timeout_keep_alive=10,
        timeout_graceful_shutdown=2, ws="none", proxy_headers=False, loop="asyncio", http=Wire,
    )  # fmt: skip
    settings.load()
    import approx.web.pages.caseload_pages  # noqa: F401  # loaded before the address is printed

    desk.make_ready()
    gc.freeze()
    gc.enable()
    server = uvicorn.Server(settings)
    _end_well(server)
    desk.stop = partial(setattr, server, "should_exit", True)
    print(url, flush=True)
    upkeep = Upkeep(desk)
    upkeep.start()
    warming = threading.Timer(READY_AFTER, _warm)
    warming.daemon = True
    warming.start()
    try:
        server.run(sockets=[listener])
    except KeyboardInterrupt:  # uvicorn has ended well by then, and hands the key stroke on
        pass
    finally:
        warming.cancel()
        upkeep.stop()
        desk.close()
    with suppress(OSError):  # the terminal may be gone
        print("The desk is closed.", file=sys.stderr)
    return 0


def _end_well(server: uvicorn.Server) -> None:
    """A signal to end, or the terminal's window closed, ends the desk as Ctrl-C does, so that the file is left whole."""

    def end(number: int, frame: FrameType | None) -> None:
        server.should_exit = True

    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):
        number = getattr(signal, name, None)
        if number is not None:
            signal.signal(number, end)


def _warm() -> None:
    """Load what scores, explains and suggests, so that the first phrase and the first sample come as quickly as others."""
    import approx.web.forms.progress_facts
    import approx.web.forms.sample_analysis  # noqa: F401  # for the time that the import takes
    from approx.api.practice.suggesting import suggest
    from approx.web.forms.profile_form import common_start

    suggest("mud", common_start("X01", "en-US"))
