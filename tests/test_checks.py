"""Checks that can fail: what no test may say, because it holds whatever the program does."""

from __future__ import annotations

import re

import pytest
from conftest import CommandLine
from places import ROOT
from typed_commands import run

from approx.cli.main import main
from approx.problems import WRONG_USE

TESTS = sorted((ROOT / "tests").rglob("*.py"))
# the entry point turns a fault into one line, so a test that looks for the head of a traceback sees none of them
BLIND = re.compile(r"[\"']Traceback")


@pytest.mark.parametrize("line", ['assert "Traceback" not in err', "found = 'Traceback (most recent' in said"])
def test_a_blind_check_is_found(line: str) -> None:
    assert BLIND.search(line)


def test_no_test_looks_for_a_traceback() -> None:
    found = [
        f"{file.relative_to(ROOT)}:{number}"
        for file in TESTS
        if file.name != "test_checks.py"
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if BLIND.search(line)
    ]
    assert found == []


def test_a_fault_of_the_program_fails_the_test_that_meets_it(cli: CommandLine, monkeypatch: pytest.MonkeyPatch) -> None:
    """In this process both ways of running a command let a fault through; for a user it is one line."""

    def broken(*_: object, **__: object) -> None:
        raise FileNotFoundError("rules.toml")

    monkeypatch.setattr("approx.cli.output.print_problems", broken)
    with pytest.raises(FileNotFoundError):
        cli("suggest", "spoon")
    with pytest.raises(FileNotFoundError):
        run("suggest", "spoon")


def test_a_user_sees_one_line(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def broken(*_: object, **__: object) -> None:
        raise KeyError("K07")

    monkeypatch.setattr("approx.cli.output.print_problems", broken)
    monkeypatch.setattr("sys.argv", ["approx", "suggest", "spoon"])
    with pytest.raises(SystemExit) as ended:
        main()
    (said,) = capsys.readouterr().err.splitlines()
    assert ended.value.code == WRONG_USE
    assert (
        said.startswith("approx: fault of the program, not of your data (KeyError at test_checks.py:")
        and "K07" not in said
    )
