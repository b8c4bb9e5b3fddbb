"""Every table of every command, in every format: the same cells; wide and long lose none of them; problems as data."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from conftest import CommandLine
from fast_cases import one_in
from places import SAMPLES

import approx

OTHER = "OTHER"
"""Stands for a second transcription of the same sample."""
TABLES: dict[str, tuple[str, ...]] = {
    "suggest": ("suggest", "big spoon", "--child", "samples/m12.toml"),
    "suggest list": ("suggest", "--words", "samples/m12_phrases.txt", "--child", "samples/m12.toml"),
    "words": ("words", "--child", "samples/m12.toml", "--count", "3"),
    "words say": ("words", "say", "read"),
    "phrases": ("phrases", "--child", "samples/m12.toml", "--count", "3"),
    "grammar": ("phrases", "--child", "samples/m12.toml", "--grammar", "dig mud"),
    "child show": ("child", "show", "samples/k07.toml"),
    "score": ("score", "samples/m12.csv"),
    "sounds": ("score", "samples/m12.csv", "--sounds"),
    "processes": ("processes", "samples/t03.csv"),
    "explain": ("explain", "spun", "pun"),
    "align": ("align", "spun", "pun"),
    "inventory": ("inventory", "samples/m12.csv"),
    "predict": ("predict", "samples/m12.csv", "samples/m12_phrases.txt", "--probe", "0"),
    "agree": ("agree", "samples/m12.csv", OTHER),
    "progress": ("progress", "samples/probes.csv"),
    "convert": ("convert", "samples/k07.csv"),
    "list": ("list", "measures"),
    "about": ("about", "stopping"),
    "doctor": ("doctor",),
    "report": ("report", "samples/m12.csv", "samples/m12_later.csv"),
}
Row = dict[str, Any]


def second_transcriber(folder: Path) -> Path:
    """The sample of M12 as one who hears every t as d writes it."""
    other = folder / "other.csv"
    with (SAMPLES / "m12.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    with other.open("w", encoding="utf-8", newline="") as file:
        out = csv.DictWriter(file, rows[0])
        out.writeheader()
        out.writerows(row | {"produced_ipa": row["produced_ipa"].replace("t", "d")} for row in rows)
    return other


@cache
def once(check: Callable[..., Any]) -> Callable[..., Any]:
    return cache(check)


@pytest.fixture(autouse=True)
def _one_check_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """What `doctor` finds is found once: its formats are looked at here, not the check."""
    from approx.processes import doctor

    monkeypatch.setattr(doctor, "check", once(doctor.check))


@pytest.fixture
def asked(tmp_path: Path) -> Callable[[str], list[str]]:
    """The words of a command."""
    other = second_transcriber(tmp_path)
    return lambda name: [str(other) if word == OTHER else word for word in TABLES[name]]


def text(value: object) -> str:
    """A value as CSV has it."""
    return "" if value is None else str(value)


def csv_rows(out: str) -> list[Row]:
    return list(csv.DictReader(io.StringIO(out)))


def as_texts(rows: list[Row]) -> list[Row]:
    return [{name: text(value) for name, value in row.items()} for row in rows]


def unguarded(rows: list[Row]) -> list[Row]:
    from approx.samples.files.write import unguarded as freed

    return [{name: freed(value) for name, value in row.items()} for row in rows]


@pytest.mark.slow
@pytest.mark.parametrize("name", TABLES)
def test_every_format_holds_the_same_cells(
    name: str, asked: Callable[[str], list[str]], cli: CommandLine, tmp_path: Path
) -> None:
    """CSV plain and guarded, JSON Lines and Parquet, read by the standard library and by pyarrow."""
    from pyarrow import parquet

    plain = cli(*asked(name), "--csv", "--plain")
    guarded = cli(*asked(name), "--csv")
    lines = cli(*asked(name), "--jsonl")
    wrote = cli(*asked(name), "--parquet", tmp_path / "table.parquet")
    assert {plain.code, guarded.code, lines.code, wrote.code} <= {0, 1} and wrote.out == ""
    assert guarded.out.startswith("\ufeff") and not plain.out.startswith("\ufeff") and "\r" not in plain.out
    rows = csv_rows(plain.out)
    assert rows and unguarded(csv_rows(guarded.out[1:])) == rows
    typed = [json.loads(line) for line in lines.out.splitlines()]
    assert as_texts(typed) == rows
    stored = parquet.read_table(tmp_path / "table.parquet").to_pylist()
    assert [list(row) for row in stored] == [list(row) for row in typed]
    assert all(same_number(a[key], b[key]) for a, b in zip(stored, typed, strict=True) for key in b)


def same_number(stored: object, typed: object) -> bool:
    """A column of whole and other numbers is stored as one of floats."""
    return stored == typed or text(stored) == text(typed)


@pytest.mark.parametrize("name", one_in(2, TABLES))
def test_wide_and_long_keep_every_value(name: str, asked: Callable[[str], list[str]], cli: CommandLine) -> None:
    """Each cell of the table stands in the long one with its column; the wide one has as many, on fewer or equal rows."""
    rows = [json.loads(line) for line in cli(*asked(name), "--jsonl").out.splitlines()]
    long = [json.loads(line) for line in cli(*asked(name), "--jsonl", "--long").out.splitlines()]
    wide = [json.loads(line) for line in cli(*asked(name), "--jsonl", "--wide").out.splitlines()]
    heads = [column for column in long[0] if column not in ("column", "value")]
    values = [column for column in rows[0] if column not in heads and column in {row["column"] for row in long}]
    assert values
    want = Counter((*(row[h] for h in heads), column, text(row[column])) for row in rows for column in values)
    assert Counter((*(row[h] for h in heads), row["column"], text(row["value"])) for row in long) == want
    assert set(rows[0]) - set(heads) - set(values) <= {"title"}
    assert len(wide) <= len(rows)
    said = Counter(text(row[column]) for row in rows for column in values if row[column] is not None)
    beside = Counter(text(value) for row in wide for value in row.values() if value is not None)
    assert not said - beside


def test_the_wide_table_of_scores_has_a_row_a_session(cli: CommandLine) -> None:
    """27 of 60 consonants are right in M12's sample, as the scenario counts them."""
    (row,) = csv_rows(cli("score", "samples/m12.csv", "--csv", "--plain", "--wide").out)
    assert (row["child"], row["pcc_hits"], row["pcc_out_of"], row["pcc_value"]) == ("M12", "27", "60", "45.0")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--json", "--csv"), "choose one"), (("--jsonl", "--json"), "choose one"), (("--plain",), "add --csv"),
        (("--wide",), "add --csv"), (("--csv", "--wide", "--long"), "choose one"), (("--json", "--long"), "add --csv"),
        (("--parquet", "x.csv"), ".parquet"), (("--problems", "x.doc"), ".json"), (("--allow-problems", "-1"), "from 0"),
    ],
)  # fmt: skip
def test_what_contradicts_itself_is_refused(options: tuple[str, ...], said: str, cli: CommandLine) -> None:
    ran = cli("align", "spun", "pun", *options)
    assert ran.code == 2 and ran.out == "" and said in ran.err and len(ran.err.splitlines()) == 1


