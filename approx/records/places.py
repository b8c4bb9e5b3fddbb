"""Where the caseload lies: the file asked for, else APPROX_DESK, else the platform's place for a program's data."""

from __future__ import annotations

import os
from pathlib import Path

NAME = "caseload.sqlite"
SETTING = "APPROX_DESK"


def caseload_path(file: Path | None = None) -> Path:
    """The path of the caseload, whether there is one or not. A folder means the usual name in that folder."""
    if file is None:
        setting = os.environ.get(SETTING, "").strip()
        if setting:
            file = Path(setting).expanduser()
        else:
            from platformdirs import user_data_path

            file = user_data_path("approx", appauthor=False)
            return file / NAME
    return file / NAME if file.is_dir() else file


def copies(path: Path) -> tuple[Path, ...]:
    """The copies that were made of a caseload before it was brought up to a newer version, oldest first."""
    if not path.parent.is_dir():
        return ()
    return tuple(sorted(near for near in path.parent.iterdir() if near.name.startswith(f"{path.name}.copy-")))
