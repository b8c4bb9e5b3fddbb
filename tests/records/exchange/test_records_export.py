"""Out and in again without loss, and a zip that means harm refused."""

from __future__ import annotations

import csv
import io
import json
import struct
import zipfile
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from filled_caseload import PROFILE, code_of, fill, filled, opened, sure
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from approx.records.caseload import Caseload
from approx.records.database.rows import ProbeEntry, Refused, TrialEntry
from approx.records.exchange import archive
from approx.records.exchange.portable import TABLE_ORDER, plain_columns

FORMULAS = (
    "=1+1",
    "+1",
    "-a",
    "@cmd",
    "\t=1",
    "'=1",
    "''=1",
    "3-2",
    "8/10",
    "007",
    "1e5",
    "2026-03-02",
    '=HYPERLINK("x")',
)


@pytest.fixture
def caseload(tmp_path: Path) -> Caseload:
    return filled(tmp_path / "caseload.sqlite")


def content(data: bytes) -> dict[str, Any]:
    """The tables of an export, as JSON says them."""
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        found: dict[str, Any] = json.loads(packed.read("caseload.json"))["tables"]
    return found


def without_json(data: bytes) -> bytes:
    """The export with its CSV files alone."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as packed, zipfile.ZipFile(out, "w") as kept:
        for name in packed.namelist():
            if name.endswith(".csv"):
                kept.writestr(name, packed.read(name))
    return out.getvalue()


def json_alone(data: bytes) -> bytes:
    """The export with its JSON file alone."""
    with zipfile.ZipFile(io.BytesIO(data)) as whole:
        return packed(caseload_json=whole.read("caseload.json"))


def packed(**members: bytes | str) -> bytes:
    """A zip of such members; the last underscore of a name is its dot."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in members.items():
            made.writestr(".".join(name.rsplit("_", 1)), data)
    return out.getvalue()


def as_export(tables: dict[str, Any], **head: Any) -> bytes:
    return packed(caseload_json=json.dumps({"format": "approx caseload", "schema": 3, "tables": tables} | head))


def test_every_table_comes_back_from_json_and_from_csv(caseload: Caseload, tmp_path: Path) -> None:
    fill(caseload, "M12")
    exported = sure(caseload.export_all())
    assert exported.remarks == () and exported.name.endswith(".zip")
    tables = content(exported.data)
    assert set(tables) == set(TABLE_ORDER) and all(table["rows"] for table in tables.values())
    for number, data in enumerate((exported.data, without_json(exported.data), json_alone(exported.data))):
        other = opened(tmp_path / f"{number}.sqlite")
        taken = sure(other.import_zip(data))
        assert taken.codes == ("K07", "M12") and dict(taken.rows)["trials"] == 8
        assert content(sure(other.export_all()).data) == tables
        assert other.check() is None
        assert [found.text for found in sure(other.profile_history("K07"))] == [PROFILE]
        assert [(probe.words, probe.phase) for probe in sure(other.probes("M12"))] == [
            ((("mud", True), ("pot", False)), "A")
        ]
        assert sure(other.progress("K07")).sessions[0][1:] == sure(caseload.progress("K07")).sessions[0][1:]


def test_a_child_is_taken_in_under_another_code(caseload: Caseload) -> None:
    data = sure(caseload.export_child("k07")).data
    assert code_of(caseload.import_zip(data)) == "records.twice"
    assert sure(caseload.import_zip(data, {"K07": "Q19"})).codes == ("Q19",)
    profile = sure(caseload.profile("Q19"))
    assert profile is not None and 'code     = "Q19"' in profile.text and profile.remarks == ()
    assert sure(caseload.sample(sure(caseload.samples("Q19"))[0].id)).rows[0].cells[0] == "Q19"
    assert sure(caseload.profile("K07")) != profile
    assert code_of(caseload.import_zip(data, {"K07": "a/b"})) == "records.code"
    assert code_of(caseload.import_zip(data, {"M12": "Q20"})) == "records.no_child"