BROKEN = "child,target_word,target_ipa,produced_ipa\nQ1,cup,kʌp,tʌp\nQ1,pen,p☃n,pɛn\nQ1,mat,mæt,m☃t\n"


def test_problems_that_are_allowed_end_with_0(cli: CommandLine) -> None:
    """Two rows cannot be read: 0 or 1 allowed problems are too few, 2 are enough; wrong use stays wrong use."""
    score = ("score", "-", "--json")
    strict = cli(*score, stdin=BROKEN.encode())
    assert strict.code == 1 and strict.err.count("☃") >= 2
    codes = [cli(*score, "--allow-problems", str(n), stdin=BROKEN.encode()).code for n in (0, 1, 2, 50)]
    assert codes == [1, 1, 0, 0]
    allowed = cli(*score, "--allow-problems", "2", stdin=BROKEN.encode())
    assert (allowed.out, allowed.err) == (strict.out, strict.err)
    assert cli("score", "-", "--set", "repeats=zzz", "--allow-problems", "9", stdin=BROKEN.encode()).code == 2


@pytest.mark.parametrize("ending", [".json", ".csv", ".jsonl", ".parquet", ".tsv", ".xlsx"])
def test_problems_and_their_summary_as_data(ending: str, cli: CommandLine, tmp_path: Path) -> None:
    file = tmp_path / f"problems{ending}"
    ran = cli("score", "-", "--csv", "--problems", file, stdin=BROKEN.encode())
    assert ran.code == 1 and file.stat().st_size > 0
    if ending == ".json":
        found = json.loads(file.read_text(encoding="utf-8"))
        assert found["total"] == len(found["problems"]) == len(ran.err.splitlines())
        assert found["stopping"] == 2 == sum(kind["stopping"] for kind in found["summary"])
        assert sum(kind["times"] for kind in found["summary"]) == found["total"]
        assert {problem["line"] for problem in found["problems"] if "☃" in problem["message"]} == {3, 4}
    if ending == ".jsonl":
        rows = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
        assert [row["line"] for row in rows if row["stops"] == "yes"] == [3, 4]


def test_a_file_that_cannot_be_written_is_one_line(cli: CommandLine, tmp_path: Path) -> None:
    ran = cli("align", "spun", "pun", "--parquet", tmp_path / "none" / "x.parquet")
    assert ran.code == 2 and len(ran.err.splitlines()) == 1 and "cannot write" in ran.err


def test_a_new_column_of_score_stands_behind_those_promised() -> None:
    """A program may take a column by its place (DEVELOPERS.md, "Promises"): these stood first, `words` came later."""
    import approx

    promised = (
        "child,session_date,group,measure,title,hits,out_of,value,low,high,method,band,caution,reason,tokens,scored,signature"
    ).split(",")
    found = approx.score(SAMPLES / "m12.csv").to_frame()
    assert list(found.columns)[: len(promised)] == promised
    assert list(found.columns)[len(promised) :] == ["words"]
    row = found[found["measure"] == "pcc"].iloc[0]
    assert (row["hits"], row["out_of"], row["tokens"], row["words"]) == (27, 60, 25, 25)


def test_a_table_that_a_program_writes_is_no_formula_to_a_spreadsheet(tmp_path: Path) -> None:
    """As the command guards its CSV; a program that reads the file itself asks for the bare text."""
    found = approx.score([("spun", "pun")], by="")
    named = replace(found, groups=tuple(replace(group, labels={"child": "=1+1"}) for group in found.groups))
    cells = []
    for guard in ({}, {"guard": False}):
        assert not named.write(tmp_path / "scores.csv", **guard)
        with (tmp_path / "scores.csv").open(encoding="utf-8-sig", newline="") as stream:
            cells.append(next(csv.DictReader(stream))["child"])
    assert cells == ["'=1+1", "=1+1"]
