"""The launcher: what is written for each system, read back by the rules of its kind; a desk that is open already."""

from __future__ import annotations

import plistlib
import shlex
import struct
import subprocess
import sys
from configparser import ConfigParser
from pathlib import Path

import pytest
from running_desk import RunningDesk

from approx.problems import Problem
from approx.web.serve import is_desk
from approx.web.shortcut import START, desktop_entry, icns, ico, write_shortcut

PNG = b"\x89PNG\r\n\x1a\n"


def test_linux_gets_an_entry_that_starts_this_python(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    (tmp_path / "Desktop").mkdir()
    made = write_shortcut(None, tmp_path, "linux")
    assert not isinstance(made, Problem) and all(path.is_relative_to(tmp_path) for path in made)
    assert made[0] == tmp_path / "Desktop" / "approx-desk.desktop" and made[0].stat().st_mode & 0o100
    entry = ConfigParser(interpolation=None, strict=True)
    entry.optionxform = str  # type: ignore[assignment,method-assign]
    entry.read_string(made[0].read_text(encoding="utf-8"))
    keys = entry["Desktop Entry"]
    assert keys["Type"] == "Application" and Path(keys["Icon"]).read_bytes().startswith(b"<svg")
    command = shlex.split(keys["Exec"])
    assert command == [sys.executable, "-c", START, "desk"]
    assert "--shortcut" in subprocess.run([*command, "--help"], capture_output=True, text=True, check=True).stdout


def test_an_odd_folder_is_quoted_as_the_specification_says() -> None:
    """freedesktop.org, Desktop Entry Specification 1.5: the quoting rule first, the general escape of a backslash after."""
    line = desktop_entry(["/a b/100% $x", 'q"'], Path("/i.svg")).split("Exec=")[1].split("\n")[0]
    assert line == r'"/a b/100%% \\$x" "q\\""'


def test_macos_gets_a_bundle(tmp_path: Path) -> None:
    made = write_shortcut(tmp_path / "my caseload.sqlite", tmp_path, "darwin")
    assert not isinstance(made, Problem) and made[0].suffix == ".app"
    info = plistlib.loads((made[0] / "Contents" / "Info.plist").read_bytes())
    script = made[0] / "Contents" / "MacOS" / info["CFBundleExecutable"]
    words = shlex.split(script.read_text().splitlines()[1])
    assert words[:4] == ["exec", sys.executable, "-c", START] and words[-1].endswith("my caseload.sqlite")
    icon = (made[0] / "Contents" / "Resources" / info["CFBundleIconFile"]).read_bytes()
    assert icon[:4] == b"icns" and struct.unpack(">I", icon[4:8])[0] == len(icon) and icon[16:24] == PNG
    assert struct.unpack(">II", icon[32:40]) == (256, 256)  # the size that ic08 stands for


def test_windows_gets_a_file_of_commands_where_no_link_can_be_made(tmp_path: Path) -> None:
    """There is no PowerShell here, so what is tried first fails, and the other way is taken."""
    made = write_shortcut(None, tmp_path, "win32")
    assert not isinstance(made, Problem) and made[0].suffix == ".cmd"
    assert "pythonw.exe" in made[0].read_text() and " desk\n" in made[0].read_text()
    icon = made[1].read_bytes()
    size, begins = struct.unpack("<II", icon[14:22])
    assert icon[:4] == b"\0\0\1\0" and icon[begins : begins + 8] == PNG and begins + size == len(icon)


def test_the_headers_of_icons_count_what_follows() -> None:
    assert icns(PNG)[8:16] == b"ic08" + struct.pack(">I", 16) and ico(PNG)[22:] == PNG


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "file"))
    found = write_shortcut(None, tmp_path, "linux")
    assert isinstance(found, Problem) and found.code == "use.shortcut" and found.hint


@pytest.mark.slow
def test_a_desk_that_is_open_is_known(tmp_path: Path) -> None:
    with RunningDesk(tmp_path / "c.sqlite") as running:
        port = running.parts.port
        assert port and is_desk(port)
    assert not is_desk(port)
