"""`approx desk`: refusals in words, the address on stdout, an end without a traceback."""

from __future__ import annotations

import signal
import subprocess
import sys
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.request import HTTPCookieProcessor, build_opener

import pytest
from places import ROOT

from approx.cli import desk_command
from approx.problems import WRONG_USE
from approx.web import serve
from approx.web.serve import listening


@pytest.mark.parametrize(("port", "language"), [(-1, "en"), (70_000, "en"), (0, "tlh"), (0, "")])
def test_wrong_use_is_named(port: int, language: str, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert desk_command.run(tmp_path / "c.sqlite", port, False, language) == WRONG_USE
    said = capsys.readouterr()
    assert said.out == "" and "[use." in said.err and not (tmp_path / "c.sqlite").exists()


def test_a_port_that_is_taken_is_named(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serve, "ANSWER_SECONDS", 0.2)  # who holds it here never answers
    taken = listening(0)
    assert taken is not None
    port = taken.getsockname()[1]
    assert taken.getsockname()[0] == "127.0.0.1"
    assert desk_command.run(None, port, False, "en") == WRONG_USE
    taken.close()
    assert f"port {port} cannot be taken" in capsys.readouterr().err


def test_what_is_not_installed_is_named(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(desk_command, "NEEDED", ("starlette", "no_such_part"))
    assert desk_command.run(None, 0, False, "en") == WRONG_USE
    assert "not installed: no_such_part" in capsys.readouterr().err


def test_the_first_page_waits_for_no_room_that_it_does_not_need(tmp_path: Path) -> None:
    """What would slow the start is loaded later: other pages, the search, charts, documents, arrays."""
    code = (
        "import sys; from pathlib import Path; from approx.web.app import desk_app; from approx.web.server.desk import Desk;"
        "desk = Desk(Path(sys.argv[1]), 'k'); desk_app(desk, 1); import approx.web.pages.caseload_pages; desk.make_ready(); print(*sys.modules)"
    )
    command = [sys.executable, "-c", code, str(tmp_path / "c.sqlite")]
    loaded = set(subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout.split())
    assert {"sqlalchemy", "jinja2", "approx.web.pages.caseload_pages"} <= loaded
    heavy = {"numpy", "pandas", "openpyxl", "docx", "typst", "lemminflect", "uvicorn.protocols"}
    rooms = {
        "approx.practice",
        "approx.lexicon",
        "approx.reports",
        "approx.scoring.alignment.align",
        "approx.web.pages.child_pages",
    }
    assert loaded & (heavy | rooms) == set()


@pytest.mark.slow
@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM])
def test_it_prints_its_address_answers_and_ends_quietly(stop: signal.Signals, tmp_path: Path) -> None:
    code = f"from pathlib import Path; from approx.cli.desk_command import run; run(Path({str(tmp_path / 'c.sqlite')!r}), 0, False, 'es')"
    running = subprocess.Popen(
        [sys.executable, "-c", code], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert running.stdout and running.stderr
    url = running.stdout.readline().strip()
    assert url.startswith("http://127.0.0.1:") and "/?key=" in url
    page = build_opener(HTTPCookieProcessor(CookieJar())).open(url, timeout=20).read().decode("utf-8")
    assert "<h1>Hoy</h1>" in page
    running.send_signal(stop)
    rest, said = running.communicate(timeout=20)
    assert (rest, said) == ("", "The desk is closed.\n")


def test_the_whole_caseload_goes_into_a_file_and_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from filled_caseload import filled, opened, sure

    from approx.cli.desk_command import give_out, take_in

    caseload = filled(tmp_path / "a.sqlite")
    caseload.close()
    out = tmp_path / "all.zip"
    assert give_out(caseload.path, out) == 0 and out.stat().st_mode & 0o077 == 0
    assert give_out(caseload.path, out) == 1 and "there is a file 'all.zip' already" in capsys.readouterr().err
    assert take_in(tmp_path / "b.sqlite", out) == 0
    assert "taken in: K07" in capsys.readouterr().err
    assert take_in(tmp_path / "b.sqlite", out) == 1 and "[records.twice]" in capsys.readouterr().err
    other = opened(tmp_path / "b.sqlite")
    assert [line.child.code for line in sure(other.children())] == ["K07"]
    other.close()
    assert take_in(tmp_path / "b.sqlite", tmp_path / "none.zip") == 1
