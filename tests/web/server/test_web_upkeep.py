"""What the desk does while nobody taps: memory of large work is given back, once, when it is done."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from places import ROOT

from approx.web.server import upkeep
from approx.web.server.desk import Desk


def test_memory_is_given_back_after_large_work_and_not_in_the_midst_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    megabytes = [60, 60, 120, 170, 170, 105, 105, 105, 110, 112, 150, 150, 104]
    given: list[int] = []
    held = iter(each * 1_000_000 for each in megabytes)
    monkeypatch.setattr(upkeep, "held_bytes", lambda: next(held))
    desk = Desk(tmp_path / "c.sqlite", "key")
    work = upkeep.Upkeep(desk)
    monkeypatch.setattr(upkeep, "give_back", lambda: given.append(look))
    for look in range(11):  # noqa: B007 - what is given back notes it:
        work._give_back()
    # after 170 twice (105 are left), not while it grows nor for 7 more, and after 150 twice
    assert given == [4, 10]
    desk.close()


HELD = """
from approx.web.server.upkeep import give_back, held_bytes
there = [[str(number) * 9 for number in range(400_000)], bytearray(60_000_000)]
there[0].append(there)  # a circle, which only the collector finds
full = held_bytes()
del there
give_back()
print(full // 1_000_000, held_bytes() // 1_000_000)
"""


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="the system tells its memory otherwise")
def test_what_is_held_for_nothing_goes_back_to_the_system() -> None:
    run = subprocess.run([sys.executable, "-c", HELD], cwd=ROOT, capture_output=True, text=True, check=True)
    full, left = map(int, run.stdout.split())
    assert full > 90 and left < full - 60
