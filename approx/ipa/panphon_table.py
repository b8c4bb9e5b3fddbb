"""The feature table of panphon (Mortensen et al. 2016, Proc COLING 2016, 3475-3484) as it is installed: for segments that our own
table lacks, and to compare the two. Its file is read; importing the package costs 750 ms."""

from __future__ import annotations

import csv
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path

TONES = "˩˨˧˦˥"
"""Rows of its table that are no segments."""
_SIGN = {"+": 1, "-": -1, "0": 0}


def panphon_file() -> Path | None:
    """Its table; None where panphon is not installed or keeps it elsewhere."""
    found = find_spec("panphon")
    file = Path(found.origin).parent / "data" / "ipa_all.csv" if found and found.origin else None
    return file if file is not None and file.is_file() else None


@cache
def panphon_segments() -> dict[str, dict[str, int]]:
    """Every segment it knows with its features by name; none where it is not installed."""
    file = panphon_file()
    if file is None:
        return {}
    with file.open(encoding="utf-8", newline="") as stream:
        _, *names = next(rows := csv.reader(stream))
        return {
            segment: {name: _SIGN[sign] for name, sign in zip(names, signs, strict=True)}
            for segment, *signs in rows
            if segment[0] not in TONES
        }


def panphon_version() -> str:
    """The version that is installed, "" for none."""
    try:
        return version("panphon")
    except PackageNotFoundError:
        return ""
