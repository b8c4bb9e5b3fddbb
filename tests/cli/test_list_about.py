"""`approx list`, `approx about` and `approx doctor` in this process: what is printed where, and the exit codes."""

from __future__ import annotations

import csv
import json
import re
import tomllib
from pathlib import Path

import pytest
from places import ROOT

from approx.api.reference import source_sentence
from approx.cli import reference_commands
from approx.cli.main import app
from approx.processes import doctor as doctor_module
from approx.processes.rules.norms import age_ranges, ages_of, years
from approx.reports.text.drawn import Columns, columns

RULES = ROOT / "rules"
Printed = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def in_the_checkout(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def run(*words: str) -> int:
    """A command, with its exit code."""
    return app(list(words), standalone_mode=False) or 0


def list_things(what: str, as_json: bool) -> int:
    return run("list", what, *(["--json"] if as_json else []))


def about(name: str, as_json: bool) -> int:
    return run("about", *(["--json"] if as_json else []), "--", name)


def doctor(rules: Path, as_json: bool) -> int:
    return run("doctor", "--rules", str(rules), *(["--json"] if as_json else []))


def processes() -> list[dict[str, str]]:
    with (RULES / "processes.toml").open("rb") as file:
        found: list[dict[str, str]] = tomllib.load(file)["process"]
    return found


def norm_rows(name: str) -> list[dict[str, str]]:
    lines = (RULES / "norms" / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader([line for line in lines if line[0] != "#"], delimiter="\t", quoting=csv.QUOTE_NONE))


def test_list_of_processes_has_a_line_each_with_file_and_line(capsys: Printed) -> None:
    assert list_things("processes", as_json=False) == 0
    out = capsys.readouterr().out.splitlines()[1:]
    assert [line.split()[0] for line in out] == [process["id"] for process in processes()]
    lines = (RULES / "processes.toml").read_text(encoding="utf-8").splitlines()
    for line, process in zip(out, processes(), strict=True):
        assert process["says"] in line
        assert process["source"] in line
        place = re.search(r"rules/processes\.toml:(\d+)$", line)
        assert place is not None
        assert f'"{process["id"]}"' in lines[int(place[1])], "the line after [[process]] holds the id"


def test_list_of_measures_names_the_source_of_each(capsys: Printed) -> None:
    assert list_things("measures", as_json=True) == 0
    items = {item["id"]: item for item in json.loads(capsys.readouterr().out)["items"]}
    assert {"wcm", "ipc"} <= {*items}
    assert "Stoel-Gammon 2010" in items["wcm"]["source"]
    assert "Jakielski 1998" in items["ipc"]["source"]
    for item in items.values():
        assert item["source"] and item["says"], item
        text = (ROOT / item["file"]).read_text(encoding="utf-8").splitlines()
        assert text[item["line"] - 1].startswith("def "), item


def test_list_of_norms_covers_every_row_of_the_tables(capsys: Printed) -> None:
    assert list_things("norms", as_json=True) == 0
    ids = {item["id"] for item in json.loads(capsys.readouterr().out)["items"]}
    for row in norm_rows("process_ages.tsv"):
        for name in row["process"].split("|") if row["process"] else [row["named"]]:
            assert f"process-age.{row['language'].lower()}.{name.replace(' ', '-')}" in ids
    for row in norm_rows("consonant_ages.tsv"):
        assert f"consonant-age.{row['language'].lower()}.{row['sound']}" in ids


@pytest.mark.parametrize("what", ["processes", "measures", "norms"])
def test_json_of_lists_has_the_same_keys_for_all(capsys: Printed, what: str) -> None:
    assert list_things(what, as_json=True) == 0
    answer = json.loads(capsys.readouterr().out)
    assert list(answer) == ["what", "items", "problems"]
    assert answer["what"] == what
    assert {tuple(item) for item in answer["items"]} == {("id", "says", "source", "file", "line")}


def test_unknown_list_is_wrong_use(capsys: Printed) -> None:
    assert list_things("words", as_json=False) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "processes, measures, norms" in printed.err


@pytest.mark.parametrize(
    ("name", "process"),
    [
        ("velar fronting", "velar-fronting"),
        ("velar-fronting", "velar-fronting"),
        ("Velar Fronting", "velar-fronting"),
        ("depalatalization", "palatal-fronting"),
        ("palatal fronting", "palatal-fronting"),
        ("gliding of liquids", "gliding"),
        ("cluster simplification", "cluster-reduction"),
    ],
)
def test_a_process_is_found_by_name_id_and_synonym(capsys: Printed, name: str, process: str) -> None:
    """Synonyms: measures reference, section 8 (palatal fronting and depalatalization are one thing in many lists)."""
    assert about(name, as_json=True) == 0
    found = json.loads(capsys.readouterr().out)["found"]
    assert (found[0]["kind"], found[0]["id"]) == ("process", process)


def test_a_name_for_several_processes_shows_them_all(capsys: Printed) -> None:
    assert about("consonant harmony", as_json=True) == 0
    found = {thing["id"] for thing in json.loads(capsys.readouterr().out)["found"]}
    assert found == {f"{place}-assimilation" for place in ("labial", "alveolar", "velar", "nasal")}


def test_a_process_is_printed_with_rules_examples_and_places(capsys: Printed) -> None:
    assert about("final consonant deletion", as_json=False) == 0
    out = capsys.readouterr().out
    assert "the last consonant of a word is omitted" in out
    assert "bʊk → bʊ" in out
    assert re.search(r"rules/processes/deletion\.toml:\d+", out)
    assert "C -> ∅ / V _ #" in out


def test_ages_are_a_range_over_sources_with_a_caution(capsys: Printed) -> None:
    """Velar fronting: 3;0 (Stoel-Gammon & Dunn 1985) to 3;11 (Dodd, Holm, Hua & Crosbie 2003); no handout counts."""
    (english,) = [found for found in ages_of("velar fronting") if found.language == "English"]
    assert (english.low, english.high) == (36, 47)
    assert about("velar fronting", as_json=False) == 0
    out = capsys.readouterr().out
    assert "usually suppressed by 3;0 to 3;11 in 4 sources" in out
    assert "no limit and no verdict" in out
    assert "from memory" in out
    assert "3;6" in out and "Grunwell 1997" in out


def test_no_range_is_given_as_one_limit() -> None:
    for found in age_ranges():
        if found.low is not None and found.high is not None:
            spread = f"{years(found.low)} to {years(found.high)}" in found.says
            assert spread or "only source" in found.says and "no range" in found.says, found.id


def test_only_typical_rows_count_in_a_range() -> None:
    """Roberts, Burchinal & Footo 1990: 4;0 for common processes; their 2;6 is about uncommon ones and stays out."""
    (any_english,) = [found for found in ages_of("any") if found.language == "English"]
    assert (any_english.low, any_english.high) == (48, 48)


def test_ages_in_years_and_months() -> None:
    assert [years(months) for months in (0, 11, 24, 42, 107)] == ["0;0", "0;11", "2;0", "3;6", "8;11"]


NORMS = [
    ("process_ages.tsv", {"process": "velar fronting", "gone_by_months": "42"}, "Grunwell 1997"),
    ("process_ages.tsv", {"process": "gliding", "gone_by_months": "71"}, "Dodd, Holm, Hua & Crosbie 2003"),
    ("process_ages.tsv", {"process": "stopping", "detail": "θ", "gone_by_months": "60"}, "Grunwell 1997"),
    ("consonant_ages.tsv", {"sound": "ɹ", "band_low_months": "60", "band_high_months": "71"}, "Crowe & McLeod 2020"),
    ("consonant_ages.tsv", {"sound": "k", "three_quarters_months": "28"}, "Prather, Hedrick & Kern 1975"),
]
"""Rows checked by hand against the works named."""


@pytest.mark.parametrize(("table", "cells", "source"), NORMS)
def test_norm_rows_are_as_in_the_reference(table: str, cells: dict[str, str], source: str) -> None:
    found = [row for row in norm_rows(table) if cells.items() <= row.items() and source in row["source"]]
    assert found, cells


def test_norm_tables_are_whole() -> None:
    """Of 95 and 320 rows the 20 and 33 that rested on anonymous pages alone are gone; 4 and 1 of named works came."""
    assert (len(norm_rows("process_ages.tsv")), len(norm_rows("consonant_ages.tsv"))) == (95 - 20 + 4, 320 - 33 + 1)


@pytest.mark.parametrize("table", ["process_ages.tsv", "consonant_ages.tsv"])
def test_every_age_rests_on_a_named_work(table: str) -> None:
    """Authors and a year; no handout, chart, flashcard or advice page stands for them."""
    rows = norm_rows(table)
    assert [row for row in rows if not re.match(r"[A-Z]\S+.*\b(19|20)\d\d\b", row["source"])] == []
    vague = re.compile("anonymous process chart|handout|flashcard|advice page|encyclop", re.IGNORECASE)
    assert [row for row in rows if vague.search(row["source"] + row["note"])] == []


def test_the_trill_is_not_reached_at_the_end_of_the_study() -> None:
    """Jiménez 1987: children to 5;7 (67 months); fewer than 90% of the oldest had r."""
    (found,) = [
        row for row in norm_rows("consonant_ages.tsv") if "Jiménez 1987" in row["source"] and row["sound"] == "r"
    ]
    assert found["nine_tenths_months"] == ""
    assert "not reached by 5;7 (67 months)" in found["note"]


def test_a_sound_shows_its_ages(capsys: Printed) -> None:
    assert about("θ", as_json=True) == 0
    found = json.loads(capsys.readouterr().out)["found"]
    assert {thing["id"] for thing in found} == {"consonant-age.english.θ"}  # no named work gives Spanish θ an age
    assert all(row["source"] and row["provenance"] for thing in found for ages in thing["ages"] for row in ages["rows"])


def test_a_measure_shows_its_docstring(capsys: Printed) -> None:
    assert about("WCM", as_json=False) == 0
    out = capsys.readouterr().out
    assert "Stoel-Gammon 2010" in out
    assert "h_is_fricative" in out
    assert re.search(r"approx/scoring/judging/complexity\.py:\d+", out)


def test_a_rule_shows_change_cost_and_examples(capsys: Printed) -> None:
    assert about("stopping.labial", as_json=True) == 0
    (found,) = json.loads(capsys.readouterr().out)["found"]
    assert found["kind"] == "rule"
    assert (found["change"], found["process"]) == ("{f v} -> {p b}", "stopping")
    assert ["fæn", "pæn"] in found["examples"]


def test_a_class_shows_its_sounds(capsys: Printed) -> None:
    assert about("nasal", as_json=True) == 0
    (found,) = json.loads(capsys.readouterr().out)["found"]
    assert (found["kind"], {*found["sounds"]}) == ("class", {"m", "n", "ŋ", "ɲ", "ɱ"})
    line = (RULES / "ipa" / "classes.toml").read_text(encoding="utf-8").splitlines()[found["line"] - 1]
    assert line.startswith("nasal")


@pytest.mark.parametrize("as_json", [False, True])
def test_an_unknown_name_is_wrong_use_and_names_the_nearest(capsys: Printed, as_json: bool) -> None:
    assert about("velar fronning", as_json) == 2
    printed = capsys.readouterr()
    assert "velar fronting" in printed.err
    if as_json:
        assert json.loads(printed.out)["nearest"][0] == "velar fronting"
    else:
        assert printed.out == ""


@pytest.mark.parametrize("name", ["", "   ", "🙂", "x" * 10_000])
def test_odd_names_are_wrong_use(capsys: Printed, name: str) -> None:
    assert about(name, as_json=False) == 2
    assert capsys.readouterr().out == ""


def test_plain_columns_to_a_file_and_a_drawn_table_in_a_terminal(
    capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    list_things("processes", as_json=False)
    plain = capsys.readouterr().out
    assert not re.search(r"[─━│┃]", plain)
    starts = {line.index(word) for line, word in zip(plain.splitlines()[1:3], ("the last", "the first"), strict=True)}
    assert len(starts) == 1, "the second column begins in one place"
    monkeypatch.setattr(reference_commands, "is_terminal", lambda: True)
    monkeypatch.setenv("COLUMNS", "200")
    list_things("processes", as_json=False)
    assert re.search(r"[─━│┃]", capsys.readouterr().out)


def test_columns_keep_in_line_under_tie_bars() -> None:
    """A tie bar takes no room, so the column after t͡ʃ begins where it does after tt."""
    lines = columns(Columns(("a", "b"), (("t͡ʃ", "x"), ("ttt", "y"))))
    assert lines[1] == "t͡ʃ   x"
    assert lines[2] == "ttt  y"


def test_source_is_read_from_a_docstring() -> None:
    text = "One line.\n\nWhat.\nSource: Author 1999, Journal 1:2-3\n(from memory).\n\n>>> more"
    assert source_sentence(text) == "Author 1999, Journal 1:2-3 (from memory)."
    assert source_sentence("no word of it") == ""


def test_doctor_prints_what_was_checked_and_lists_problems_apart(
    capsys: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(doctor_module, "table_faults", lambda names: iter(()))  # checked in test_doctor
    text = '[[rule]]\nid = "stopping.x"\nprocess = "stopping"\nchange = "[+lips] -> p"\ncost = 1\nsource = "x 1990"\n'
    (tmp_path / "own.toml").write_text(text + 'examples = [["fæn", "pæn"]]\n', encoding="utf-8")
    assert doctor(tmp_path, as_json=False) == 1
    printed = capsys.readouterr()
    assert re.match(r"checked: \d+ rules, \d+ examples, \d+ processes, \d+ tables", printed.out)
    assert f"{tmp_path / 'own.toml'}:1: rule 'stopping.x': '+lips'" in printed.err
    assert doctor(tmp_path, as_json=True) == 1
    answer = json.loads(capsys.readouterr().out)
    assert list(answer) == ["checked", "problems", "remarks"]
    assert [problem["code"] for problem in answer["problems"]] == ["rules.notation"]


def test_doctor_on_a_folder_that_is_not_there_is_wrong_use(capsys: Printed, tmp_path: Path) -> None:
    assert doctor(tmp_path / "none", as_json=False) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "no folder" in printed.err
