"""Sheets as a busy clinician or a careless program leaves them: the right answer, or a named problem with place and way out."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

import pytest

from approx.problems import Problem
from approx.samples.rows import reader
from approx.samples.rows import sample as sample_module
from approx.samples.rows.sample import count_pairs, read_sample
from approx.samples.token import Sample

HEAD = "child,session_date,target_word,target_ipa,produced_ipa\n"
MUD, CUP, SUN = "X01,2026-03-02,mud,mʌd,mʌ\n", "X01,2026-03-02,cup,kʌp,tʌp\n", "X01,2026-03-02,sun,sʌn,tʌn\n"


def sample(text: str | bytes) -> Sample:
    return read_sample(io.BytesIO(text if isinstance(text, bytes) else text.encode()))


def fatal(found: Sample) -> list[Problem]:
    return [problem for problem in found.problems if problem.fatal]


def words(found: Sample) -> list[str]:
    return [token.target_word for token in found.tokens if token.produced is not None]


def test_headings_of_groups_of_columns_stop_nothing() -> None:
    found = sample("Child,,Word,,What was said\n" + HEAD + MUD)
    assert [(each.code, each.line, each.fatal) for each in found.problems] == [("sample.above", 1, False)]
    assert words(found) == ["mud"]


def test_files_that_were_joined_with_their_marks() -> None:
    found = sample(HEAD + MUD + "\ufeff" + HEAD + CUP + "\ufeff" + SUN)
    assert words(found) == ["mud", "cup", "sun"]
    (problem,) = fatal(found)
    assert (problem.code, problem.line) == ("sample.row", 3) and "heading again" in problem.message


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (rb"{\rtf1\ansi child,produced_ipa\par }", "formatted text (RTF)"),
        (b"%PDF-1.7\n1 0 obj", "printed page (PDF)"),
        (b"\xef\xbb\xbf<!DOCTYPE html><table><tr><td>target_word</td></tr></table>", "web page (HTML)"),
        (b"  <html><body><table></table></body></html>", "web page (HTML)"),
        (json.dumps([{"target_word": "mud", "produced_ipa": "ma"}]).encode(), "one JSON list"),
        (b"SQLite format 3\x00" + bytes(100), "a database"),
    ],
)
def test_what_is_no_table_is_called_what_it_is(data: bytes, what: str) -> None:
    found = sample(data)
    assert [(each.code, what in each.message, bool(each.hint)) for each in fatal(found)] == [
        ("sample.file", True, True)
    ]


def test_packed_folders_and_text_documents_that_were_renamed() -> None:
    def packed(*names: str) -> bytes:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as made:
            for name in names:
                made.writestr(name, HEAD + MUD)
        return out.getvalue()

    assert "such as 'visits/march.csv'" in fatal(sample(packed("visits/march.csv")))[0].message
    assert "unpack it" in fatal(sample(packed("visits/march.csv")))[0].hint
    assert "text document" in fatal(sample(packed("word/document.xml")))[0].message


def test_rows_with_neither_a_word_nor_a_form_are_named() -> None:
    text = HEAD + MUD + CUP + "\nTranscribed live; k sounded like t\n# a remark\n" + SUN
    found = sample(text)
    (problem,) = [each for each in found.problems if each.code == "sample.bare"]
    assert problem.line == 5 and "2 rows (5-6)" in problem.message and "Transcribed live" in problem.message
    assert words(found) == ["mud", "cup", "sun"] and not problem.fatal
    one = sample(HEAD + MUD + CUP.replace(",", "\t") + SUN)  # one row that was pasted with tabs
    assert [each.line for each in one.problems if each.code == "sample.bare"] == [3]


def test_a_file_of_such_rows_is_not_read_to_its_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_WRONG", 10)
    found = sample(HEAD + "a remark\n" * 50)
    assert ("sample.bound", 12) in [(each.code, each.line) for each in fatal(found)] and found.rows == 11


def test_a_mark_for_the_same_again_takes_no_rows_for_one_cell() -> None:
    found = sample(HEAD + MUD + 'X01,",cup,kʌp,tʌp\nX01,〃,sun,sʌn,tʌn\nX01,2026-03-02,pea,pi,"\n')
    assert [token.target_word for token in found.tokens] == ["mud", "cup", "sun", "pea"] and words(found) == [
        "mud",
        "cup",
        "sun",
    ]
    lines = sample(HEAD + 'X01,2026-03-02,mud,mʌd,"mʌ\nmʌd"\n' + CUP)  # a cell of two lines stays one
    assert [(token.row, token.attempt) for token in lines.tokens] == [(2, 1), (2, 2), (3, 1)]


def test_words_and_adult_forms_the_wrong_way_round_are_warned_of() -> None:
    rows = (("mʌd", "mud"), ("kʌp", "cup"), ("sʌn", "sun"), ("fɪʃ", "fish"))
    turned = sample(HEAD + "".join(f"X01,2026-03-02,{word},{form},mʌ\n" for word, form in rows))
    assert [(each.code, each.line, each.column) for each in turned.problems] == [("sample.turned", 1, 3)]
    right = sample(HEAD + "".join(f"X01,2026-03-02,{word},{form},mʌ\n" for form, word in rows))
    assert right.problems == ()


@pytest.mark.parametrize("heading", ["trial 1", "score"])
def test_codes_of_children_are_no_productions(heading: str) -> None:
    found = sample(f"child,session_date,target_word,target_ipa,{heading}\nX01,2026-03-02,mud,mʌd,1\n")
    assert [(each.code, each.line) for each in fatal(found)] == [("sample.header", 1), ("sample.header", 2)]
    side_by_side = sample("adult,child\nmʌd,mʌ\nkʌp,tʌp\n")
    assert [token.produced.ipa for token in side_by_side.tokens if token.produced] == ["mʌ", "tʌp"]


def test_a_table_on_its_side_is_called_so() -> None:
    found = sample(
        "child,X01,X01\nsession_date,2026-03-02,2026-03-02\ntarget_word,mud,cup\ntarget_ipa,mʌd,kʌp\nproduced_ipa,mʌ,tʌp\n"
    )
    assert "transpose the table" in fatal(found)[0].hint and found.refused == (2, 3, 4, 5)


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("m&#652;d", "&#652;"), ("m&#x28C;d", "&#x28C;"), ("k&Lambda;p", "&Lambda;"), ("m\\u028cd", "\\u028c"),
        ('"=CONCATENATE(""m"",""ʌ"")"', "a formula"), ("=mʌ", "a formula"),
    ],
)  # fmt: skip
def test_what_a_program_made_of_a_form_is_one_problem(cell: str, said: str) -> None:
    found = sample(HEAD + f"X01,2026-03-02,mud,mʌd,{cell}\n")
    (problem,) = found.problems
    assert (
        (problem.code, problem.line, problem.column) == ("sample.mangled", 2, 5)
        and said in problem.message
        and problem.hint
    )


@pytest.mark.parametrize("cell", ["refused", "Refusal", "DNT", "CNT", "not tested", "no quiso"])
def test_a_child_who_did_not_say_it(cell: str) -> None:
    found = sample(HEAD + f"X01,2026-03-02,mud,mʌd,{cell}\n")
    assert [(token.kind, token.produced) for token in found.tokens] == [("no response", None)]


def test_truth_values_of_a_spreadsheet_are_no_forms() -> None:
    assert [(each.code, each.line) for each in sample(HEAD + "X01,2026-03-02,mud,mʌd,TRUE\n").problems] == [
        ("sample.remark", 2)
    ]
    assert sample(HEAD + "X01,2026-03-02,true,tɹu,tɹu\n").problems == ()


@pytest.mark.parametrize("date", ["0026-03-02", "2.3.1026"])
def test_a_year_in_which_nobody_recorded(date: str) -> None:
    found = sample(HEAD + f"X01,{date},mud,mʌd,mʌ\n")
    assert [(each.code, each.line, each.column) for each in fatal(found)] == [
        ("sample.date", 2, 2)
    ] and "in the year" in fatal(found)[0].message


def test_one_bad_place_in_good_text_leaves_the_encoding() -> None:
    found = sample((HEAD + MUD).encode() + b"X01,2026-03-02,cup,k\xed\xa0\x80p,t\xca\x8cp\n")
    assert [token.typed_produced for token in found.tokens] == ["mʌ"]
    assert [(each.code, each.line) for each in found.problems] == [("sample.encoding", None), ("sample.mangled", 3)]
    assert "1 place is" in found.problems[0].message


def test_a_heading_of_a_paragraph_is_named_in_short() -> None:
    found = sample(HEAD.replace("\n", f",{'x' * 150}\n") + MUD.replace("\n", ",a\n"))
    assert len(found.problems[0].message) < 140


def test_lists_inside_a_line_of_json_are_named() -> None:
    lines = [
        {"target_word": "mud", "target_ipa": "mʌd", "produced_ipa": "mʌ"},
        {"target_word": "cup", "target_ipa": "kʌp", "produced_ipa": ["tʌp"]},
    ]
    found = sample("\n".join(json.dumps(line) for line in lines))
    assert [(each.code, each.line, each.symbol) for each in fatal(found)] == [("sample.row", 2, "produced_ipa")]


def test_a_group_in_every_row_is_read_to_a_bound_that_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sample_module, "MOST_GROUPS", 5)
    rows = "".join(f"C{number},2026-03-02,mud,mʌd,mʌ\n" for number in range(40))
    found = count_pairs(io.BytesIO((HEAD + rows).encode()))
    (problem,) = found.problems
    assert (
        problem.code == "sample.bound"
        and problem.line == 7
        and "more than 5 groups by child and session_date" in problem.message
    )
    assert "fewer columns" in problem.hint and len(found.groups) == 6
    whole = count_pairs(io.BytesIO((HEAD + rows).encode()), by=("session_date",))
    assert whole.problems == () and whole.rows == 40
    often = "".join(f"C{number % 7},2026-03-02,mud,mʌd,mʌ\n" for number in sorted(range(700), key=lambda n: n % 7))
    assert count_pairs(io.BytesIO((HEAD + often).encode())).problems == ()  # many rows each


def test_rows_that_count_for_nothing_are_read_to_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sample_module, "MOST_SILENT", 20)
    found = count_pairs(io.BytesIO((HEAD + "X01,2026-03-02,mud,mʌd,\n" * 60).encode()))
    assert [(each.code, each.line) for each in found.problems] == [("sample.bound", 22)] and found.rows == 21
    half = count_pairs(io.BytesIO((HEAD + (MUD + "X01,2026-03-02,mud,mʌd,\n") * 60).encode()))
    assert half.problems == () and half.rows == 120


def test_problems_and_attempts_are_read_to_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_PROBLEMS", 10)
    bad = sample(HEAD + "X01,2026-03-02,mud,mʌd,§§§\n" * 50)
    assert [(each.code, each.line) for each in fatal(bad) if each.code == "sample.bound"] == [
        ("sample.bound", 5)
    ] and bad.rows == 4
    some = sample(HEAD + (MUD * 8 + "X01,2026-03-02,mud,mʌd,§\n") * 20)
    assert len(some.refused) == 20 and some.rows == 180  # one row in nine is wrong: it is a sample
    often = sample_module.open_reader(
        io.BytesIO((HEAD + "X01,2026-03-02,mud,mʌd,mʌ / ma / da\n" * 40).encode()), bounds=reader.Bounds(50, 50, 500)
    )
    assert len(list(often)) == 17  # the 51st attempt stands in the 17th row
    often.finish()
    assert [(each.code, "more than 50 attempts" in each.message) for each in often.log.problems()] == [
        ("sample.bound", True)
    ]


def test_no_message_repeats_a_page_of_text() -> None:
    long = "blah " * 5_000
    rows = (
        f"{long},{long},{long},,mʌ",
        f"X01,2026-03-02,mud,mʌd,{long}",
        f"X01,2026-03-02,{long},{long},mʌ",
        MUD.strip(),
    )
    found = sample(
        HEAD.replace("\n", ",language,age,attempt,context\n")
        + "".join(f"{row},{long},{long},{long},{long}\n" for row in rows)
    )
    assert found.problems and found.rows == 4
    assert max(len(str(each)) for each in found.problems) < 400


def test_different_adult_forms_are_read_to_a_bound_too() -> None:
    rows = [f"X01,2026-03-02,mud,{'ba' * number},mʌ\n" for number in range(1, 31)]
    many = sample_module.open_reader(io.BytesIO((HEAD + "".join(rows)).encode()), bounds=reader.Bounds(50, 20, 10_000))
    assert len(list(many)) == 11
    many.finish()
    assert "more than 10 different adult forms" in many.log.problems()[-1].message
    long = sample_module.open_reader(io.BytesIO((HEAD + "".join(rows)).encode()), bounds=reader.Bounds(50, 80, 100))
    assert len(list(long)) == 9  # 2 + 4 + ... + 18 letters and two more of each production are 108
    long.finish()
    assert "more than 100 letters in different forms" in long.log.problems()[-1].message


def test_half_a_file_that_became_one_cell_is_fatal() -> None:
    found = sample(HEAD + MUD + "x" * 3000 + "\n")
    assert [(each.code, each.line) for each in fatal(found)] == [("sample.bare", 3)]


@pytest.mark.parametrize(
    ("name", "most", "line"), [("MOST_LINES", 10, "{}"), ("MOST_KEYS", 5, None), ("MOST_BAD", 4, "[1]")]
)
def test_json_lines_are_read_to_a_bound(
    name: str, most: int, line: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    from approx.samples.files import other_formats

    monkeypatch.setattr(other_formats, "MOST_LINES", 10 if name == "MOST_LINES" else 1000)
    monkeypatch.setattr(other_formats, name, most)
    text = '{"target_word": "mud"}\n' + "".join(f"{line or json.dumps({f'k{number}': 1})}\n" for number in range(30))
    found = sample(text)
    (problem,) = [each for each in found.problems if each.code == "sample.bound"]
    assert problem.fatal and problem.line in (most + 1, most + 2, most + 3)


def test_a_packed_file_that_is_nothing_but_air_is_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    import gzip

    from approx.samples.files import other_formats

    monkeypatch.setattr(other_formats, "_SMALL", 2_000_000)
    (problem,) = sample(gzip.compress(bytes(5_000_000))).problems
    assert problem.code == "sample.file" and "200 times its size" in problem.message and problem.hint
    assert words(sample(gzip.compress((HEAD + MUD * 1000).encode())))[:1] == ["mud"]


def test_a_line_without_end_is_named_and_what_stands_before_it_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    from approx.samples.files import table

    monkeypatch.setattr(table, "LONGEST_LINE", 500)
    found = sample(HEAD + MUD + CUP + "a," * 400 + "\n" + SUN)
    assert words(found) == ["mud", "cup"]
    assert [(each.code, each.line) for each in fatal(found)] == [("sample.bound", 4)]
    above = sample("Words of March\n" + HEAD + MUD * 300 + "b" * 700)
    assert [(each.code, each.line) for each in fatal(above)] == [("sample.bound", 302)] and above.rows == 300


def sheet_of_ods(rows: str) -> bytes:
    from nasty_kinds import _ods

    return _ods(rows)


def test_a_sheet_of_repeated_cells_is_not_unfolded() -> None:
    from nasty_kinds import _ODS_HEAD, _ods_row

    many = _ods_row("mud", "mʌd", "mʌ", repeat=' table:number-rows-repeated="1048575"')
    wide = '<table:table-row><table:table-cell table:number-columns-repeated="16384" office:value-type="string"/></table:table-row>'
    for rows in (many, wide * 100, many.replace("1048575", "1999999999")):
        (problem, *_) = sample(sheet_of_ods(_ODS_HEAD + rows)).problems
        assert problem.code == "sample.bound" and "cells in the sheet" in problem.message
    # as a spreadsheet ends a sheet: a million rows of nothing
    blank = '<table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    fine = sample(sheet_of_ods(_ODS_HEAD + _ods_row("mud", "mʌd", "mʌ") + blank))
    assert fine.problems == () and words(fine) == ["mud"]


def test_labels_are_found_by_the_time_they_share() -> None:
    from approx.samples.files.other_formats import TierInterval, rows_of_tiers

    tiers = {
        "word": [TierInterval(0, 1, "mud"), TierInterval(1, 1.4, "cup"), TierInterval(2, 3, "sun")],
        "produced_ipa": [TierInterval(0.1, 0.9, "mʌ"), TierInterval(1.1, 2.9, "tʌn"), TierInterval(4, 5, "ba")],
        "mark": [TierInterval(4.5, 4.5, "here"), TierInterval(0.95, 0.95, "nowhere")],
    }
    assert [row[2:] for row in rows_of_tiers(tiers)] == [
        ["produced_ipa", "word", "mark"], ["mʌ", "mud", ""], ["tʌn", "sun", ""], ["ba", "", "here"],
    ]  # fmt: skip
    many = [TierInterval(number, number + 1, f"w{number}") for number in range(60_000)]
    rows = rows_of_tiers({"produced_ipa": many, "word": many})  # minutes, if each looked at all the others
    assert all(row[2] == row[3] for row in rows[1:])


def test_long_forms_of_two_transcribers_are_laid_side_by_side_to_a_bound(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from approx.api.samples import agreement

    monkeypatch.setattr(agreement, "LONG_PAIR", 50)
    monkeypatch.setattr(agreement, "MOST_CELLS", 450)
    file = tmp_path / "a.csv"
    file.write_text(HEAD + MUD + "X01,2026-03-02,cup,kʌp,babababababa\n" * 5, encoding="utf-8")
    found = agreement.agree(str(file), str(file))
    # five pairs of 12 sounds are 144 each: the fourth goes beyond, and the short one counts for nothing
    assert len(found.words) == 4 and "2 tokens at the end" in found.problems[-1].message and found.problems[-1].fatal
    monkeypatch.setattr(agreement, "MOST_CELLS", 720)
    assert len(agreement.agree(str(file), str(file)).words) == 6


def test_a_child_in_every_row_is_held_to_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sample_module, "MOST_GROUPS", 5)
    found = sample(HEAD + "".join(f"C{number},2026-03-02,mud,mʌd,mʌ\n" for number in range(40)))
    assert [(each.code, each.line) for each in found.problems] == [("sample.bound", 7)] and len(found.tokens) == 6
