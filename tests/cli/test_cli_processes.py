"""`approx processes` as a shell sees it: its JSON, tokens, languages, what was left out, ages of sources, rubbish put in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from conftest import CommandLine
from places import ROOT
from typed_commands import run

HEADER = "child,session_date,target_word,target_ipa,produced_ipa,language\n"
M12 = "samples/m12.csv"


def process(group: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(each for each in group["processes"] if each["process"] == name)
    return found


def test_json_has_the_promised_keys(cli: CommandLine) -> None:
    ran = cli("processes", M12, "--json")
    assert ran.code == 0 and set(ran.json) >= {"signature", "groups", "tokens", "problems"}
    (group,) = ran.json["groups"]
    assert group["child"] == "M12" and {"processes", "unexplained", "left_out"} <= group.keys()
    keys = {"process", "occurrences", "chances", "percent", "active", "words", "not_in", "usual_ages"}
    assert all(keys <= each.keys() for each in group["processes"])
    token = ran.json["tokens"][0]
    assert {"row", "target", "produced", "processes", "unexplained"} <= token.keys() and token["row"] == 2


def test_totals_of_the_scenario(cli: CommandLine) -> None:
    """M12 by hand: every velar is fronted, every cluster reduced; l, ɹ before a vowel are said as w in three of five."""
    (group,) = cli("processes", M12, "--json").json["groups"]
    found = {each["process"]: (each["occurrences"], each["chances"]) for each in group["processes"]}
    assert (found["velar fronting"], found["cluster reduction"], found["gliding"]) == ((10, 10), (6, 6), (3, 5))


def test_every_counted_token_once_in_order_of_rows(cli: CommandLine) -> None:
    tokens = cli("processes", M12, "--json").json["tokens"]
    rows = [token["row"] for token in tokens]
    assert rows == sorted(set(rows)) and len(rows) == 25
    lines = [line for line in cli("processes", M12, "--tokens").out.splitlines() if line.startswith("  row ")]
    assert len(lines) == 25 and lines[3].split("\t")[1:] == ["cup", "kʌp", "tʌp", "velar fronting"]


def test_two_languages_of_one_child_are_two_groups(cli: CommandLine) -> None:
    rows = (
        HEADER + "T,2026-01-01,cat,kæt,tæt,en-US\nT,2026-01-01,casa,ˈkasa,ˈtasa,es\nT,2026-01-01,perro,ˈpero,ˈpelo,es\n"
    )
    groups = cli("processes", "-", "--json", stdin=rows.encode()).json["groups"]
    assert [(group["language"], group["tokens"]) for group in groups] == [("en-US", 1), ("es", 2)]
    assert process(groups[1], "liquid simplification")["occurrences"] == 1


def test_what_is_not_counted_is_told_with_its_row(cli: CommandLine) -> None:
    rows = HEADER + "T,2026-01-01,cat,kæt,tæt,\nT,2026-01-01,,,ba,\nT,2026-01-01,dog,dɔɡ,xxx,\nT,2026-01-01,bed,bɛd,,\n"
    (group,) = cli("processes", "-", "--json", stdin=rows.encode()).json["groups"]
    assert [each["row"] for each in group["left_out"]] == [3, 4, 5]
    text = cli("processes", "-", stdin=rows.encode()).out
    assert "left out: 1 no gloss, 1 unintelligible, 1 no response" in text


def test_a_change_no_rule_reaches_is_named_with_word_and_row(cli: CommandLine) -> None:
    rows = HEADER + "T,2026-01-01,hat,hæt,sæt,\nT,2026-01-01,cat,kæt,tæt,\n"
    (group,) = cli("processes", "-", "--json", stdin=rows.encode()).json["groups"]
    assert group["unexplained"] == [{"word": "hat", "sound": "h", "row": 2}]
    assert "unexplained: h in hat (row 2)" in cli("processes", "-", stdin=rows.encode()).out


def test_ages_stand_beside_a_process_as_a_range_of_sources(cli: CommandLine) -> None:
    (group,) = cli("processes", M12, "--json").json["groups"]
    ages = process(group, "velar fronting")["usual_ages"]
    assert len(ages) > 1 and len({each["source"] for each in ages}) == len(ages)
    assert all(set(each) == {"source", "low", "high"} and each["low"] <= each["high"] for each in ages)
    text = cli("processes", M12).out
    assert "usually suppressed by" in text and "no limit and no verdict" in text


def test_no_ages_are_shown_for_a_language_without_sources(cli: CommandLine) -> None:
    rows = HEADER + "T,2026-01-01,chat,ka,ta,fr\n"
    (group,) = cli("processes", "-", "--json", stdin=rows.encode()).json["groups"]
    assert process(group, "velar fronting")["usual_ages"] == []


def test_groups_by_other_columns(cli: CommandLine) -> None:
    rows = "child,list,target_word,target_ipa,produced_ipa\nT,a,cat,kæt,tæt\nT,b,key,ki,ki\nT,a,go,ɡoʊ,ɡoʊ\n"
    groups = cli("processes", "-", "--by", "list", "--json", stdin=rows.encode()).json["groups"]
    found = [(group["list"], process(group, "velar fronting")["chances"]) for group in groups]
    assert found == [("a", 2), ("b", 1)]


def test_an_unknown_column_is_named(cli: CommandLine) -> None:
    ran = cli("processes", M12, "--by", "nonsense")
    assert ran.code == 2 and "nonsense" in ran.err and "[use.by]" in ran.err


@pytest.mark.parametrize("rows", [b"", b"\0\1", HEADER.encode(), b"a;b\n1;2\n"])
def test_rubbish_is_named_as_a_problem_of_the_sample(cli: CommandLine, rows: bytes) -> None:
    ran = cli("processes", "-", stdin=rows)
    said = ran.err.splitlines()
    assert ran.code == 1 and said and all("[sample." in line for line in said)


def test_the_old_name_of_an_option_still_works_and_is_not_shown(cli: CommandLine) -> None:
    answers = [
        cli("processes", str(ROOT / "samples/m12.csv"), name, "40").out
        for name in ("--least-opportunities", "--least-chances")
    ]
    assert answers[0] == answers[1] != cli("processes", str(ROOT / "samples/m12.csv")).out
    shown = cli("processes", "--help").out
    assert "--least-opportunities" in shown and "--least-chances" not in shown


@pytest.mark.parametrize(("criterion", "standing"), [("percent", "seen"), ("instances", "active")])
def test_instances_as_criterion(
    criterion: str, standing: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """W188: five instances make a process present, on however many chances (here 5 of 35)."""
    rows = "T,2026-01-01,sun,sʌn,tʌn,\n" * 5 + "T,2026-01-01,sea,si,si,\n" * 30
    file = tmp_path / "sample.csv"
    file.write_text(HEADER + rows, encoding="utf-8")
    assert run("processes", file, by="child", criterion=criterion) == 0
    out = capsys.readouterr().out
    assert f"stopping: 5 of 35 opportunities (14%), {standing}" in out and f"criterion:{criterion}" in out


def test_csv_has_the_figures_of_the_json(cli: CommandLine) -> None:
    import csv
    import io

    (group,) = cli("processes", M12, "--json").json["groups"]
    rows = list(csv.DictReader(io.StringIO(cli("processes", M12, "--csv").out.lstrip("\ufeff"))))
    counted = {
        row["process"]: (int(row["occurrences"]), int(row["chances"])) for row in rows if row["kind"] == "process"
    }
    assert counted == {each["process"]: (each["occurrences"], each["chances"]) for each in group["processes"]}
    assert (counted["velar fronting"], counted["cluster reduction"], counted["gliding"]) == ((10, 10), (6, 6), (3, 5))
    assert {row["child"] for row in rows} == {"M12"}
