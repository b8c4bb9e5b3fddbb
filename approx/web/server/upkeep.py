"""What the desk does for the file while nobody taps: the log moved into it, the copy of the day, traces swept away."""

from __future__ import annotations

import os
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
            if caseload is not None:
                self._settle(caseload)
                if looks * EVERY_SECONDS >= FIRST_COPY_AFTER:
                    self._copy(caseload)

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
