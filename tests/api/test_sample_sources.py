"""A sample as a file, as pairs, and as any data frame: the same numbers as the command, and as counted by hand."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from places import SAMPLES

import approx

FILE = SAMPLES / "m12.csv"


def pandas_frame() -> Any:
    return pytest.importorskip("pandas").read_csv(FILE)


def polars_frame() -> Any:
    return pytest.importorskip("polars").read_csv(FILE)


def lazy_frame() -> Any:
    return polars_frame().lazy()


def arrow_table() -> Any:
    return pytest.importorskip("pyarrow.csv").read_csv(FILE)


def duckdb_relation() -> Any:
    return pytest.importorskip("duckdb").read_csv(str(FILE))


FRAMES = (pandas_frame, polars_frame, lazy_frame, arrow_table, duckdb_relation)


def rows() -> list[dict[str, str]]:
    with FILE.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def test_scores_of_m12_as_counted_by_hand() -> None:
    """60 consonant targets, 27 right, 3 of 25 words whole: the invented scenario's totals."""
    measures = approx.score(FILE).groups[0].measures
    assert (measures["pcc"].hits, measures["pcc"].out_of, measures["pcc"].value) == (27, 60, 45.0)
    assert (measures["pwc"].hits, measures["pwc"].out_of) == (3, 25)


def test_processes_of_m12_as_counted_by_hand() -> None:
    tallies = approx.processes(FILE).groups[0].tallies
    assert (tallies["velar fronting"].occurrences, tallies["velar fronting"].chances) == (10, 10)
    assert (tallies["cluster reduction"].occurrences, tallies["cluster reduction"].chances) == (6, 6)
    assert (tallies["stopping"].occurrences, tallies["gliding"].occurrences) == (12, 3)


@pytest.mark.parametrize("make", FRAMES)
def test_a_frame_gives_what_the_file_gives(make: Callable[[], Any]) -> None:
    assert approx.score(make()).to_dict()["groups"] == approx.score(FILE).to_dict()["groups"]
    assert approx.processes(make()).to_dict()["groups"] == approx.processes(FILE).to_dict()["groups"]
    assert approx.inventory(make()).to_dict() == approx.inventory(FILE).to_dict()


def test_pairs_give_the_numbers_of_the_file() -> None:
    pairs = [(row["target_ipa"], row["produced_ipa"]) for row in rows()]
    by_pairs, by_file = (approx.score(sample, by="").groups[0] for sample in (pairs, FILE))
    for name in ("pcc", "pcc_r", "pvc", "ppc", "pwc", "pmlu"):
        one, other = by_pairs.measures[name], by_file.measures[name]
        assert (one.hits, one.out_of, one.value) == (other.hits, other.out_of, other.value)
    assert approx.score(iter(pairs), by="").to_dict() == approx.score(pairs, by="").to_dict()


def test_rows_in_another_order_give_the_same_counts() -> None:
    frame = pandas_frame()
    shuffled = approx.score(frame.sample(frac=1, random_state=1)).groups[0].measures
    straight = approx.score(frame).groups[0].measures
    assert {name: one.hits for name, one in shuffled.items()} == {name: one.hits for name, one in straight.items()}


def test_cells_of_other_kinds_are_read_as_a_sheet_has_them() -> None:
    """Dates, whole numbers and missing values of a frame are the cells a CSV would have."""
    pandas = pytest.importorskip("pandas")
    made = {
        "child": ["A", "A", None], "session_date": pandas.to_datetime(["2026-03-02", "2026-03-02", None]),
        "attempt": [1.0, 2.0, float("nan")], "target_ipa": ["ki", "ki", "spun"], "produced_ipa": ["ti", "ki", "pun"],
    }  # fmt: skip
    labels = [group.labels for group in approx.score(pandas.DataFrame(made)).groups]
    assert labels == [{"child": "A", "session_date": "2026-03-02"}, {"child": "", "session_date": ""}]


def test_an_unknown_column_to_group_by_is_named() -> None:
    for sample in (FILE, pandas_frame()):
        for answer in (approx.score(sample, by="visit"), approx.score(sample, by=["visit"], repeats="first")):
            assert [(problem.code, problem.symbol) for problem in answer.problems] == [("use.by", "visit")]
        with pytest.raises(approx.ProblemsError, match="visit"):
            approx.score(sample, by="visit", on_problem="raise")


@pytest.mark.parametrize("sample", [7, [("a", "b", "c")], ["spun"], [1, 2]])
def test_what_is_no_sample_is_a_mistake_of_the_program(sample: Any) -> None:
    with pytest.raises(TypeError):
        approx.score(sample)


