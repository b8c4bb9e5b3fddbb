"""Kills, two tabs and huge uploads, over the wire: what was confirmed is there, and nobody overwrites anybody."""

from __future__ import annotations

import random
import re
import sqlite3
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from html import unescape
from http.client import HTTPException
from itertools import count
from pathlib import Path
from threading import Thread

import pytest
from filled_caseload import filled, opened, sure
from running_desk import RunningDesk

from approx.web.server.guard import MOST_REQUEST_BYTES

pytestmark = pytest.mark.slow

KILLS, TABS = 20, 2


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A closed caseload with K07: a session and a word in work."""
    caseload = filled(tmp_path / "caseload.sqlite")
    caseload.close()
    return caseload.path


def keys_in(file: Path) -> list[str]:
    """The marks of the taps that stand in the file, read by SQLite itself."""
    with closing(sqlite3.connect(file)) as there:
        assert there.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert there.execute("PRAGMA foreign_key_check").fetchall() == []
        return [key for (key,) in there.execute("SELECT key FROM trials WHERE key <> ''")]


def test_kills_while_taps_come_in_lose_none_that_was_confirmed(file: Path) -> None:
    """Twenty kills, each in the midst of two tabs that tap without pause."""
    chance, numbers, confirmed, answers = random.Random(9), count(), set[str](), 0

    def tap(desk: RunningDesk, tab: int) -> None:
        while True:
            key = f"tab{tab}-{next(numbers)}"
            try:
                answer, _ = desk.post("/session/1/trial", target=1, help="none", result=2, key=key, part=1)
            except (OSError, HTTPException):
                return
            assert answer.status < 400
            confirmed.add(key)

    for _ in range(KILLS):
        before = len(confirmed)
        desk = RunningDesk(file)
        tabs = [Thread(target=tap, args=(desk, tab)) for tab in range(TABS)]
        for tab in tabs:
            tab.start()
        while len(confirmed) < before + 3:
            time.sleep(0.002)
        time.sleep(chance.random() / 20)  # somewhere inside a later tap
        desk.process.kill()
        for tab in tabs:
            tab.join()
        desk.process.wait(20)
        answers += 1
        there = keys_in(file)
        assert len(there) == len(set(there)) and confirmed <= set(there)
        # at most one a tab was on the disk and not yet confirmed
        assert len(there) <= len(confirmed) + TABS * answers
    assert answers == KILLS and len(confirmed) >= 3 * KILLS
    caseload = opened(file)
    assert caseload.check() is None
    tries = [trial.number for trial in sure(caseload.trials(1))]
    assert tries == list(range(1, len(tries) + 1))


def version_and_note(page: str) -> tuple[str, str]:
    """What a form of the child's facts has in it."""
    version = re.search(r'name="version" value="(\d+)"', page)
    note = re.search(r'name="note"[^>]*>([^<]*)<', page)
    assert version and note
    return version[1], unescape(note[1])


def test_two_tabs_that_save_the_same_child_lose_nothing(file: Path) -> None:
    """Each adds a mark to the note thirty times; who comes second is told, reads what stands there, and adds to that."""

    def writer(desk: RunningDesk, tab: str) -> int:
        refused = 0
        for number in range(30):
            page = desk.ask("GET", "/child/K07")[1]
            while True:
                version, note = version_and_note(page)
                saved, page = desk.post(
                    "/child/K07/facts", version=version, note=f"{note} {tab}{number}", main_language="en-US"
                )
                if saved.status == 303:
                    break
                assert saved.status == 422 and "changed in another window" in page and f"{tab}{number}" in page
                refused += 1
                page = desk.ask("GET", "/child/K07")[1]
        return refused

    with RunningDesk(file) as desk:
        with ThreadPoolExecutor(TABS) as pool:
            refused = list(pool.map(lambda tab: writer(desk, tab), ("a", "b")))
        _, note = version_and_note(desk.ask("GET", "/child/K07")[1])
    marks = note.split()
    assert sorted(mark for mark in marks if mark[0] in "ab" and mark[1:].isdigit()) == sorted(
        f"{tab}{number}" for tab in "ab" for number in range(30)
    )
    assert sum(refused) > 0  # they did meet


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningDesk]:
    """One start for the uploads."""
    caseload = filled(tmp_path_factory.mktemp("up") / "caseload.sqlite")
    caseload.close()
    with RunningDesk(caseload.path) as running:
        time.sleep(6)  # what is loaded in the background would count as memory of an upload
        yield running


