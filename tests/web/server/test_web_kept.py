"""When something was saved last and which copy is the last: on the first page and among the files; a damaged file's way out."""

from __future__ import annotations

import os
from datetime import date, datetime
from pathlib import Path

import pytest
from desk_client import Browser
from filled_caseload import filled, opened, sure

from approx.records.database.copies import daily_copies
from approx.records.database.daily_copy import DailyCopy
from approx.records.database.refusals import refusal
from approx.records.database.rows import Refused
from approx.web.server.desk import Desk
from approx.web.server.upkeep import Upkeep

DAMAGE = b"SQLite format 3\0" + bytes(range(256)) * 64


def copied(path: Path) -> str:
    """A filled caseload with a copy of today beside it; the day."""
    caseload = filled(path)
    sure(caseload.copy_today())
    caseload.close()
    return date.today().isoformat()


@pytest.mark.parametrize("page", ["/", "/files"])
def test_last_saved_and_last_copy_are_shown(tmp_path: Path, page: str) -> None:
    file = tmp_path / "caseload.sqlite"
    filled(file).close()
    moment = datetime(2026, 3, 2, 14, 5).astimezone()
    os.utime(file, (moment.timestamp(), moment.timestamp()))
    browser = Browser(file)  # looking at a file is no saving
    text = browser.get(page).text
    assert "Last saved 2026-03-02 14:05." in text and "No copy yet" in text
    sure(browser.desk.caseload.copy_today())
    assert f"Last copy {date.today().isoformat()}." in browser.get(page).text
    assert browser.post("/children", code="X09").status_code == 200
    assert f"Last saved {date.today().isoformat()}" in browser.get(page).text
    browser.desk.close()


def test_a_copy_that_cannot_be_made_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "caseload.sqlite"
    filled(file).close()
    browser = Browser(file)
    no_room = refusal("full", "the disk is full", "make room").answer
    monkeypatch.setattr(DailyCopy, "copy_today", lambda self: no_room)
    Upkeep(browser.desk)._copy(browser.desk.caseload)
    text = browser.get("/").text
    assert "Today&#39;s copy could not be made:" in text and "the disk is full" in text
    browser.desk.close()


def test_a_damaged_file_offers_its_last_copy_on_the_page_and_takes_it(tmp_path: Path) -> None:
    file = tmp_path / "caseload.sqlite"
    day = copied(file)
    file.write_bytes(DAMAGE)
    browser = Browser(file)
    page = browser.get("/").text
    assert "is damaged" in page and f"Restore the copy of {day}" in page and 'action="/put-back"' in page
    answer = browser.post("/put-back")
    assert answer.url.path == "/" and "The copy was restored." in answer.text and "K07" in answer.text
    assert [kept.read_bytes() for kept in tmp_path.glob("*.damaged-*")] == [DAMAGE]
    browser.desk.close()


def test_a_locked_one_takes_its_locked_copy_and_asks_again(tmp_path: Path) -> None:
    file = tmp_path / "caseload.sqlite"
    caseload = opened(file, "a long passphrase")
    sure(caseload.add_child("K07"))
    sure(caseload.copy_today())
    caseload.close()
    file.write_bytes(os.urandom(8192))
    browser = Browser(file)
    assert "put-back" not in browser.get("/unlock").text  # nobody has tried the passphrase yet
    assert 'action="/put-back"' in browser.post("/unlock", passphrase="a long passphrase").text
    assert browser.post("/put-back").url.path == "/unlock"
    assert "K07" in browser.post("/unlock", passphrase="a long passphrase").text
    browser.desk.close()


def test_nothing_is_put_over_a_file_that_opens(tmp_path: Path) -> None:
    file = tmp_path / "caseload.sqlite"
    copied(file)
    browser = Browser(file)
    sure(browser.desk.caseload.add_child("X09"))
    assert "X09" in browser.post("/put-back").text
    assert not list(tmp_path.glob("*.damaged-*"))
    browser.desk.close()


def test_without_a_copy_none_is_offered(tmp_path: Path) -> None:
    file = tmp_path / "caseload.sqlite"
    copied(file)
    for copy in daily_copies(file).values():
        copy.unlink()
    file.write_bytes(DAMAGE)
    browser = Browser(file)
    page = browser.get("/").text
    assert "look in your own backups" in page and "put-back" not in page
    assert isinstance(Desk(file, "k").put_back(), Refused) and file.read_bytes() == DAMAGE