def test_what_was_deleted_is_not_given_out(caseload: Caseload) -> None:
    sure(caseload.delete_note(sure(caseload.notes("K07"))[0].id))
    sure(caseload.undo_trial(sure(caseload.sessions("K07"))[0].id))
    tables = content(sure(caseload.export_all()).data)
    assert tables["notes"]["rows"] == [] and len(tables["trials"]["rows"]) == 3
    assert len(sure(caseload.export_all()).data) > 0


def test_a_note_of_a_deleted_session_stays(caseload: Caseload, tmp_path: Path) -> None:
    sure(caseload.delete_session(sure(caseload.sessions("K07"))[0].id))
    other = opened(tmp_path / "other.sqlite")
    sure(other.import_zip(sure(caseload.export_all()).data))
    (note,) = sure(other.notes("K07"))
    assert note.session_id is None and note.plan == "more mud"


@pytest.mark.parametrize("from_json", [True, False])
def test_a_formula_stays_a_text(caseload: Caseload, tmp_path: Path, from_json: bool) -> None:
    for text in FORMULAS:
        sure(caseload.add_note("K07", objective=text))
        sure(caseload.add_goal("K07", text))
    data = sure(caseload.export_all()).data
    with zipfile.ZipFile(io.BytesIO(data)) as exported:
        rows = list(csv.reader(io.StringIO(exported.read("goals.csv").decode("utf-8-sig"), newline="")))
        book = io.BytesIO(exported.read("caseload.xlsx"))
    assert not any(cell[:1] in ("=", "+", "-", "@", "\t") for row in rows for cell in row)
    from openpyxl import load_workbook

    cells = [cell for row in load_workbook(book)["goals"].iter_rows() for cell in row]
    assert {cell.data_type for cell in cells if cell.value is not None} == {"s"}
    assert set(FORMULAS) <= {cell.value for cell in cells}
    other = opened(tmp_path / "other.sqlite")
    sure(other.import_zip(json_alone(data) if from_json else without_json(data)))
    assert [goal.text for goal in sure(other.goals("K07"))][1:] == list(FORMULAS)


WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n\r\t"), max_size=30)
LINES = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=20).map(str.strip)
HELP = st.sampled_from(["touch", "together", "after-me", "model-wait", "none"])


@pytest.mark.slow
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    note=WORDS,
    texts=st.lists(st.sampled_from(FORMULAS) | WORDS, min_size=4, max_size=4),
    title=LINES,
    cells=st.lists(st.tuples(WORDS, st.sampled_from(["pi", "kʌ / tʌ", "§", "-", "", "'mama"])), min_size=1, max_size=5),
    probes=st.lists(st.tuples(LINES.filter(bool), st.integers(0, 9), st.integers(9, 99), WORDS), max_size=4,
                    unique_by=lambda probe: probe[0]),
    tries=st.lists(st.tuples(HELP, st.integers(0, 2)), max_size=6),
    sets=st.lists(WORDS, max_size=3),
)  # fmt: skip
def test_nothing_is_lost_on_the_way(
    note: str, texts: list[str], title: str, cells: list[tuple[str, str]], probes: list[tuple[str, int, int, str]],
    tries: list[tuple[str, int]], sets: list[str],
) -> None:  # fmt: skip
    with TemporaryDirectory() as folder:
        caseload = opened(Path(folder) / "a.sqlite")
        sure(caseload.add_child("K07", note=note, languages=("es", "en-US"), birth_month="2023-01"))
        sure(caseload.add_sample("K07", ("target_word", "produced_ipa"), [*cells, ("", "ba")], title=title))
        session, target = sure(caseload.start_session("K07", note=note)), sure(caseload.add_target("K07", "mud", "mʌd"))
        sure(caseload.record_trials(session.id, [TrialEntry(target.id, help, result) for help, result in tries]))
        sure(
            caseload.add_note(
                "K07", session_id=session.id, **dict(zip(("subjective", "objective", "assessment", "plan"), texts))
            )
        )
        sure(caseload.add_phase("K07", "A", 1, word_sets=sets, note=note))
        for number, (word_set, right, out_of, said) in enumerate(probes, 1):
            sure(caseload.add_probes("K07", [ProbeEntry(number, word_set, right, out_of, note=said)]))
        data = sure(caseload.export_child("K07")).data
        for number, exported in enumerate((json_alone(data), without_json(data))):
            other = opened(Path(folder) / f"{number}.sqlite")
            sure(other.import_zip(exported))
            assert content(sure(other.export_all()).data) == content(data)
            (mine,), (theirs,) = sure(caseload.notes("K07")), sure(other.notes("K07"))
            assert replace(theirs, id=mine.id, session_id=mine.session_id) == mine
            assert sure(other.child("K07")).note == note
            assert sure(other.phases("K07"))[0].word_sets == tuple(sets)
            (sample,) = sure(other.samples("K07"))
            assert [row.cells for row in sure(other.sample(sample.id)).rows] == [*cells, ("", "ba")]


