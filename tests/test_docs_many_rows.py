"""The programs of the page on many rows, run as they stand there with two workers, give the scores of the whole."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from places import ROOT, SAMPLES
from test_docs import SITE, blocks

import approx

PROGRAMS = {text.split()[1]: text for text in blocks((SITE / "many-rows.md").read_text(encoding="utf-8"), "python")}


def parts(folder: Path) -> list[str]:
    """K07's and M12's samples in five files, a row after the other dealt out."""
    out = []
    for sample in ("k07.csv", "m12.csv"):
        head, *rows = (SAMPLES / sample).read_text(encoding="utf-8-sig").splitlines()
        for number in range(3):
            file = folder / f"{number}-{sample}"
            file.write_text("\n".join([head, *rows[number::3]]) + "\n", encoding="utf-8")
            out.append(file.name)
    return out


def whole(folder: Path) -> list[dict[str, object]]:
    """The scores of both samples in one file, by child."""
    one, other = ((SAMPLES / name).read_text(encoding="utf-8-sig").splitlines() for name in ("k07.csv", "m12.csv"))
    assert one[0] == other[0]
    file = folder / "whole.csv"
    file.write_text("\n".join([*one, *other[1:]]) + "\n", encoding="utf-8")
    columns, rows = approx.score(file, by="child").to_table()
    return [dict(zip(columns, row, strict=True)) for row in rows]


def test_there_is_a_program_for_each_engine() -> None:
    assert set(PROGRAMS) == {"dask_counts.py", "duckdb_counts.py", "polars_counts.py"}


@pytest.mark.slow
@pytest.mark.parametrize("name", PROGRAMS)
def test_the_program_gives_the_scores_of_the_whole(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_text(PROGRAMS[name], encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, name, *parts(tmp_path)],
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, encoding="utf-8", timeout=300, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    (written,) = tmp_path.glob("*.jsonl")
    got = [json.loads(line) for line in written.read_text(encoding="utf-8").splitlines()]
    want = whole(tmp_path)
    assert len(got) == len(want) > 40
    assert sorted(map(str, got)) == sorted(map(str, want))
