"""The program where people meet it: version, completion, terminals of any width, C locale, pipes that close, a full disk."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios
import unicodedata
from pathlib import Path

import pytest
from fast_cases import only
from places import ROOT

from approx.version import __version__

START = [sys.executable, "-m", "approx"]
SUGGEST = ("suggest", "big spoon", "--child", "samples/m12.toml")
CLEAN = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "LC_", "LANG", "COLUMNS"))}
CLEAN["PYTHONPATH"] = str(ROOT)


def ran(*words: str, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*START, *words], cwd=ROOT, env=CLEAN | env, capture_output=True, encoding="utf-8", timeout=60, check=False
    )


def in_shell(line: str) -> tuple[list[int], str]:
    """Exit codes of every program of a pipe, and what went to stderr; `approx` is the program."""
    script = f'approx() {{ {" ".join(START)} "$@"; }}\n{line}\necho "${{PIPESTATUS[@]}}"'
    got = subprocess.run(
        ["bash", "-c", script], cwd=ROOT, env=CLEAN, capture_output=True, encoding="utf-8", timeout=60, check=False
    )
    return list(map(int, got.stdout.split("\n")[-2].split())), got.stderr


def in_terminal(columns: int, *words: str, **env: str) -> tuple[int, list[str]]:
    """Exit code and lines in a terminal so many columns wide."""
    child, screen = pty.fork()
    if child == 0:
        fcntl.ioctl(1, termios.TIOCSWINSZ, struct.pack("HHHH", 50, columns, 0, 0))
        os.chdir(ROOT)
        os.execvpe(START[0], [*START, *words], CLEAN | {"TERM": "xterm-256color"} | env)
    out = b""
    try:
        while block := os.read(screen, 65536):
            out += block
    except OSError:
        pass  # the terminal is closed when the program ends
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status), out.decode().replace("\r\n", "\n").splitlines()


def width(line: str) -> int:
    return sum(not unicodedata.combining(char) for char in line)


def test_the_version_by_option_command_and_module() -> None:
    assert ran("--version").stdout == ran("version").stdout == f"{__version__}\n"
    assert re.fullmatch(r"\d+\.\d+\.\d+", __version__)


@pytest.mark.parametrize("shell", only(("bash", "zsh", "fish"), "bash"))
def test_a_shell_is_told_how_to_complete(shell: str) -> None:
    script = ran("--completion", shell)
    assert script.returncode == 0 and "_APPROX_COMPLETE" in script.stdout and script.stderr == ""


def test_commands_and_options_are_completed() -> None:
    """As the script of bash asks: words typed so far, and which of them is to be completed."""
    asked = {"_APPROX_COMPLETE": "bash_complete"}
    assert ran(COMP_WORDS="approx sco", COMP_CWORD="1", **asked).stdout.split() == ["plain,score"]
    options = ran(COMP_WORDS="approx score --al", COMP_CWORD="2", **asked).stdout.split()
    assert options == ["plain,--allow-problems"]
    assert ran("--completion", "csh").returncode == 2


@pytest.mark.parametrize(
    "words",
    only(
        (("--help",), ("score", "--help"), ("list", "measures"), ("about", "stopping"), ("words", "--child", "samples/m12.toml")),
        ("--help",), ("words", "--child", "samples/m12.toml"),
    ),
)  # fmt: skip
def test_forty_columns_are_enough(words: tuple[str, ...]) -> None:
    """Nothing is cut, and blocks stand where a table would not fit; only plain sentences are left to the terminal to fold."""
    code, lines = in_terminal(40, *words)
    assert code == 0 and not any("│" in line for line in lines)
    if words[-1] == "--help":
        assert max(map(width, lines)) <= 40
    else:
        labelled = [line for line in lines if re.match(r"(word|id|where|source|rule|change|adult says): ", line)]
        assert len(labelled) > 5 and max(map(width, labelled)) <= 40


@pytest.mark.parametrize("columns", only((66, 80, 100, 160), 66, 100))
def test_tables_fit_the_terminal(columns: int) -> None:
    code, lines = in_terminal(columns, "suggest", "big spoon", "--child", "samples/m12.toml")
    drawn = [line for line in lines if line[:1] in "┌│├└"]
    assert code == 0 and all(word in "\n".join(lines) for word in ("bɪd", "poon", "velar", "cluster"))
    assert all(width(line) <= columns for line in drawn)
    assert drawn or columns < 80


def test_no_colours_not_even_where_they_are_wished_for() -> None:
    for env in ({"FORCE_COLOR": "1"}, {}):
        code, lines = in_terminal(100, *SUGGEST, **env)
        assert code == 0 and not any("\x1b" in line for line in lines)


def test_the_c_locale_loses_no_symbol() -> None:
    plain = ran(*SUGGEST)
    there = ran(*SUGGEST, LC_ALL="C", LANG="C", PYTHONCOERCECLOCALE="0", PYTHONUTF8="0")
    assert there.returncode == 0 and there.stdout == plain.stdout and "bɪɡ" in there.stdout and there.stderr == ""


@pytest.mark.slow
def test_a_reader_that_leaves_changes_no_exit_code(tmp_path: Path) -> None:
    """The answer of `list` and of a page is longer than a pipe holds; the reader takes one line, or none."""
    for command in ("list processes", "score samples/k07.csv --json", "processes samples/t03.csv --csv", "--help"):
        for reader in ("head -n 1", "true"):
            codes, said = in_shell(f"approx {command} | {reader} > {tmp_path / 'out'}")
            assert codes == [0, 0] and said == "", command


def test_problems_are_told_though_the_reader_has_left(tmp_path: Path) -> None:
    sample = tmp_path / "sample.csv"
    rows = "".join(f"cup{number},kʌp,tʌp\n" for number in range(400))
    sample.write_text(f"target_word,target_ipa,produced_ipa\n{rows}pen,p☃n,pɛn\n", encoding="utf-8")
    codes, said = in_shell(f"approx processes {sample} --json | true")
    assert codes == [1, 0] and said.count("☃")


def test_a_closed_output_and_a_full_disk() -> None:
    codes, said = in_shell("approx list processes >&-")
    assert codes == [0] and said == ""
    codes, said = in_shell("approx list processes > /dev/full")
    assert codes == [2] and len(said.splitlines()) == 1 and "No space left" in said
