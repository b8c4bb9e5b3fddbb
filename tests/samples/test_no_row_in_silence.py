"""Rows above the heading, control signs, spelling in place of IPA, marks that could be forms: each is named."""

from __future__ import annotations

import io
import resource
import subprocess
import sys
from pathlib import Path

import pytest
from clumsy_files import SHAPES
from places import ROOT

from approx.samples.rows.sample import read_sample
from approx.samples.token import Sample

HEAD = "child,session_date,target_word,target_ipa,produced_ipa\n"


def sample(text: str) -> Sample:
    return read_sample(io.BytesIO(text.encode()))


def told(found: Sample) -> list[tuple[str, int | None, bool]]:
    return [(problem.code, problem.line, problem.fatal) for problem in found.problems]


def test_a_row_of_data_above_the_heading_stops_the_reading_and_a_title_does_not() -> None:
    data = sample("X01,2026-01-01,cup,kʌp,tʌp\n" + HEAD + "X01,2026-01-01,mud,mʌd,mʌ\n")
    assert told(data) == [("sample.above", 1, True)] and "cup" in data.problems[0].message
    title = sample("Words of the first visit\n\n" + HEAD + "X01,2026-01-01,mud,mʌd,mʌ\n")
    assert told(title) == [("sample.above", 1, False)] and "first visit" in title.problems[0].message