def test_a_grouping_by_context_keeps_the_language_and_its_label() -> None:
    by_context, by_child = (approx.score(FILE, by=by).groups[0] for by in ("context", "child"))
    assert by_context.labels == {"context": "word"}
    assert by_context.measures["pcc"] == by_child.measures["pcc"], "and so its band: of English, not of 'word'"


def test_a_phrase_is_foretold_word_by_word() -> None:
    """What each word of it alone gets, and no word stands twice among those to try next."""
    together = approx.predict(FILE, ["Ben dig mud", "dig", "more juice"])
    alone = approx.predict(FILE, ["Ben", "dig", "mud", "dig", "more", "juice"])
    assert [(each.word, each.prediction) for each in together.words] == [
        (each.word, each.prediction) for each in alone.words
    ]
    assert len(together.words) == 6 and len(set(together.probe_next)) == len(together.probe_next) == 5


def test_a_child_in_the_index_of_a_frame_stays_a_child() -> None:
    """After `set_index` or `groupby` the code stands in the index, which a frame library takes for no column."""
    frame = pandas_frame()
    two = pytest.importorskip("pandas").concat([frame, frame.assign(child="M13")])
    for indexed in (
        two.set_index("child"),
        two.set_index(["child", "session_date"]),
        two.set_index("child", drop=False),
    ):
        assert approx.score(indexed).to_dict() == approx.score(two).to_dict()
    assert [group.labels["child"] for group in approx.score(two.set_index("child")).groups] == ["M12", "M13"]


def test_two_columns_of_one_name_are_a_problem_in_a_frame_as_in_a_file(tmp_path: Path) -> None:
    text = "child,target_ipa,produced_ipa,child\nA,spun,pun,B\n"
    file = tmp_path / "twice.csv"
    file.write_text(text, encoding="utf-8")
    pandas = pytest.importorskip("pandas")
    frame = pandas.DataFrame([["A", "spun", "pun", "B"]], columns=["child", "target_ipa", "produced_ipa", "child"])
    by_file, by_frame = approx.score(file), approx.score(frame)
    assert [problem.code for problem in by_frame.problems] == ["sample.column.twice"]
    assert by_frame.problems[0].message == by_file.problems[0].message
    assert by_frame.to_dict()["groups"] == by_file.to_dict()["groups"]


@pytest.mark.parametrize(
    ("source", "kind"),
    [
        (rows, "item 1 is a dict, not a pair; make a data frame of dictionaries first"),
        (lambda: FILE.open(encoding="utf-8"), "not TextIOWrapper"),
        (lambda: pandas_frame()["child"], "item 1 is a str"),
        (lambda: {"M12": 1}, "not dict"),
        (lambda: [("spun", "pun"), ("Anna", "b", "c")], "item 2 is a tuple"),
    ],
)
def test_what_is_no_sample_is_refused_without_a_word_of_what_is_in_it(source: Callable[[], Any], kind: str) -> None:
    with pytest.raises(TypeError, match=r"^a sample is the path of a file") as raised:
        approx.score(source())
    assert kind in str(raised.value)
    assert not any(cell in str(raised.value) for cell in ("M12", "2026", "Anna"))


@pytest.mark.parametrize("cell", [["a", "b"], {"a": 1}, None, float("nan")])
@pytest.mark.parametrize("library", ["pandas", "polars", "pyarrow"])
def test_a_column_of_anything_beside_ours_is_no_hindrance(library: str, cell: object) -> None:
    """Nested columns, as Parquet and JSON bring them, and every library's sign for what is missing."""
    make = {"pandas": "DataFrame", "polars": "DataFrame", "pyarrow": "table"}[library]
    columns = {"target_ipa": ["spun", "ki"], "produced_ipa": ["pun", "ti"], "other": [cell, cell]}
    found = approx.score(getattr(pytest.importorskip(library), make)(columns))
    assert (found.groups[0].tokens, found.groups[0].measures["pcc"].hits) == (2, 2)


def test_a_missing_production_is_no_response_whatever_its_sign() -> None:
    pandas = pytest.importorskip("pandas")
    for missing in (None, float("nan"), pandas.NA, pandas.NaT, ""):
        frame = pandas.DataFrame({"target_ipa": ["spun", "ki"], "produced_ipa": ["pun", missing]}, dtype=object)
        group = approx.score(frame).groups[0]
        assert group.left_out == ((3, "no response"),)
