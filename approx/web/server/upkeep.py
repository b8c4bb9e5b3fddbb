"""What the desk does while nobody taps: the log moved into the file, the copy of the day, traces swept away, and the memory
of a large upload given back."""

from __future__ import annotations

import ctypes
import gc
import os
import sys
from contextlib import suppress
from datetime import date
from threading import Event, Thread
from typing import TYPE_CHECKING

from approx.records.database.rows import Refused

if TYPE_CHECKING:
    from approx.records.caseload import Caseload
    from approx.web.server.desk import Desk

EVERY_SECONDS = 0.4
"""A log that did not change for so long is moved into the file."""

GIVE_BACK = 24_000_000
"""Bytes that have to have been taken since the last time before memory is given back."""

FIRST_COPY_AFTER = 3.0
"""Seconds from the start to the copy of the day, so that the first page does not wait for it."""


class Upkeep:
    """A thread beside the desk, from `start` to `stop`."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._stop = Event()
        self._thread = Thread(target=self._run, daemon=True)
        self._copied_on = ""
        self._log: tuple[int, int] | None = None
        self._held = self._before = 0

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """End, after what is being done."""
        self._stop.set()
        self._thread.join(20)

    def _run(self) -> None:
        looks = 0
        while not self._stop.wait(EVERY_SECONDS):
            looks += 1
            caseload = self._desk.opened
            self._give_back()
            if caseload is not None:
                self._settle(caseload)
                if looks * EVERY_SECONDS >= FIRST_COPY_AFTER:
                    self._copy(caseload)

    def _give_back(self) -> None:
        """After a large piece of work, once the memory held has not changed for a while."""
        held = held_bytes()
        if held > self._before + GIVE_BACK and abs(held - self._held) < GIVE_BACK // 8:
            give_back()
            held = self._before = held_bytes()
        self._held = held
        self._before = min(self._before or held, held)

    def _settle(self, caseload: Caseload) -> None:
        log = None
        with suppress(OSError):
            found = os.stat(f"{caseload.path}-wal")
            log = found.st_mtime_ns, found.st_size
        if log is not None and log == self._log:
            if caseload.unswept:
                caseload.sweep()
            elif log[1]:
                caseload.settle()
        self._log = log

    def _copy(self, caseload: Caseload) -> None:
        """Once a day; where the disk refuses it, the next day, and the page says which copy is the last."""
        day = date.today().isoformat()
        if day != self._copied_on:
            self._copied_on = day
            copy = caseload.copy_today()
            self._desk.copy_problem = copy if isinstance(copy, Refused) else None


def held_bytes() -> int:
    """Memory of this program as the system counts it; 0 where the system does not say so in a file."""
    try:
        with open("/proc/self/statm", encoding="ascii") as told:
            return int(told.read().split()[1]) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, ValueError, AttributeError, IndexError):
        return 0


def give_back() -> None:
    """Free what is held for nothing, and hand it to the system, which the usual C library of Linux does only when told to."""
    gc.collect()
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).malloc_trim(0)