@pytest.mark.parametrize("command", ["score", "processes", "inventory"])
def test_every_reader_names_it(command: str, tmp_path: Path) -> None:
    file = tmp_path / "a.csv"
    file.write_text("X01,2026-01-01,cup,kʌp,tʌp\n" + HEAD + "X01,2026-01-01,mud,mʌd,mʌ\n", encoding="utf-8")
    code = "from approx.cli.main import main; main()"
    run = subprocess.run(
        [sys.executable, "-c", code, command, str(file)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 1 and "[sample.above]" in run.stderr


def test_the_desk_keeps_no_sample_with_a_row_above_its_heading(tmp_path: Path) -> None:
    from filled_caseload import code_of, filled

    caseload = filled(tmp_path / "c.sqlite")
    data = ("K07,2026-01-01,cup,kʌp,tʌp\n" + HEAD + "K07,2026-01-01,mud,mʌd,mʌ\n").encode()
    assert code_of(caseload.add_sample_file("K07", data, "a.csv")) == "sample.above"
    caseload.close()


def test_control_signs_in_any_cell_are_named() -> None:
    found = sample(HEAD + "X\x0001,2026-01-01,mud,mʌd,mʌ\nX01,2026-01-01,mud,mʌd,mʌ\nX01,2026-01-01,p\x1bot,pɑt,pɑ\n")
    assert [(p.code, p.line, p.symbol) for p in found.problems if p.code == "sample.control"] == [
        ("sample.control", 2, "\x00"), ("sample.control", 4, "\x1b"),
    ]  # fmt: skip


def test_spelling_in_the_column_of_adult_forms_is_warned_of() -> None:
    words = ("mud", "pot", "cup", "sun")
    spelled = sample(HEAD + "".join(f"X01,2026-01-01,{word},{word},mʌ\n" for word in (*words, "me")))
    assert ("sample.spelling", 1, False) in told(spelled)
    fine = sample(HEAD + "X01,2026-01-01,me,mi,mi\nX01,2026-01-01,no,noʊ,no\nX01,2026-01-01,mud,mʌd,mʌd\n")
    assert "sample.spelling" not in {code for code, _, _ in told(fine)}


def test_ok_for_oak_is_a_form_and_ok_for_sun_is_a_remark() -> None:
    found = sample(HEAD + "X01,2026-01-01,oak,oʊk,ok\nX01,2026-01-01,sun,sʌn,ok\nX01,2026-01-01,sun,sʌn,same\n")
    assert [(token.row, token.produced.ipa) for token in found.tokens if token.produced] == [(2, "ok")]
    assert [(code, line) for code, line, _ in told(found)] == [("sample.remark", 3), ("sample.remark", 4)]
    assert any("could be a remark" in change.why for change in found.changes)


MEASURED = r"""
import re, sys, time
def megabytes():  # the most since this program began; `ru_maxrss` knows what the tests had when they started it too
    with open("/proc/self/status") as status:
        return int(re.search(r"VmHWM:\s*(\d+)", status.read())[1]) / 1000
from pathlib import Path
from approx.samples.rows.sample import count_pairs, read_sample
import openpyxl
before = megabytes()
begun = time.process_time()
count_pairs(Path(sys.argv[1]))
print(time.process_time() - begun, megabytes() - before)
"""


@pytest.mark.slow
@pytest.mark.parametrize("shape", SHAPES)
def test_ten_megabytes_of_any_shape_are_answered_in_ten_seconds_and_300_megabytes(shape: str, tmp_path: Path) -> None:
    """Of the processor's time, in a program of its own, so that what else this machine does is no matter."""
    file = tmp_path / "file"
    file.write_bytes(SHAPES[shape]())
    try:
        run = subprocess.run(
            [sys.executable, "-c", MEASURED, str(file)], cwd=ROOT, capture_output=True, text=True, check=False,
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (30, 30)),
        )  # fmt: skip
    finally:
        file.unlink()
    assert run.returncode == 0, run.stderr[-500:]
    seconds, megabytes = map(float, run.stdout.split())
    assert seconds < 10 and megabytes < 300, (seconds, megabytes)


COMMAND = r"""
import re, sys, time
from approx.cli.main import main
try:
    main()
except SystemExit as end:
    code = end.code
with open("/proc/self/status") as status:
    megabytes = int(re.search(r"VmHWM:\s*(\d+)", status.read())[1]) / 1000
print(code or 0, time.process_time(), megabytes, file=sys.__stdout__)
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    "kind",
    [
        "a child in every row", "both forms long", "both forms in every row", "long forms in produced_ipa",
        "workbook: a row of a million cells", "workbook: rows reversed", "ods of a cell repeated", "a gigabyte of zeros in gz",
        "textgrid", "json lines of nothing",
    ],
)  # fmt: skip
def test_hostile_forms_and_formats_through_the_whole_command(kind: str, tmp_path: Path) -> None:
    """Each of these took more than 10 s or 300 MB, or lost rows, when it was first tried."""
    from nasty_kinds import KINDS

    file = tmp_path / "file.csv"
    file.write_bytes(KINDS[kind]())
    run = subprocess.run(
        [sys.executable, "-c", COMMAND, "score", str(file), "--json"], cwd=ROOT, capture_output=True, text=True, check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (30, 30)),
    )  # fmt: skip
    assert run.returncode == 0 and "fault of the program" not in run.stderr, run.stderr[-500:]
    code, seconds, megabytes = run.stdout.splitlines()[-1].split()
    assert float(seconds) < 10 and float(megabytes) < 300, (seconds, megabytes)
    assert code == "0" or "[sample." in run.stderr


def test_a_file_in_which_hardly_a_production_comes_twice_is_read_to_a_bound_that_is_named() -> None:
    from approx.samples.rows.reader import Bounds
    from approx.samples.rows.sample import open_reader

    bounds = Bounds(rows=50, forms=20, letters=10_000)
    rows = "".join(f"X01,2026-01-01,mud,mʌd,{'ba' * number}\n" for number in range(1, 31))
    reader = open_reader(io.BytesIO((HEAD + rows).encode()), bounds=bounds)
    assert len(list(reader)) == 21
    reader.finish()
    (problem,) = reader.log.problems()
    assert problem.code == "sample.bound" and problem.fatal and "after row 22 are not read" in problem.message
    wordy = open_reader(io.BytesIO((HEAD + rows).encode()), bounds=Bounds(rows=50, forms=40, letters=100))
    assert len(list(wordy)) == 9  # 2 + 4 + ... + 18 letters, 3 of the adult form, and 20 for pairs of both are 113
    wordy.finish()
    (problem,) = wordy.log.problems()
    assert (
        problem.code == "sample.bound"
        and problem.fatal
        and "more than 100 letters in different forms" in problem.message
    )
    long = open_reader(io.BytesIO((HEAD + "X01,2026-01-01,mud,mʌd,mʌ\n" * 51).encode()), bounds=bounds)
    assert len(list(long)) == 50
    long.finish()
    assert "more than 50 rows" in long.log.problems()[0].message


def test_a_file_of_rows_that_cannot_be_read_is_not_read_to_its_end(monkeypatch: pytest.MonkeyPatch) -> None:
    from approx.samples.rows import reader

    monkeypatch.setattr(reader, "MOST_WRONG", 20)
    bad = "X01,2026-01-01,mud,mʌd,mʌ,a,b\n"
    found = sample(HEAD + bad * 50)
    assert ("sample.bound", 22, True) in told(found) and found.refused == tuple(range(2, 23)) and found.rows == 21
    mixed = sample(HEAD + ("X01,2026-01-01,mud,mʌd,mʌ\n" * 2 + bad) * 30)
    assert "sample.bound" not in {code for code, _, _ in told(mixed)} and len(mixed.refused) == 30


def test_agree_names_every_row_that_is_not_compared(tmp_path: Path) -> None:
    """A row above the heading, a refused one, and one that stands in one file only: each is named, in either file."""
    from approx.api.samples.agreement import agree

    good = "X01,2026-01-01,mud,mʌd,mʌ\n"
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    first.write_text(HEAD + good + "X01,2026-01-01,pot,pɑt,§\n" + "X01,2026-01-01,cup,kʌp,tʌp\n", encoding="utf-8")
    second.write_text("X01,2026-01-01,cup,kʌp,tʌp\n" + HEAD + good + "X01,2026-01-01,sun,sʌn,tʌn\n", encoding="utf-8")
    for one, other in ((first, second), (second, first)):
        found = agree(str(one), str(other))
        named = [(Path(problem.file).name, problem.line, problem.fatal) for problem in found.problems if problem.line]
        assert ("b.csv", 1, True) in named and ("a.csv", 3, True) in named
        alone = [problem.message for problem in found.problems if problem.code == "agree.alone"]
        assert any("'cup' (row 4)" in message for message in alone)
        assert found.alone == len(alone)


def test_agree_names_equal_rows_of_both_files(tmp_path: Path) -> None:
    """Two files of three words each, of two days: six tokens have no fellow, and each is named with its file."""
    from approx.api.samples.agreement import agree

    rows = "X01,{day},mud,mʌd,mʌ\nX01,{day},cup,kʌp,tʌp\nX01,{day},sun,sʌn,tʌn\n"
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    first.write_text(HEAD + rows.format(day="2026-01-01"), encoding="utf-8")
    second.write_text(HEAD + rows.format(day="2026-02-01"), encoding="utf-8")
    alone = [problem for problem in agree(str(first), str(second)).problems if problem.code == "agree.alone"]
    assert [Path(problem.file).name for problem in alone] == ["a.csv"] * 3 + ["b.csv"] * 3
    pairs = agree([("mʌd", "mʌ")], [("kʌp", "tʌp")]).problems
    assert sum(problem.code == "agree.alone" for problem in pairs) == 2
