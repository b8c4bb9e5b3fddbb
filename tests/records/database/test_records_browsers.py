"""The browsers that may come in: hashed, listed, revoked, forgotten when they stay away."""

from __future__ import annotations

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

from approx.records.database.browsers import Browsers


def test_a_mark_stands_nowhere_in_the_file(tmp_path: Path) -> None:
    browsers = Browsers(tmp_path / "c.sqlite")
    mark = browsers.remember("Firefox, Linux")
    assert len(mark) >= 43  # 256 bits
    for file in tmp_path.iterdir():
        assert mark.encode() not in file.read_bytes()
        assert file.stat().st_mode & 0o077 == 0
    assert [file.name for file in tmp_path.iterdir()] == ["c.sqlite.browsers"]


def test_it_is_known_to_another_start_and_to_no_other_caseload(tmp_path: Path) -> None:
    mark = Browsers(tmp_path / "c.sqlite").remember("Firefox, Linux")
    found = Browsers(tmp_path / "c.sqlite").find(mark)
    assert found is not None and found.label == "Firefox, Linux"
    assert Browsers(tmp_path / "other.sqlite").find(mark) is None
    for wrong in ("", mark[:-1], mark + "x", mark.swapcase(), "\ud800", "é"):
        assert Browsers(tmp_path / "c.sqlite").find(wrong) is None


def test_revoked_in_one_desk_it_is_out_of_the_other(tmp_path: Path) -> None:
    one, two = Browsers(tmp_path / "c.sqlite"), Browsers(tmp_path / "c.sqlite")
    marks = [one.remember(name) for name in ("a", "b", "c")]
    assert [browser.label for browser in two.listed()] == ["c", "b", "a"]
    assert all(two.find(mark) for mark in marks)
    assert one.revoke(two.listed()[0].id)
    assert two.find(marks[2]) is None and two.find(marks[1]) is not None
    assert two.revoke_all() == 2 and one.listed() == () and one.find(marks[0]) is None
    assert not one.revoke(99)


def test_one_that_stays_away_is_forgotten(tmp_path: Path) -> None:
    browsers = Browsers(tmp_path / "c.sqlite")
    old, late = browsers.remember("old"), browsers.remember("late")
    with closing(sqlite3.connect(browsers.path)) as raw, raw:
        raw.execute("UPDATE browsers SET seen = '2020-01-01' WHERE label = 'old'")
        raw.execute("UPDATE browsers SET seen = date('now', '-399 days') WHERE label = 'late'")
    assert browsers.find(old) is None and [browser.label for browser in browsers.listed()] == ["late"]
    assert browsers.find(late) is not None
    with closing(sqlite3.connect(browsers.path)) as raw:
        assert raw.execute("SELECT seen = date('now') FROM browsers WHERE label = 'late'").fetchone() == (1,)
    browsers.remember("new")
    with closing(sqlite3.connect(browsers.path)) as raw:
        assert raw.execute("SELECT label FROM browsers ORDER BY id").fetchall() == [("late",), ("new",)]


def test_a_damaged_list_lets_nobody_in_and_stops_nothing(tmp_path: Path) -> None:
    browsers = Browsers(tmp_path / "c.sqlite")
    mark = browsers.remember("a")
    browsers.path.write_bytes(b"no database, but long enough to be looked at" * 100)
    assert browsers.find(mark) is None and browsers.listed() == ()
    again = browsers.remember("b")  # for this start only
    assert browsers.find(again) is not None and Browsers(tmp_path / "c.sqlite").find(again) is None
    assert browsers.revoke(browsers.listed()[0].id) and browsers.find(again) is None


def test_many_at_once(tmp_path: Path) -> None:
    def come_in(number: int) -> str:
        return Browsers(tmp_path / "c.sqlite").remember(str(number))

    with ThreadPoolExecutor(8) as pool:
        marks = list(pool.map(come_in, range(24)))
    browsers = Browsers(tmp_path / "c.sqlite")
    assert len(set(marks)) == 24 and all(browsers.find(mark) for mark in marks)
