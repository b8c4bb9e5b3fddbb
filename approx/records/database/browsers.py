"""The browsers that may open the desk over a caseload: each came in once by a start link and keeps a long-lived mark.

They stand in a small file beside the caseload, not in it, because a locked caseload cannot be read before its
passphrase is typed, and because no mark of a browser belongs into a copy or an export. Only a hash of each mark is
kept; the mark itself is random enough (256 bits) that a plain hash gives it away to nobody. Where the file cannot be
written, the browsers of this start are remembered until it ends.
"""

from __future__ import annotations

import hashlib
import os
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from threading import Lock

KEPT_UNUSED = timedelta(days=400)
"""How long a browser that does not come back is remembered; browsers keep no cookie longer (RFC 6265bis, 5.5)."""

LONGEST_LABEL, MOST_BROWSERS = 60, 200
_TABLE = (
    "CREATE TABLE IF NOT EXISTS browsers (id INTEGER PRIMARY KEY AUTOINCREMENT, hash TEXT NOT NULL UNIQUE,"
    " label TEXT NOT NULL, made TEXT NOT NULL, seen TEXT NOT NULL)"
)


@dataclass(frozen=True, slots=True)
class KnownBrowser:
    """One browser that may come in. `made`, `seen`: days, ISO. `label` says which one it is, in words."""

    id: int
    label: str
    made: str
    seen: str


class Browsers:
    """The list of one caseload. May be used from several threads, and by several desks over one file."""

    def __init__(self, caseload: Path) -> None:
        self.path = caseload.with_name(f"{caseload.name}.browsers")
        self._lock = Lock()
        self._stamp: tuple[int, int, int] | None = None
        self._known: dict[str, KnownBrowser] = {}
        self._unwritten: dict[str, KnownBrowser] = {}

    def remember(self, label: str) -> str:
        """A mark for one more browser, to be handed to it alone: nobody can read it here again."""
        mark, day = secrets.token_urlsafe(32), _today()
        label = "".join(sign for sign in label if sign.isprintable())[:LONGEST_LABEL]
        with self._lock:
            try:
                with self._open() as raw:
                    raw.execute("INSERT INTO browsers (hash, label, made, seen) VALUES (?, ?, ?, ?)",
                                (_hash(mark), label, day, day))  # fmt: skip
                    raw.execute("DELETE FROM browsers WHERE seen < ? OR id NOT IN"
                                " (SELECT id FROM browsers ORDER BY id DESC LIMIT ?)",
                                (_today(-KEPT_UNUSED), MOST_BROWSERS))  # fmt: skip
            except (OSError, sqlite3.Error):
                self._unwritten[_hash(mark)] = KnownBrowser(-1 - len(self._unwritten), label, day, day)
        return mark

    def find(self, mark: str) -> KnownBrowser | None:
        """The browser that has this mark; None if there is none, or if it was revoked or not used for too long."""
        if not mark:
            return None
        wanted = _hash(mark)
        with self._lock:
            self._read()
            found = self._known.get(wanted) or self._unwritten.get(wanted)
            if found is None or found.seen < _today(-KEPT_UNUSED):
                return None
            if found.seen < _today() and found.id > 0:
                self._seen(found)
        return found

    def listed(self) -> tuple[KnownBrowser, ...]:
        """All browsers that may come in, the one that came in last first."""
        with self._lock:
            self._read()
            there = (*self._unwritten.values(), *self._known.values())
        fresh = [browser for browser in there if browser.seen >= _today(-KEPT_UNUSED)]
        return tuple(sorted(fresh, key=lambda browser: abs(browser.id), reverse=True))

    def revoke(self, browser_id: int) -> bool:
        """Let a browser in no longer, from the next request on; False if there is no such browser."""
        with self._lock:
            return self._forget(browser_id)

    def revoke_all(self) -> int:
        """Let none of them in any longer; how many there were."""
        with self._lock:
            self._read()
            there = [browser.id for browser in (*self._known.values(), *self._unwritten.values())]
            return sum(self._forget(browser_id) for browser_id in there)

    def _forget(self, browser_id: int) -> bool:
        for mark, browser in list(self._unwritten.items()):
            if browser.id == browser_id:
                del self._unwritten[mark]
                return True
        try:
            with self._open() as raw:
                gone = raw.execute("DELETE FROM browsers WHERE id = ?", (browser_id,)).rowcount
        except (OSError, sqlite3.Error):
            return False
        self._stamp = None
        return gone > 0

    def _seen(self, browser: KnownBrowser) -> None:
        """Once a day, so that asking writes nothing."""
        try:
            with self._open() as raw:
                raw.execute("UPDATE browsers SET seen = ? WHERE id = ?", (_today(), browser.id))
        except (OSError, sqlite3.Error):
            return

    def _read(self) -> None:
        """The list as it is in the file now; looked at only when the file has changed."""
        try:
            now = os.stat(self.path)
            stamp = now.st_ino, now.st_mtime_ns, now.st_size
            if stamp == self._stamp:
                return
            with self._open() as raw:
                rows = raw.execute("SELECT hash, id, label, made, seen FROM browsers").fetchall()
        except (OSError, sqlite3.Error):  # no file: nobody; a damaged one lets nobody in
            self._stamp, self._known = None, {}
            return
        self._stamp, self._known = stamp, {row[0]: KnownBrowser(*row[1:]) for row in rows}

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """A transaction over the file, which is made for the eyes of its owner only."""
        if not self.path.exists():
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            os.close(os.open(self.path, os.O_CREAT | os.O_RDWR, 0o600))
        raw = sqlite3.connect(str(self.path), timeout=5)
        try:
            raw.execute("PRAGMA secure_delete = ON")
            with raw:
                raw.execute(_TABLE)
                yield raw
        finally:
            raw.close()


def _hash(mark: str) -> str:
    return hashlib.sha256(mark.encode("utf-8", "surrogatepass")).hexdigest()


def _today(offset: timedelta = timedelta()) -> str:
    day: date = (datetime.now(UTC) + offset).date()
    return day.isoformat()
