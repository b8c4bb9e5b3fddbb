"""A launcher of the desk for people who open no terminal: an entry with our icon for Linux, macOS and Windows.

What it starts is this installation's own Python, so it works from any folder; moving or removing that Python breaks it, and
writing the launcher anew mends it.
"""

from __future__ import annotations

import os
import struct
import subprocess
import sys
from pathlib import Path

from approx.problems import Problem
from approx.web.server.desk import WEB_FOLDER
from approx.wording import worded

SHORTCUT_NAME = "approx desk"
START = "from approx.cli.main import main; main()"
ICON = WEB_FOLDER / "static" / "desk.svg"
_SIZE = 256


def write_shortcut(
    file: Path | None = None, home: Path | None = None, system: str = sys.platform
) -> tuple[Path, ...] | Problem:
    """Write the launcher below a person's home folder; the files that were written, the one to open first.

    `file`: the caseload to open, the usual one by default. `home`: that of the person by default. `system`: as `sys.platform` names it. A folder that cannot be written is a Problem.
    """
    home = home or Path.home()
    command = [sys.executable, "-c", START, "desk", *(("--file", str(file.resolve())) if file else ())]
    try:
        if system == "darwin":
            return _macos(home, command)
        if system == "win32":
            return _windows(home, command)
        return _linux(home, command)
    except OSError as error:
        hint = "check that the folder is writable, then run the command again"
        return Problem(
            "use.shortcut",
            worded("the launcher cannot be written: {strerror}", strerror=error.strerror),
            hint,
            file=str(error.filename or ""),
        )


def desktop_entry(command: list[str], icon: Path) -> str:
    """The entry of a Linux menu (Desktop Entry Specification 1.5, freedesktop.org): blanks and signs in it are quoted."""
    line = " ".join(f'"{_escaped(part)}"' for part in command)
    return (
        f"[Desktop Entry]\nType=Application\nVersion=1.5\nName={SHORTCUT_NAME}\nComment=Caseload, practice and progress on this computer\n"
        f"Comment[es]=Casos, práctica y progreso en este equipo\nExec={line}\nIcon={icon}\nTerminal=false\nCategories=Office;\n"
    )


def icns(png: bytes) -> bytes:
    """An icon file of macOS that holds one PNG of 256 px (type ic08)."""
    entry = b"ic08" + struct.pack(">I", len(png) + 8) + png
    return b"icns" + struct.pack(">I", len(entry) + 8) + entry


def ico(png: bytes) -> bytes:
    """An icon file of Windows that holds one PNG of 256 px, whose side is written as 0."""
    return struct.pack("<HHH", 0, 1, 1) + struct.pack("<BBBBHHII", 0, 0, 0, 0, 1, 32, len(png), 22) + png


def _linux(home: Path, command: list[str]) -> tuple[Path, ...]:
    data = Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share")
    icon = _written(data / "icons" / "approx-desk.svg", ICON.read_bytes())
    text = desktop_entry(command, icon).encode()
    made = [_written(data / "applications" / "approx-desk.desktop", text)]
    if (home / "Desktop").is_dir():
        made.insert(0, _written(home / "Desktop" / "approx-desk.desktop", text))
    for entry in made:
        entry.chmod(0o755)
    return (*made, icon)


def _macos(home: Path, command: list[str]) -> tuple[Path, ...]:
    bundle = home / "Applications" / f"{SHORTCUT_NAME}.app" / "Contents"
    icon = _written(bundle / "Resources" / "desk.icns", icns(_png()))
    line = " ".join(f"'{part.replace(chr(39), chr(39) + chr(92) + chr(39) * 2)}'" for part in command)
    script = _written(bundle / "MacOS" / "approx-desk", f"#!/bin/sh\nexec {line}\n".encode())
    script.chmod(0o755)
    keys = {
        "CFBundleName": SHORTCUT_NAME, "CFBundleIdentifier": "approx.desk", "CFBundleExecutable": "approx-desk",
        "CFBundleIconFile": "desk.icns", "CFBundlePackageType": "APPL", "LSUIElement": "1",
    }  # fmt: skip
    lines = "".join(f"<key>{key}</key><string>{value}</string>" for key, value in keys.items())
    plist = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" '
        f'"http://www.apple.com/DTDs/PropertyList-1.0.dtd">\n<plist version="1.0"><dict>{lines}</dict></plist>\n'
    )
    info = _written(bundle / "Info.plist", plist.encode())
    return bundle.parent, info, script, icon


def _windows(home: Path, command: list[str]) -> tuple[Path, ...]:
    """A link on the desktop made by Windows itself; where that cannot be asked, a file of commands that does the same."""
    folder = home / "AppData" / "Local" / "approx"
    icon = _written(folder / "desk.ico", ico(_png()))
    desktop = home / "Desktop"
    python = Path(command[0]).with_name("pythonw.exe")  # the one that opens no window of its own
    arguments = subprocess.list2cmdline(command[1:])
    link = desktop / f"{SHORTCUT_NAME}.lnk"
    script = (
        f"$s=(New-Object -ComObject WScript.Shell).CreateShortcut({_quoted(str(link))});$s.TargetPath={_quoted(str(python))};"
        f"$s.Arguments={_quoted(arguments)};$s.IconLocation={_quoted(str(icon))};$s.Save()"
    )
    try:
        subprocess.run(["powershell", "-NoProfile", "-Command", script], check=True, capture_output=True, timeout=30)
    except (OSError, subprocess.SubprocessError):
        line = f'@start "" "{python}" {arguments}\r\n'
        return _written(desktop / f"{SHORTCUT_NAME}.cmd", line.encode()), icon
    return link, icon


def _png() -> bytes:
    """Our icon as a picture of 256 px."""
    from approx.reports.charts.progress_chart import svg_png

    return svg_png(ICON.read_text(encoding="utf-8"), width=_SIZE)


def _written(path: Path, data: bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def _escaped(text: str) -> str:
    """Inside double quotes of a desktop entry."""
    for sign in ("\\", '"', "`", "$"):
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\\", "\\\\").replace("%", "%%")


def _quoted(text: str) -> str:
    """A text of PowerShell."""
    return "'" + text.replace("'", "''") + "'"
