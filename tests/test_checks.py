"""Checks that can fail and are run: what no test may say, because it holds whatever the program does; no slow test left out."""

from __future__ import annotations

import re
import shlex
from collections import Counter

import pytest
from conftest import CommandLine
from places import ROOT
from typed_commands import run

from approx.cli.main import main
from approx.problems import WRONG_USE

TESTS = sorted((ROOT / "tests").rglob("*.py"))
# the entry point turns a fault into one line, so a test that looks for the head of a traceback sees none of them
BLIND = re.compile(r"[\"']Traceback")


MOST_FILES = 15
"""Files of one folder, as of the program."""
OF_TESTS = {"support", "bench", "data", "golden"}


def odd_folders(files: list[str], packages: set[str]) -> list[str]:
    """Folders of tests that hold too many files (but for `bench`, scripts that are run by hand), or are called as no package and
    sub-package of the program is.

    `files`: paths below `tests/`. `packages`: folders of the program, as "scoring/bulk".
    """
    counted = Counter(file.rpartition("/")[0] for file in files)
    named = {folder for folder in counted if folder and folder.partition("/")[0] not in OF_TESTS}
    return sorted(
        {folder for folder, number in counted.items() if number > MOST_FILES and folder != "bench"} | named - packages
    )


def test_folders_of_tests_are_small_and_called_as_what_they_test() -> None:
    files = [file.relative_to(ROOT / "tests").as_posix() for file in TESTS]
    folders = {path.parent.relative_to(ROOT / "approx").as_posix() for path in (ROOT / "approx").rglob("__init__.py")}
    assert odd_folders(files, folders) == []


def test_an_odd_folder_is_found() -> None:
    files = ["test_a.py", "web/test_b.py", "web/pages/test_c.py", "support/desk/d.py"]
    assert odd_folders(files, {"web", "web/pages"}) == [] and odd_folders(files, {"web"}) == ["web/pages"]
    assert odd_folders([f"web/test_{number}.py" for number in range(MOST_FILES + 1)], {"web"}) == ["web"]


def named_slow(script: str) -> list[str]:
    """What the lines of a script that run slow tests name: folders and files, and options that would leave tests out."""
    named = []
    for line in script.replace("\\\n", " ").splitlines():
        for command in re.findall(r"-m pytest -m slow (.*?)(?:\|\||&&|$)", line.partition("#")[0]):
            words = iter(shlex.split(command))
            for word in words:
                if word == "-n":
                    next(words)
                else:
                    named.append(word)
    return named


def left_out(script: str, slow: list[str]) -> list[str]:
    """Slow tests' files that no line of the script runs whole, and what else the script names than folders and files of tests."""
    named = named_slow(script)
    odd = [word for word in named if not (ROOT / word).exists()]
    return odd + [file for file in slow if not any(f"{file}/".startswith(f"{word.rstrip('/')}/") for word in named)]


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


def test_every_slow_test_is_run_by_ci() -> None:
    slow = [
        file.relative_to(ROOT).as_posix()
        for file in TESTS
        if file.name.startswith("test_")
        and file.name != "test_checks.py"
        and "mark.slow" in file.read_text(encoding="utf-8")
    ]
    assert len(slow) > 60
    assert left_out((ROOT / ".ci/run").read_text(encoding="utf-8"), slow) == []


def test_what_ci_leaves_out_is_found() -> None:
    slow = ["tests/samples/test_workbook.py", "tests/web/test_web_story.py"]
    assert left_out("a/python -m pytest -m slow -n 2 tests/samples tests/web || b", slow) == []
    assert left_out("a/python -m pytest -m slow tests/samples -k workbook", slow[:1]) == ["-k", "workbook"]
    assert left_out("a/python -m pytest -m slow \\\n tests/samples || b", slow) == ["tests/web/test_web_story.py"]
    assert left_out("# a/python -m pytest -m slow tests/samples tests/web", slow) == slow


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