def peak_megabytes(process_id: int) -> float:
    """The most memory a process has had so far (Linux)."""
    status = Path(f"/proc/{process_id}/status").read_text(encoding="ascii")
    found = re.search(r"VmHWM:\s+(\d+) kB", status)
    assert found
    return int(found[1]) / 1000


@pytest.mark.parametrize("with_length", [True, False])
def test_an_upload_of_a_hundred_megabytes_is_refused_at_the_wire(desk: RunningDesk, with_length: bool) -> None:
    """Really sent, with a length and without: refused, not kept in memory, nothing saved."""
    before, size, block = peak_megabytes(desk.process.pid), 100_000_000, b"x" * 65_536
    head = (
        f'--b\r\ncontent-disposition: form-data; name="csrf"\r\n\r\n{desk.csrf}\r\n--b\r\n'
        'content-disposition: form-data; name="file"; filename="big.csv"\r\n\r\n'
    ).encode()
    connection = desk.connection()
    connection.putrequest("POST", "/child/K07/samples")
    for name, value in desk.headers(**{"content-type": "multipart/form-data; boundary=b"}).items():
        connection.putheader(name, value)
    connection.putheader(*(("content-length", str(size)) if with_length else ("transfer-encoding", "chunked")))
    connection.endheaders()
    sent, cut = 0, False
    try:
        while sent < size:
            part = head if sent == 0 else block
            connection.send(part if with_length else b"%x\r\n%b\r\n" % (len(part), part))
            sent += len(part)
    except OSError:
        cut = True
    try:
        assert connection.getresponse().status == 413
    except (OSError, HTTPException):
        assert cut  # the desk had closed before the answer was read
    connection.close()
    assert peak_megabytes(desk.process.pid) - before < 3 * MOST_REQUEST_BYTES / 1e6
    answer, page = desk.ask("GET", "/child/K07/samples")
    assert answer.status == 200 and "big.csv" not in page


@pytest.mark.parametrize(
    ("changed", "status"),
    [
        ({"host": "evil.example"}, 403),
        ({"origin": "https://evil.example"}, 403),
        ({"cookie": ""}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({}, 200),
    ],
)
def test_the_running_desk_answers_its_own_pages_alone(desk: RunningDesk, changed: dict[str, str], status: int) -> None:
    assert desk.ask("GET", "/", **changed)[0].status == status


def test_it_listens_on_this_computer_alone(desk: RunningDesk) -> None:
    """The kernel's own table of sockets: the port is bound to 127.0.0.1 and to nothing else (Linux)."""
    port = f"{desk.parts.port:04X}"
    lines = Path("/proc/net/tcp").read_text(encoding="ascii").splitlines()[1:]
    lines += Path("/proc/net/tcp6").read_text(encoding="ascii").splitlines()[1:]
    places = {line.split()[1].rpartition(":")[0] for line in lines if line.split()[1].endswith(f":{port}")}
    assert places == {"0100007F"}


def upload(desk: RunningDesk, code: str, data: bytes) -> int:
    """The status of the answer to a file given to a child."""
    part = b'--x\r\nContent-Disposition: form-data; name="%s"%s\r\n\r\n%s\r\n'
    name = b'; filename="a.csv"\r\nContent-Type: text/csv'
    body = part % (b"csrf", b"", desk.csrf.encode()) + part % (b"file", name, data) + b"--x--\r\n"
    answer, _ = desk.ask("POST", f"/child/{code}/samples", body, **{"content-type": "multipart/form-data; boundary=x"})
    return answer.status


def test_other_pages_are_served_while_a_large_file_is_read(tmp_path: Path) -> None:
    draw = random.Random(1)
    forms = ["".join(draw.choice(signs) for signs in ("ptkbdgmnfs", "ɪɛæʌiu") * 2) for _ in range(9_000)]
    pairs = [f"w{number},{one},{other}" for number, (one, other) in enumerate(zip(forms[::2], forms[1::2]))]
    rows = ["target_word,target_ipa,produced_ipa", *(pairs[number % len(pairs)] for number in range(49_000))]
    data, slowest, started = "\n".join(rows).encode(), 0.0, time.monotonic()
    with RunningDesk(tmp_path / "c.sqlite") as desk, ThreadPoolExecutor(1) as pool:
        desk.post("/children", code="Q1")
        sent = pool.submit(upload, desk, "Q1", data)
        while not sent.done():
            begun = time.monotonic()
            assert desk.ask("GET", "/")[0].status == 200
            slowest = max(slowest, time.monotonic() - begun)
        assert sent.result() == 303
    assert slowest < (time.monotonic() - started) / 2, "the pages do not wait for the file"
