"""Probe tables: both layouts, starts of treatment, and everything that cannot be read named with row and column."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from places import SAMPLES

from approx.problems import Problem
from approx.progress.phases import Series
from approx.progress.probe_file import Probes, read_probe_table
from approx.samples.files.table import open_table

SAMPLE = SAMPLES / "probes.csv"
WIDE = """child\tsession\tphase\tset1_of_10\tset2_of_10\tuntreated_of_10
K07\t1\tA\t1\t0\t1
K07\t2\tA\t2\t1\t1
K07\t3\tB1\t4\t0\t1
K07\t4\tB2\t8\t5\t2
"""
HEAD = "child,session,phase,set,right,out_of\n"


def read(text: str, **options: object) -> Probes:
    return read_probe_table(open_table(BytesIO(text.encode())), **options)  # type: ignore[arg-type]


def by_name(found: Probes) -> dict[str, Series]:
    return {series.name: series for series in found.series}


def rights(series: Series) -> list[int]:
    return [point.right for point in series.points]


def codes(found: Probes) -> list[tuple[str, int | None, int | None]]:
    return [(problem.code, problem.line, problem.column) for problem in found.problems if problem.fatal]


def test_the_sample_is_the_table_of_the_scenario() -> None:
    found = by_name(read_probe_table(open_table(SAMPLE)))
    assert rights(found["set 1"]) == [1, 2, 1, 2, 2, 4, 4, 6, 6, 7, 8, 8, 8, 9, 8, 9, 9, 8, 8]
    assert rights(found["set 2"]) == [0, 1, 0, 1, 1, 0, 1, 1, 1, 2, 1, 2, 3, 5, 5, 6, 8, 8, 7]
    assert rights(found["untreated"]) == [1, 1, 1, 1, 1, 1, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 5, 5, 5]
    assert [found[name].treated_from for name in ("set 1", "set 2", "untreated")] == [5, 13, None]
    assert found["untreated"].untreated
    assert all(point.out_of == 10 for series in found.values() for point in series.points)


def test_a_set_a_column() -> None:
    found = read(WIDE, treated={"set2": "B2"})
    assert rights(by_name(found)["set1"]) == [1, 2, 4, 8]
    assert by_name(found)["set2"].treated_from == 4
    assert by_name(found)["untreated"].untreated


def test_two_columns_a_set() -> None:
    found = read("date,phase,set 1 correct,set 1 out of\n2026-03-02,A,1,8\n2026-03-09,B,5,8\n")
    (series,) = found.series
    assert (series.name, [(p.right, p.out_of, p.session) for p in series.points]) == ("set 1", [(1, 8, 1), (5, 8, 2)])


def test_the_start_of_treatment_is_said_aloud_where_it_is_a_guess() -> None:
    remarks = [problem for problem in read(WIDE).problems if problem.code == "probe.treated"]
    assert [problem.symbol for problem in remarks] == ["set1", "set2"]
    assert not any(problem.fatal for problem in remarks)
    assert by_name(read(WIDE))["set2"].treated_from == 3
    # one phase of treatment leaves nothing to guess
    assert read(HEAD + "K,1,A,s,1,5\nK,2,B,s,2,5\n").problems == ()


@pytest.mark.parametrize(("value", "start", "untreated"), [("4", 4, False), ("b2", 4, False), ("no", None, True)])
def test_a_start_that_is_given_goes_first(value: str, start: int | None, untreated: bool) -> None:
    series = by_name(read(WIDE, treated={"SET1": value}))["set1"]
    assert (series.treated_from, series.untreated) == (start, untreated)


def test_a_start_that_is_not_there_is_a_problem() -> None:
    assert codes(read(WIDE, treated={"set1": "B7"}))[0][0] == "probe.set"
    assert codes(read(WIDE, treated={"set9": "2"}))[0][0] == "probe.set"


def test_the_column_treated_decides() -> None:
    found = read("session,phase,set,treated,right,out_of\n1,A,s,no,1,5\n2,B,s,no,1,5\n3,B,s,yes,4,5\n1,A,t,no,1,5\n")
    assert by_name(found)["s"].treated_from == 3
    assert by_name(found)["t"].untreated


def test_words_of_a_session_are_added_up() -> None:
    found = read("session,phase,set,word,correct\n1,A,s,mud,0\n1,A,s,more,1\n1,A,s,up,1\n2,B,s,mud,1\n")
    assert [(p.right, p.out_of) for p in found.series[0].points] == [(2, 3), (1, 1)]


def test_practice_with_help_is_no_probe() -> None:
    found = read("session,phase,set,right,out_of,help\n1,A,s,1,5,none\n2,B,s,5,5,together\n3,B,s,2,5,\n")
    assert rights(found.series[0]) == [1, 2]
    assert [(row.row, row.right) for row in found.practice] == [(3, 5)]
    assert [problem.code for problem in found.problems] == ["probe.help"]


def test_sessions_are_numbered_by_date_where_they_have_no_number() -> None:
    found = read("date,phase,set,right,out_of\n2026-03-09,B,s,5,8\n2026-03-02,A,s,1,8\n")
    assert [(p.session, p.date, p.right) for p in found.series[0].points] == [
        (1, "2026-03-02", 1),
        (2, "2026-03-09", 5),
    ]


def test_numbers_against_dates_are_remarked() -> None:
    found = read("session,date,phase,set,right,out_of\n1,2026-03-09,A,s,1,8\n2,2026-03-02,A,s,2,8\n")
    assert [problem.code for problem in found.problems] == ["probe.date"]
    assert not found.problems[0].fatal


def test_cells_that_say_not_probed_are_no_zeros() -> None:
    found = read("session,phase,a_of_5,b_of_5\n1,A,1,\n2,A,n/a,3\n3,A,0,-\n")
    assert [rights(series) for series in found.series] == [[1, 0], [3]]
    assert found.blank == 3


@pytest.mark.parametrize(
    ("cells", "code", "column"),
    [
        ("11,10", "probe.count", 5),
        ("x,10", "probe.count", 5),
        ("7.5,10", "probe.count", 5),
        ("-1,10", "probe.count", 5),
        ("80%,10", "probe.count", 5),
        ("10-Aug,10", "probe.count", 5),
        ("2026-08-10,10", "probe.count", 5),
        ("5,0", "probe.count", 5),
        ("5,", "probe.count", 5),
        ("99999999999999999999,10", "probe.count", 5),
        ("8/12,10", "probe.count", 5),
        ("1,10,7", "probe.row", 7),
    ],
)
def test_a_count_that_cannot_be_is_named_and_the_rest_is_read(cells: str, code: str, column: int) -> None:
    found = read(f"{HEAD}K,1,A,s,1,10\nK,2,A,s,{cells}\nK,3,A,s,3,10\n")
    assert codes(found) == [(code, 3, column)]
    assert rights(found.series[0]) == [1, 3]
    assert found.refused == 1


def test_two_counts_in_one_cell_are_read_and_told() -> None:
    found = read("session,phase,set,right\n1,A,s,3/10\n2,A,s,4 of 10\n")
    assert [(p.right, p.out_of) for p in found.series[0].points] == [(3, 10), (4, 10)]
    assert [(change.typed, change.read) for change in found.changes if change.column == "right"] == [
        ("3/10", "3 of 10"),
        ("4 of 10", "4 of 10"),
    ]


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("K,1,A,s,2,10", "probe.twice"),
        ("K,six,A,s,2,10", "probe.session"),
        ("K,,A,s,2,10", "probe.session"),
        ('K,3,A,"s,2,10', "probe.row"),
        ("child,session,phase,set,right,out_of", "probe.row"),
    ],
)
def test_a_row_that_cannot_be_placed(row: str, code: str) -> None:
    found = read(f"{HEAD}K,1,A,s,1,10\n{row}\n")
    assert [problem[0] for problem in codes(found)] == [code]
    assert rights(found.series[0]) == [1]


def test_a_date_with_two_readings_is_refused() -> None:
    text = "date,phase,set,right,out_of\n03/04/2026,A,s,1,8\n"
    assert codes(read(text)) == [("sample.date", 2, 1)]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "sample.empty"),
        ("child,session,phase,set,right,out_of\n", "probe.empty"),
        ("a,b\n1,2\n", "probe.header"),
        ("session,note\n1,hello\n", "probe.header"),
        ("set,right,out_of\ns,1,5\n", "probe.header"),
        ("session,right,right,out_of\n1,1,2,5\n", "probe.header"),
        ("session,a_of_5,a_of_10\n1,1,2\n", "probe.header"),
    ],
)
def test_a_table_that_is_none(text: str, code: str) -> None:
    found = read(text)
    assert found.series == () and code in [problem.code for problem in found.problems if problem.fatal]


def test_no_phases_means_baseline_and_is_said() -> None:
    found = read("session,set,right,out_of\n1,s,1,5\n2,s,2,5\n")
    assert [problem.code for problem in found.problems] == ["probe.phase"]
    assert found.series[0].treated_from is None


def test_two_phases_in_one_session_of_words() -> None:
    found = read("session,phase,set,word,right,out_of\n1,A,s,mud,0,1\n1,B,s,up,1,1\n")
    assert [problem[0] for problem in codes(found)] == ["probe.phase"]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_what_spreadsheets_save(encoding: str, separator: str) -> None:
    text = "Fecha,Fase,Conjunto,Aciertos,De\r\n2026-03-02,línea base,uno,1,5\r\n".replace(",", separator)
    found = read_probe_table(open_table(BytesIO(text.encode(encoding))))
    assert [(series.name, series.points[0].phase, series.points[0].right) for series in found.series] == [
        ("uno", "línea base", 1)
    ]
    assert [problem for problem in found.problems if problem.fatal] == []


def test_a_file_that_is_not_there() -> None:
    (problem,) = read_probe_table(open_table(Path("no-such-file.csv"))).problems
    assert isinstance(problem, Problem) and problem.code == "sample.file"


def test_children_and_measures_stand_apart() -> None:
    text = "child,session,phase,set,measure,right,out_of\nK,1,A,s,shape,1,5\nK,1,A,s,sounds,2,5\nL,1,A,s,shape,3,5\n"
    assert [(s.child, s.measure, rights(s)) for s in read(text).series] == [
        ("K", "shape", [1]),
        ("K", "sounds", [2]),
        ("L", "shape", [3]),
    ]
