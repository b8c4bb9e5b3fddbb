"""A passphrase: nothing readable is left, a wrong one says so, and nothing is lost on the way."""

from __future__ import annotations

import sqlite3
import sys
from pathlib import Path

import pytest
from filled_caseload import code_of, fill, filled, opened, sure

from approx.records.caseload import Caseload, open_caseload
from approx.records.database import locked
from approx.records.database.rows import Refused

# long enough that chance does not write them into an encrypted file
PLAIN = (b'code     = "K07"', b"likes the garden", "ˈmɑmə".encode(), b"more mud", b"CREATE TABLE", b"SQLite format")
FIRST, SECOND = "correct horse", 'it\'s "another" — ñandú'


def readable(folder: Path) -> set[bytes]:
    """Which plain strings stand in any file of a folder."""
    content = b"\0".join(path.read_bytes() for path in sorted(folder.iterdir()))
    return {mark for mark in PLAIN if mark in content}


def all_of(caseload: Caseload) -> tuple[object, ...]:
    return (caseload.children(), caseload.progress("K07"), caseload.notes("K07"), caseload.profile_history("K07"),
            caseload.sample(1), caseload.targets("K07"), caseload.goals("K07"))  # fmt: skip


@pytest.fixture
def caseload(tmp_path: Path) -> Caseload:
    return filled(tmp_path / "caseload.sqlite")


def test_a_file_locked_from_the_start_holds_nothing_readable(tmp_path: Path) -> None:
    caseload = opened(tmp_path / "caseload.sqlite", FIRST)
    fill(caseload)
    assert caseload.locked and (tmp_path / "caseload.sqlite-wal").stat().st_size > 0
    assert readable(tmp_path) == set()
    before = all_of(caseload)
    caseload.close()
    assert readable(tmp_path) == set()
    assert all_of(opened(caseload.path, FIRST)) == before


def test_the_plain_strings_are_found_where_there_is_no_passphrase(caseload: Caseload, tmp_path: Path) -> None:
    """The check above can fail."""
    assert readable(tmp_path) == set(PLAIN)


@pytest.mark.slow
def test_set_changed_and_taken_off(caseload: Caseload, tmp_path: Path) -> None:
    before, path = all_of(caseload), caseload.path
    copy = tmp_path / "caseload.sqlite.copy-20260302-100000-000000-v1"
    copy.write_bytes(b"K07 likes the garden")
    assert caseload.set_passphrase(FIRST) is None
    assert caseload.locked and readable(tmp_path) == set() and not copy.exists()
    assert all_of(caseload) == before
    sure(caseload.add_note("K07", plan="after"))
    assert readable(tmp_path) == set()
    assert caseload.set_passphrase(SECOND) is None
    caseload.close()
    assert code_of(open_caseload(path, FIRST)) == "records.wrong_passphrase"
    again = opened(path, SECOND)
    assert len(sure(again.notes("K07"))) == 2
    assert again.remove_passphrase() is None and not again.locked
    again.close()
    plain = opened(path)
    assert plain.check() is None and len(sure(plain.notes("K07"))) == 2
    assert sorted(found.name for found in tmp_path.iterdir() if "-" not in found.name) == ["caseload.sqlite"]
    raw = sqlite3.connect(path)
    assert raw.execute("PRAGMA user_version").fetchone()[0] > 0


def test_a_wrong_passphrase_says_so_and_harms_nothing(caseload: Caseload, capfd: pytest.CaptureFixture[str]) -> None:
    caseload.set_passphrase(FIRST)
    caseload.close()
    content = caseload.path.read_bytes()
    for wrong in ("Correct horse", "' OR 1", "x'00'"):
        assert code_of(open_caseload(caseload.path, wrong)) == "records.wrong_passphrase"
    assert code_of(open_caseload(caseload.path)) == "records.locked"
    assert code_of(open_caseload(caseload.path, "")) == "records.passphrase"
    assert caseload.path.read_bytes() == content
    captured = capfd.readouterr()
    assert captured.out == captured.err == ""