def test_the_data_dictionary_names_every_column(caseload: Caseload) -> None:
    with zipfile.ZipFile(io.BytesIO(sure(caseload.export_all()).data)) as exported:
        words = exported.read("README.txt").decode()
        for table in TABLE_ORDER:
            header = next(csv.reader(io.StringIO(exported.read(f"{table}.csv").decode("utf-8-sig"))))
            assert header == [column.name for column in plain_columns(table)]
            assert all(f"  {column.name} " in words and column.comment in words for column in plain_columns(table))


def test_a_zip_that_is_none_is_said_so(caseload: Caseload, tmp_path: Path) -> None:
    good = sure(caseload.export_all()).data
    for data in (b"", b"hello", good[: len(good) // 2], bytes(100)):
        assert code_of(caseload.import_zip(data)) == "records.no_zip"
    assert code_of(caseload.import_zip(tmp_path / "none.zip")) == "records.file"
    assert code_of(caseload.import_zip(packed(notes_txt="hello"))) == "records.no_export"


def test_a_damaged_member_is_said_so(caseload: Caseload) -> None:
    data = bytearray(packed(caseload_json=json.dumps({"format": "approx caseload"})))
    data[45] ^= 0xFF
    assert code_of(caseload.import_zip(bytes(data))) == "records.no_zip"


@pytest.mark.parametrize(
    "name",
    ["../caseload.json", "/etc/caseload.json", "..\\caseload.json", "C:caseload.json", "tables/children.csv", "a\x00b"],
)
def test_tricks_with_paths_are_refused(caseload: Caseload, tmp_path: Path, name: str) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        member = zipfile.ZipInfo("caseload.json")
        member.filename = name
        made.writestr(member, "{}")
    before = sorted(tmp_path.iterdir())
    assert code_of(caseload.import_zip(out.getvalue())) == "records.zip"
    assert sorted(tmp_path.iterdir()) == before


def test_bombs_are_refused_before_they_unfold(caseload: Caseload) -> None:
    blanks = b" " * 5_000_000
    assert code_of(caseload.import_zip(packed(caseload_json=blanks))) == "records.bomb"
    assert code_of(caseload.import_zip(packed(children_csv=blanks))) == "records.bomb"
    assert (
        code_of(caseload.import_zip(packed(**{f"a{n}_csv": "x" for n in range(archive.MOST_MEMBERS + 1)})))
        == "records.zip"
    )


def test_a_zip_with_a_password_and_one_of_too_many_files_are_told_apart(caseload: Caseload) -> None:
    """The mark of a password stands in the directory of the zip; as many files as are allowed are no fault."""
    locked = bytearray(packed(caseload_json="{}"))
    struct.pack_into("<H", locked, locked.rindex(b"PK\x01\x02") + 8, 1)
    refused = caseload.import_zip(bytes(locked))
    assert code_of(refused) == "records.zip" and "password" in str(refused.problems[0])  # type: ignore[union-attr]
    most = caseload.import_zip(packed(**{f"a{n}_csv": "x" for n in range(64)}))
    assert code_of(most) == "records.no_export"
    refused = caseload.import_zip(packed(**{f"a{n}_csv": "x" for n in range(65)}))
    assert code_of(refused) == "records.zip" and "more than 64 files" in str(refused.problems[0])  # type: ignore[union-attr]


def test_a_member_that_lies_about_its_size_is_refused(caseload: Caseload) -> None:
    data = bytearray(packed(caseload_json=" " * 5_000_000))
    where = data.rindex(b"PK\x01\x02") + 24  # the size in the directory of the zip
    struct.pack_into("<I", data, where, 10)
    assert code_of(caseload.import_zip(bytes(data))) in ("records.bomb", "records.no_zip")


def test_a_json_nested_without_end_is_refused(caseload: Caseload) -> None:
    assert code_of(caseload.import_zip(packed(caseload_json="[" * 100_000))) == "records.no_export"


def test_rows_that_do_not_fit_are_named_and_nothing_is_taken_in(caseload: Caseload) -> None:
    good = content(sure(caseload.export_all()).data)

    def changed(table: str, column: str, value: Any) -> bytes:
        tables = json.loads(json.dumps(good))
        tables["children"]["rows"][0][0] = "Q19"
        for name in TABLE_ORDER[1:]:
            for row in tables[name]["rows"]:
                row[0] = "Q19"
        tables[table]["rows"][0][tables[table]["columns"].index(column)] = value
        return as_export(tables)

    bad = [
        ("children", "code", "../x"), ("children", "age", "old"), ("children", "note", 7), ("trials", "result", 3),
        ("trials", "help", "shouting"), ("trials", "result", "2"), ("trials", "session", 99), ("trials", "word", "egg"),
        ("probes", "right", 99), ("probes", "out_of", True), ("notes", "session", 8), ("phases", "word_sets", "{"),
        ("samples", "header", "[1]"), ("sample_rows", "sample", 5), ("goals", "child", "M12"), ("goals", "text", None),
        ("sessions", "date", "yesterday"), ("sessions", "number", 10**30), ("profiles", "text", "a\x00b"), ("notes", "plan", []),
    ]  # fmt: skip
    for table, column, value in bad:
        answer = caseload.import_zip(changed(table, column, value))
        assert isinstance(answer, Refused), (table, column, value)
        assert answer.problems[0].code == "records.row" and answer.problems[0].line is not None, answer
    assert [line.child.code for line in sure(caseload.children())] == ["K07"]
    assert sure(caseload.import_zip(changed("goals", "text", "good"))).codes == ("Q19",)


def test_tables_that_are_not_ours_are_refused(caseload: Caseload) -> None:
    child = {"columns": ["code", "languages"], "rows": [["Q19", "en-US"]]}
    for tables in (
        {"songs": child}, {"children": []}, {"children": {"columns": "code", "rows": []}},
        {"children": {"columns": ["code", "weight"], "rows": [["Q19", "3"]]}},
        {"children": {"columns": ["age"], "rows": [["3;2"]]}}, {"children": {"columns": ["code"], "rows": [["Q19", "x"]]}},
        {"children": {"columns": ["code", "code"], "rows": [["Q19", "Q20"]]}}, {"children": {"columns": ["code"], "rows": [7]}},
        {"children": {"columns": ["code"], "rows": [["Q19"], ["q19"]]}},
    ):  # fmt: skip
        assert isinstance(caseload.import_zip(as_export(tables)), Refused), tables
    assert code_of(caseload.import_zip(as_export({"children": child}, schema=99))) == "records.newer"
    assert code_of(caseload.import_zip(as_export({"children": child}, format="other"))) == "records.no_export"
    assert sure(caseload.import_zip(as_export({"children": child}))).codes == ("Q19",)


def test_a_file_that_is_no_part_of_it_is_named(caseload: Caseload, tmp_path: Path) -> None:
    data = io.BytesIO(sure(caseload.export_all()).data)
    with zipfile.ZipFile(data, "a") as more:
        more.writestr("picture.png", b"x")
    taken = sure(opened(tmp_path / "other.sqlite").import_zip(data.getvalue()))
    assert [remark.code for remark in taken.remarks] == ["records.not_read"]
