"""Where the data a clinician can read and change is found: `rules/`, in a checkout or inside the wheel."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path
from typing import Any

PACKAGE = Path(__file__).resolve().parent


@cache
def rules_folder() -> Path:
    """The folder `rules/`: beside the package in a checkout, inside it (`_rules`) in an installed wheel."""
    for folder in (PACKAGE / "_rules", PACKAGE.parent / "rules"):
        if folder.is_dir():
            return folder
    raise FileNotFoundError("the folder rules/ is neither in the package nor beside it; install approx again")


@cache
def rules_path(name: str) -> Path:
    """Path of one file below `rules/`, named with forward slashes."""
    return rules_folder().joinpath(*name.split("/"))


def read_toml(path: Path) -> dict[str, Any]:
    """A TOML file as plain tables. Raises `tomllib.TOMLDecodeError` (with line and column) and OSError."""
    import tomllib  # noqa: PLC0415 - a start that reads no rules (--help) is sooner without

    return tomllib.loads(path.read_text(encoding="utf-8"))


def read_tsv(path: Path) -> list[dict[str, str]]:
    """Rows of a tab-separated file with one header row; lines that start with `#` are remarks."""
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and line[0] != "#"]
    header = lines[0].split("\t")
    return [dict(zip(header, line.split("\t") + [""] * len(header))) for line in lines[1:]]


def data_hash(paths: list[Path]) -> str:
    """Eight hex digits over names and contents: which rules made a result. Order of `paths` does not matter."""
    digest = hashlib.sha256()
    for path in sorted(paths):
        digest.update(path.name.encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:8]


ALWAYS_RIGHT = ("allophones", "casual")
"""Files of `rules/accents/` that are right in every child of the language, whatever the accent."""


def accent_names() -> tuple[str, ...]:
    """Every accent of `rules/accents/` that can be asked for by name: each may have several files."""
    names = {path.name.partition(".")[0].lower() for path in rules_path("accents").glob("*.toml")}
    return tuple(sorted(names.difference(ALWAYS_RIGHT)))


def tidy_accent(name: str) -> str:
    """An accent as its file is called."""
    return "-".join(name.lower().split())