def test_a_passphrase_for_an_open_file_says_so(caseload: Caseload) -> None:
    assert code_of(open_caseload(caseload.path, FIRST)) == "records.not_locked"
    for short in ("", "short", "with\x00zero"):
        assert code_of(caseload.set_passphrase(short)) == "records.passphrase"
    assert not caseload.locked and caseload.remove_passphrase() is None


def test_another_window_keeps_it_from_being_locked(caseload: Caseload) -> None:
    other = opened(caseload.path)
    assert len(sure(other.children())) == 1
    assert code_of(caseload.set_passphrase(FIRST)) == "records.busy"
    assert not caseload.locked and len(sure(caseload.notes("K07"))) == 1
    other.close()
    assert caseload.set_passphrase(FIRST) is None


@pytest.mark.slow
def test_a_window_that_comes_back_later_writes_into_no_ghost(caseload: Caseload) -> None:
    other = opened(caseload.path)
    other.close()  # lets go of its connections; a later call would make new ones
    caseload.set_passphrase(FIRST)
    answer = other.add_note("K07", plan="lost?")
    assert isinstance(answer, Refused) and answer.problems[0].code in ("records.replaced", "records.damaged")
    assert len(sure(caseload.notes("K07"))) == 1


def test_a_failure_on_the_way_leaves_the_old_file(
    caseload: Caseload, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = all_of(caseload)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(locked.os, "replace", full)
    assert code_of(caseload.set_passphrase(FIRST)) == "records.full"
    monkeypatch.undo()
    assert not caseload.locked and all_of(caseload) == before
    assert not [path for path in tmp_path.iterdir() if ".new" in path.name]


def test_what_a_kill_left_behind_is_cleared_away(caseload: Caseload, tmp_path: Path) -> None:
    (tmp_path / "caseload.sqlite.new").write_bytes(b"K07")
    (tmp_path / "caseload.sqlite.new-journal").write_bytes(b"K07")
    caseload.close()
    opened(caseload.path).close()
    assert [path.name for path in tmp_path.iterdir()] == ["caseload.sqlite"]


@pytest.mark.slow
def test_deleting_for_good_works_on_a_locked_file(caseload: Caseload) -> None:
    caseload.set_passphrase(FIRST)
    assert sure(caseload.delete_child_for_good("K07")).remarks == ()
    assert caseload.children() == () and caseload.check() is None


def test_without_the_extra_it_says_what_to_install(
    caseload: Caseload, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "sqlcipher3", None)
    for answer in (caseload.set_passphrase(FIRST), open_caseload(tmp_path / "new.sqlite", FIRST)):
        assert isinstance(answer, Refused) and "[locked]" in answer.problems[0].hint
    assert len(sure(caseload.children())) == 1


@pytest.mark.parametrize("passphrase", [None, "six mud pies"])
def test_a_file_whose_beginning_is_gone_is_damaged_and_not_locked(tmp_path: Path, passphrase: str | None) -> None:
    """Bytes that are no noise were never encrypted; asking for a passphrase would send its owner the wrong way."""
    caseload = filled(tmp_path / "c.sqlite")
    copy = sure(caseload.copy_today())
    caseload.close()
    whole = caseload.path.read_bytes()
    for damaged in (bytes(100) + whole[100:], bytes(len(whole)), b"\xff" * 2000 + whole[2000:]):
        caseload.path.write_bytes(damaged)
        answer = open_caseload(caseload.path, passphrase)
        assert isinstance(answer, Refused) and answer.problems[0].code == "records.damaged"
        assert copy is not None and copy.name in answer.problems[0].hint
    caseload.path.write_bytes(b"a letter " * 4096)
    assert code_of(open_caseload(caseload.path, passphrase)) == "records.not_caseload"
