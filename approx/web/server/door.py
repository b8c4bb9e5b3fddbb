"""Who comes in: a start link that opens the desk once, and the browsers that came in by one.

The key in a link is spent by the first browser that opens it. That browser gets a mark of its own (`Browsers`), by
which a bookmark works after a restart, and which can be revoked on the page.
"""

from __future__ import annotations

import hmac
from threading import Lock

from approx.records.database.browsers import Browsers, KnownBrowser

_NAMES = (("Edg/", "Edge"), ("Firefox/", "Firefox"), ("Chromium/", "Chromium"), ("Chrome/", "Chrome"),
          ("Safari/", "Safari"))  # fmt: skip
_SYSTEMS = (("Android", "Android"), ("iPhone", "iPhone"), ("iPad", "iPad"), ("Windows", "Windows"), ("Mac OS", "macOS"),
            ("CrOS", "ChromeOS"), ("Linux", "Linux"))  # fmt: skip


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
