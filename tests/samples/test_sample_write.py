"""Rows out: what stands in the bytes, what a spreadsheet would do with them, and the limits of workbooks."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import openpyxl
import pytest
from places import SAMPLES

from approx.samples.files.write import LONGEST_TEXT, guarded, sample_table, write_csv, write_xlsx
from approx.samples.rows.sample import read_sample


def test_csv_has_the_mark_of_utf8_and_line_ends_of_spreadsheets() -> None:
    out = io.BytesIO()
    write_csv(out, ["word", "hits", "out_of", "share"], [["ɡoʊt", 8, 10, 0.8], ["a, b", None, 0, None]])
    assert out.getvalue() == '\ufeffword,hits,out_of,share\r\nɡoʊt,8,10,0.8\r\n"a, b",,0,\r\n'.encode()
    assert not out.closed


@pytest.mark.parametrize(
    "text",
    # formulas: common knowledge of spreadsheets; dates, times and powers: vendor's note Q97912 named in the job description
    ["=1+1", "-a", "+", "@sum", "\t=1", "8/10", "3-2", "3:02", "1/2/2026", "MAR1", "2-Mar", "1E5", "007", "4" * 16],
)
def test_what_a_spreadsheet_would_change_is_guarded(text: str) -> None:
    assert guarded(text) == f"'{text}"
    out = io.BytesIO()
    write_csv(out, ["note"], [[text]])
    assert next(csv.reader([out.getvalue().decode("utf-8-sig").split("\r\n", 1)[1]]))[0].startswith("'")


@pytest.mark.parametrize("text", ["ɡoʊt", "3;2", "2026-03-02", "pea", "a-b", "may", "'mama", "12", "mar", ""])
def test_what_stays_as_it_is_has_no_guard(text: str) -> None:
    assert guarded(text) == text


def test_numbers_are_numbers_even_below_zero() -> None:
    out = io.BytesIO()
    write_csv(out, ["change"], [[-5], [-0.5]])
    assert out.getvalue().decode("utf-8-sig").split() == ["change", "-5", "-0.5"]


def test_guard_can_be_left_off_for_other_programs() -> None:
    out = io.BytesIO()
    write_csv(out, ["form"], [["-a"]], guard=False)
    assert out.getvalue().decode("utf-8-sig").split() == ["form", "-a"]


def test_a_guarded_form_is_read_as_it_was_typed(tmp_path: Path) -> None:
    path = tmp_path / "out.csv"
    write_csv(path, ["target_ipa", "produced_ipa", "note"], [["pi", "-i", "8/10"]])
    (token,) = read_sample(path).tokens
    assert (token.typed_produced, token.note) == ("-i", "8/10")
    assert token.produced is not None and token.produced.omitted[0]


@pytest.mark.parametrize("name", ["m12.csv", "k07.csv", "t03.csv"])
def test_samples_come_back_from_csv_and_xlsx(name: str, tmp_path: Path) -> None:
    first = read_sample(SAMPLES / name)
    write_csv(tmp_path / "out.csv", *sample_table(first))
    write_xlsx(tmp_path / "out.xlsx", {"sample": sample_table(first)})
    assert read_sample(tmp_path / "out.csv").tokens == first.tokens
    assert read_sample(tmp_path / "out.xlsx").tokens == first.tokens


def test_workbook_holds_texts_as_texts_and_numbers_as_numbers() -> None:
    out = io.BytesIO()
    rows = [["=1+1", "-a", "8/10", 8, 0.5, None, "http://a.b", 10**16]]
    assert write_xlsx(out, {"scores": (list("abcdefgh"), rows)}) == ()
    sheet = openpyxl.load_workbook(out)["scores"]
    cells = list(sheet.iter_rows(min_row=2))[0]
    assert [cell.value for cell in cells] == ["=1+1", "-a", "8/10", 8, 0.5, None, "http://a.b", str(10**16)]
    assert [cell.data_type for cell in cells] == ["s", "s", "s", "n", "n", "n", "s", "s"]


def test_names_of_sheets_are_made_to_fit_and_differ() -> None:
    out = io.BytesIO()
    names = ["a/b:c", "a b c", "x" * 40, "x" * 41, "", "History"]
    assert write_xlsx(out, {name: (["n"], [[1]]) for name in names}) == ()
    made = openpyxl.load_workbook(out).sheetnames
    assert made[:2] == ["a b c", "a b c 2"]
    assert all(len(name) <= 31 for name in made) and len({name.casefold() for name in made}) == 6
    assert "History" not in made


def test_a_text_too_long_for_a_cell_is_named() -> None:
    out = io.BytesIO()
    (problem,) = write_xlsx(out, {"notes": (["note"], [["short"], ["x" * (LONGEST_TEXT + 1)]])})
    assert (problem.line, problem.column) == (3, 1)
