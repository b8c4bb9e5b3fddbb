"""Samples: kept as typed, read as `approx score` reads them, never with a name."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from filled_caseload import code_of, filled, opened, sure
from places import ROOT

from approx.records.caseload import Caseload
from approx.records.database.rows import Conflict, Refused
from approx.samples.rows.sample import read_sample, sample_of
from approx.scoring.sample_score import score_group

HEADER = ("target_word", "target_ipa", "produced_ipa")


@pytest.fixture
def caseload(tmp_path: Path) -> Caseload:
    made = opened(tmp_path / "caseload.sqlite")
    for code in ("K07", "M12", "T03"):
        sure(made.add_child(code))
    return made


@pytest.mark.parametrize("name", ["k07", "m12", "t03"])
def test_a_kept_sample_is_read_again_to_the_same_scores(caseload: Caseload, name: str) -> None:
    path = ROOT / f"samples/{name}.csv"
    kept = sure(caseload.add_sample_file(name.upper(), path.read_bytes(), path.name))
    again, direct = sample_of(kept.header, kept.cells()), read_sample(path)
    assert again.tokens == direct.tokens and again.left_out == direct.left_out
    assert score_group({}, again.tokens) == score_group({}, direct.tokens)
    assert sure(caseload.sample(kept.info.id)).rows == kept.rows and kept.info.rows == direct.rows


def test_what_was_typed_stands_beside_what_was_read(caseload: Caseload) -> None:
    rows = [
        ["pea", "pi", "bi"], ["mama", "ˈmɑmə", "'mama"], ["go", "ɡoʊ", "ga"], ["cup", "kʌp", "kʌ / tʌp"], ["up", "ʌp", ""],
        ["", "", "wa"], ["", "", ""], ["spoon", "spun", "§"], ["egg", "ɛɡ", "-"],
    ]  # fmt: skip
    kept = sure(caseload.add_sample("K07", HEADER, rows, date="2026-03-02"))
    assert [list(row.cells) for row in kept.rows] == rows
    assert [row.row for row in kept.rows] == list(range(2, 11))
    assert [(row.read_produced, row.kind) for row in kept.rows] == [
        ("bi", "scored"), ("ˈmama", "scored"), ("ɡa", "scored"), ("kʌ / tʌp", "scored"), ("", "no response"),
        ("wa", "no gloss"), ("", "blank"), ("", "refused"), ("", "omitted"),
    ]  # fmt: skip
    assert any(problem.line == 9 for problem in kept.remarks)


def test_a_name_in_the_column_of_the_child_is_not_kept(caseload: Caseload) -> None:
    rows = [["Anna", "pi", "bi"], ["", "kʌp", "kʌ"]]
    kept = sure(caseload.add_sample("K07", ("child", "target_ipa", "produced_ipa"), rows))
    assert [row.cells[0] for row in kept.rows] == ["K07", ""]
    assert kept.remarks[0].code == "records.code_put" and not any("Anna" in str(found) for found in kept.remarks)


def test_rows_of_two_children_are_refused(caseload: Caseload) -> None:
    rows = [["K07", "pi", "bi"], ["M12", "kʌp", "kʌ"]]
    answer = caseload.add_sample("K07", ("child", "target_ipa", "produced_ipa"), rows)
    assert code_of(answer) == "records.several_children" and caseload.samples("K07") == ()


def test_only_the_name_of_a_file_is_kept(caseload: Caseload) -> None:
    for file in ("/home/anna/visits/k07.csv", "C:\\Users\\anna\\k07.csv"):
        assert sure(caseload.add_sample("K07", HEADER, [["pea", "pi", "bi"]], file=file)).info.file == "k07.csv"


def test_guards_against_formulas_are_taken_off_a_file(caseload: Caseload) -> None:
    data = "target_word,target_ipa,produced_ipa\r\negg,ɛɡ,'-ɡ\r\nup,ʌp,'=ʌp\r\n".encode()
    assert [row.cells[2] for row in sure(caseload.add_sample_file("K07", data, "a.csv")).rows] == ["-ɡ", "=ʌp"]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "sample.empty"), (b"\xd0\xcf\x11\xe0" + bytes(600), "sample.file"), (b"PK\x03\x04rubbish", "sample.file"),
        (b"word,colour\nmud,brown\n", "sample.header"),
    ],
)  # fmt: skip
def test_a_file_without_a_sample_is_refused(caseload: Caseload, data: bytes, code: str) -> None:
    assert code_of(caseload.add_sample_file("K07", data, "x")) == code
    assert caseload.samples("K07") == ()


def test_too_long_a_list_is_refused(caseload: Caseload) -> None:
    assert code_of(caseload.add_sample("K07", HEADER, [["pea", "pi", "bi"]] * 50_001)) == "records.long"


def test_a_sample_is_changed_by_version_and_read_again(caseload: Caseload) -> None:
    kept = sure(caseload.add_sample("K07", HEADER, [["pea", "pi", "bi"], ["cup", "kʌp", "kʌ"]]))
    rows = (replace(kept.rows[0], cells=("pea", "pi", "pi")),)
    changed = sure(caseload.save_sample(replace(kept, rows=rows)))
    assert [(row.cells, row.read_produced) for row in changed.rows] == [(("pea", "pi", "pi"), "pi")]
    answer = caseload.save_sample(kept)
    assert isinstance(answer, Conflict) and answer.current == replace(changed, remarks=())
    assert sure(caseload.sample(kept.info.id)).info.version == 2


def test_samples_come_latest_first_and_take_the_day_of_their_rows(caseload: Caseload) -> None:
    header = ("session_date", *HEADER)
    for day in ("2026-02-01", "2026-04-01", "2026-03-01"):
        sure(caseload.add_sample("K07", header, [[day, "pea", "pi", "bi"]]))
    assert [info.date for info in sure(caseload.samples("K07"))] == ["2026-04-01", "2026-03-01", "2026-02-01"]


def test_what_is_wrong_with_a_file_as_a_whole_names_its_row(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    head, row = "child,session_date,target_word,target_ipa,produced_ipa\n", "K07,2026-01-01,mud,mʌd,mʌ\n"
    for text, said in (
        (
            head + row + "\nTranscribed live; k like t\n",
            "2 children: 'K07' (row 2), 'Transcribed live; k like t' (row 4)",
        ),
        (head + row + row.replace("mʌd", "m\x00ʌd"), "U+0000 is in row 3"),
        (head + row + "a," * 2500 + "\n" + row, "row 3 has more than 2,000 cells"),
    ):
        answer = caseload.add_sample_file("K07", text.encode(), "a.csv")
        assert isinstance(answer, Refused) and said in answer.problems[0].message and answer.problems[0].hint
    caseload.close()


def test_a_file_beyond_a_bound_is_refused_and_not_kept_in_part(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    before = len(sure(caseload.samples("K07")))
    sounds = "ptkbdgmnszaiueo"
    forms = ("".join(f"{sounds[(n // 15**at) % 15]}a" for at in range(5)) * 24 for n in range(1200))
    text = "child,session_date,target_word,target_ipa,produced_ipa\n" + "".join(
        f"K07,2026-01-01,mud,mʌd,{form}\n" for form in forms
    )
    answer = caseload.add_sample_file("K07", text.encode(), "a.csv")
    assert code_of(answer) == "sample.bound" and len(sure(caseload.samples("K07"))) == before
    caseload.close()
