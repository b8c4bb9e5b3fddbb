"""Workbooks of odd insides: cells as another library reads them, no row lost in silence, bounds that are named."""

from __future__ import annotations

import io
from datetime import date, datetime, time, timedelta

import openpyxl
import pytest
from clumsy_files import _cells, _sheet

from approx.problems import Problem
from approx.samples.columns.headers import recognised
from approx.samples.files import workbook_xml
from approx.samples.files.workbook import cell_text, read_workbook
from approx.samples.rows.sample import read_sample

HEAD = b"<row>" + _cells("target_word", "target_ipa", "produced_ipa") + b"</row>"


def rows_of(data: bytes, sheet: str | None = None) -> tuple[list[list[str]], list[Problem]]:
    rows, problems = read_workbook(io.BytesIO(data), sheet, "a.xlsx", recognised)
    return list(rows), problems


def saved(book: openpyxl.Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def row(number: int, *texts: str) -> bytes:
    return b'<row r="%d">' % number + _cells(*texts) + b"</row>"


def test_cells_are_what_another_reader_finds() -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    values: list[object] = [
        "mud", "", " two  blanks ", "a\nb", 7, 7.0, 2.5, -3, 1e21, 0.1, True, False, datetime(2026, 3, 2), date(1900, 1, 31),
        datetime(2026, 3, 2, 10, 30, 5), time(10, 30), timedelta(hours=30), "#REF!", "mʌ", "_x0041_", "007",
    ]  # fmt: skip
    sheet.append(["target_word", "target_ipa", "produced_ipa"])
    sheet.append(values)
    sheet.append([None, None, "far"])
    sheet["Z6"] = "out"
    data = saved(book)
    again = openpyxl.load_workbook(io.BytesIO(data), read_only=True).active
    assert again is not None
    again.reset_dimensions()
    expected = [[cell_text(value) for value in each] for each in again.iter_rows(values_only=True)]
    expected[1][values.index("_x0041_")] = "A"  # an escape of the format, which that reader leaves as it is
    rows, problems = rows_of(data)
    assert rows == expected and problems == []


def test_dates_of_a_workbook_that_counts_from_1904() -> None:
    book = openpyxl.Workbook()
    book.epoch = openpyxl.utils.datetime.MAC_EPOCH
    assert book.active is not None
    book.active.append([datetime(2026, 3, 2)])
    assert rows_of(saved(book))[0] == [["2026-03-02"]]


def test_what_a_spreadsheet_found_for_a_formula_stands_and_else_what_was_typed() -> None:
    made = _sheet(
        HEAD + b'<row><c t="str"><f>A1&amp;"x"</f><v>mud</v></c><c t="str"><f>-a</f></c><c t="e"><f>NOPE()</f><v>#NAME?</v></c></row>'
        b'<row><c t="str"><f t="shared" si="0" ref="A1:A2">-ba</f></c><c t="str"><f t="shared" si="0"/></c><c><f>1+1</f><v>2</v></c></row>'
    )  # fmt: skip
    assert rows_of(made)[0][1:] == [["mud", "-a", "=NOPE()"], ["-ba", "-ba", "2"]]


def test_rich_texts_and_how_they_are_spoken() -> None:
    made = _sheet(
        HEAD
        + b'<row><c t="s"><v>0</v></c><c t="inlineStr"><is><r><t>m</t></r><r><t>a</t></r><rPh><t>no</t></rPh></is></c></row>',
        b"<si><r><t>mu</t></r><r><t>d</t></r><rPh sb='0' eb='1'><t>no</t></rPh></si>",
    )
    assert rows_of(made)[0][1] == ["mud", "ma"]


def test_rows_out_of_order_are_not_lost_in_silence() -> None:
    made = _sheet(
        row(1, "target_word", "target_ipa", "produced_ipa") + row(3, "mud", "mʌd", "mʌ") + row(2, "cup", "kʌp", "tʌp")
    )
    found = read_sample(io.BytesIO(made))
    assert [token.target_word for token in found.tokens] == ["mud"]
    (problem,) = [each for each in found.problems if each.fatal]
    assert problem.code == "sample.file" and "row 2 is below row 3" in problem.message and problem.hint
    twice = read_sample(io.BytesIO(_sheet(HEAD + row(2, "mud", "mʌd", "mʌ") + row(2, "cup", "kʌp", "tʌp"))))
    assert any(each.fatal and "row 2 is below row 2" in each.message for each in twice.problems)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (b"<row>" + b"<c/>" * 60 + b"</row>", "more than 50 cells"),
        (b'<row><c r="CV2"><v>1</v></c></row>', "more than 50 cells"),
        (b"<row>" + b"<a/>" * 200 + b"</row>", "more than 200 elements"),
        (b"<row>" + b"<a>" * 120, "elements within elements"),
        (b'<row r="1048577"/>', "below row 1,048,576"),
        (b"<row>" + _cells("a" * 300_000) + b"</row>", "letters in one cell"),
        (b'<row x="' + b"a" * 300_000 + b'"/>', "bytes in one piece"),
    ],
)
def test_a_sheet_is_read_to_a_bound_that_is_named(rows: bytes, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook_xml, "MOST_CELLS", 50)
    monkeypatch.setattr(workbook_xml, "MOST_TAGS", 200)
    monkeypatch.setattr(workbook_xml, "LONGEST_PART", 100_000)
    found, problems = rows_of(
        _sheet(HEAD + row(2, "mud", "mʌd", "mʌ") + rows.replace(b"<row>", b'<row r="3">') + row(9, "a", "b", "c"))
    )
    assert found[:2] == [["target_word", "target_ipa", "produced_ipa"], ["mud", "mʌd", "mʌ"]] and len(found) < 9
    (problem,) = problems
    assert problem.code == "sample.bound" and said in problem.message and problem.fatal and "CSV" in problem.hint


def test_a_workbook_with_a_document_type_is_not_read() -> None:
    made = _sheet(HEAD)
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(made)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            if name.endswith("sheet1.xml"):
                text = b'<!DOCTYPE a [<!ENTITY b "c">]>' + text.replace(b"target_word", b"&b;")
            new.writestr(name, text)
    rows, problems = rows_of(out.getvalue())
    assert rows == [] and [(each.code, each.fatal) for each in problems] == [("sample.file", True)]


@pytest.mark.parametrize(
    "rows",
    [
        b'<row><c t="s"><v>9</v></c></row>',
        b'<row><c t="s"><v>-1</v></c></row>',
        b'<row r="x"/>',
        b'<row><c r="9"/></row>',
        b"<row",
    ],
)
def test_what_is_broken_within_is_named_and_the_rows_before_are_kept(rows: bytes) -> None:
    found, problems = rows_of(_sheet(HEAD + row(2, "mud", "mʌd", "mʌ") + rows.replace(b"<row>", b'<row r="3">')))
    assert problems and problems[0].code == "sample.file" and problems[0].fatal
    assert found in ([], [["target_word", "target_ipa", "produced_ipa"], ["mud", "mʌd", "mʌ"]])


def test_cells_that_are_no_number_keep_what_is_written() -> None:
    made = _sheet(
        HEAD
        + b'<row><c><v>abc</v></c><c t="d"><v>someday</v></c><c t="zz"><v>mud</v></c><c><v>12345678901234567890</v></c></row>'
    )
    assert rows_of(made)[0][1] == ["abc", "someday", "mud", "12345678901234567890"]
