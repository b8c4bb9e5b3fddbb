"""`approx suggest --words` on lists as they come, and `approx words say`: nothing lost, one line a fault, no traceback."""

from __future__ import annotations

import csv
import io
import re
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import CommandLine
from places import ROOT

LISTS = ROOT / "tests" / "data" / "nasty_words"
CHILD = "samples/m12.toml"

# file -> words of the answer in order, and the codes of the problems with their line ("" = the file as a whole)
EXPECTED: dict[str, tuple[list[str], list[tuple[str, str]]]] = {
    "bom.txt": (["spoon", "big"], []),
    "utf16.txt": (["spoon", "big"], []),
    "utf16_csv.csv": (["spoon", "big"], []),
    "crlf.txt": (["spoon", "big"], []),
    "cr_only.txt": (["spoon", "big"], []),
    "no_last_newline.txt": (["spoon", "big"], []),
    "blank_and_remark_lines.txt": (["spoon", "big"], []),
    "csv_with_ipa.csv": (["spoon", "big"], []),
    "csv_other_order.csv": (["spoon", "big"], []),
    "semicolons.csv": (["spoon", "big"], []),
    "tabs.tsv": (["spoon", "big"], []),
    "quoted.csv": (["spoon", "big"], []),
    "short_rows.csv": (["spoon", "big"], []),
    "slashes.txt": (["/spun/", "big"], []),
    "emoji.txt": (["spoon", "🍌", "big"], [("lexicon.unknown", "2")]),
    "formula.csv": (["=1+1", "big"], [("lexicon.unknown", "2")]),
    "wrong_ipa.csv": (["spoon", "big"], [("ipa.symbol", "2")]),
    "only_header.csv": ([], [("words.empty", "")]),
    "empty.txt": ([], [("words.empty", "")]),
    "only_blanks.txt": ([], [("words.empty", "")]),
    "nul.txt": ([], [("words.encoding", "")]),
    "latin1.txt": ([], [("words.encoding", "")]),
}


def faults(err: str) -> list[tuple[str, str]]:
    """(code, line number) of each line on stderr that is a problem."""
    found = []
    for line in err.splitlines():
        code = re.search(r" \[([a-z.-]+)\]$", line)
        place = re.match(r"[^:]*:(\d+)", line)
        if code:
            found.append((code[1], place[1] if place else ""))
    return found


def test_every_list_has_its_expectation() -> None:
    assert {path.name for path in LISTS.iterdir()} - {"README.md"} == set(EXPECTED)


@pytest.mark.parametrize("name", EXPECTED)
def test_list_is_read_whole_and_its_faults_are_named_by_line(cli: CommandLine, name: str) -> None:
    words, problems = EXPECTED[name]
    ran = cli("suggest", "--words", LISTS / name, "--child", CHILD, "--json")
    assert ran.code == (1 if problems else 0)
    assert [word["word"] for word in ran.json["words"]] == words
    assert faults(ran.err) == problems
    assert [problem["code"] for problem in ran.json["problems"]] == [code for code, _ in problems]
    for word in ran.json["words"]:
        read = word["word"] not in ("🍌", "=1+1") and (name, word["word"]) != ("wrong_ipa.csv", "spoon")
        assert (word["adult"] is not None) is read and bool(word["approximations"]) is read


def test_ipa_of_the_list_wins_over_the_dictionary(cli: CommandLine, tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("target_word,target_ipa\ntomato,təˈmɑtoʊ\n", encoding="utf-8")
    word = cli("suggest", "--words", file, "--child", CHILD, "--json").json["words"][0]
    assert (word["word"], word["adult"], word["read_from"]) == ("tomato", "təˈmɑtoʊ", "typed")


def test_list_and_phrase_give_the_same_words_and_a_list_has_no_phrase(cli: CommandLine) -> None:
    listed = cli("suggest", "--words", "-", "--child", CHILD, "--json", stdin=b"big\nspoon\n").json
    phrase = cli("suggest", "big spoon", "--child", CHILD, "--json").json
    assert listed["words"] == phrase["words"]
    assert "phrase" not in listed and "phrase_forms" not in listed


def test_clashes_run_over_the_whole_list(cli: CommandLine) -> None:
    """M12 fronts k and stops s: key and see both come out as tea (by the rules of the scenario's table, k:t s:t)."""
    words = cli("suggest", "--words", "-", "--child", CHILD, "--json", "--top", "1", stdin=b"key\nsee\n").json["words"]
    assert [word["approximations"][0]["ipa"] for word in words] == ["ti", "ti"]
    clashes = [[c["word"] for c in word["approximations"][0]["clashes"] if c["kind"] == "target"] for word in words]
    assert clashes == [["see"], ["key"]]


def test_csv_can_be_read_back(cli: CommandLine) -> None:
    listed = ("suggest", "--words", "-", "--child", CHILD)
    text = 'target_word,target_ipa\nspoon,\n"a, b",spun\nxyz🍌,\n🍌,\n'.encode()
    ran, data = cli(*listed, "--csv", stdin=text), cli(*listed, "--json", stdin=text).json
    rows = list(csv.DictReader(io.StringIO(ran.out.lstrip("\ufeff")), strict=True))
    want = [
        (word["word"], word["adult"] or "", form["ipa"], form["spelled"], str(round(form["closeness"], 2)))
        for word in data["words"]
        for form in word["approximations"] or [{"ipa": "", "spelled": "", "closeness": None}]
        if form["closeness"] is not None
    ]
    assert [(r["word"], r["adult"], r["form"], r["spelled"], r["closeness"]) for r in rows if r["form"]] == want
    assert [row["word"] for row in rows if not row["form"]] == ["🍌"]
    assert all(None not in row and None not in row.values() for row in rows)


def long_list(count: int) -> list[str]:
    """Child words in turn, one emoji two thirds down."""
    lines = (ROOT / "tests" / "data" / "child_words.tsv").read_text(encoding="utf-8").splitlines()
    words = [line.split("\t")[0] for line in lines if line[0] != "#"][1:]
    typed = [words[number % len(words)] for number in range(count)]
    typed[2 * count // 3] = "🍌"
    return typed


def test_a_long_list_reports_on_stderr_and_keeps_every_row(cli: CommandLine) -> None:
    typed = long_list(600)
    ran = cli("suggest", "--words", "-", "--child", CHILD, "--top", "1", "--csv", stdin="\n".join(typed).encode())
    rows = list(csv.DictReader(io.StringIO(ran.out.lstrip("\ufeff")), strict=True))
    assert [row["word"] for row in rows] == typed
    assert ran.code == 1 and faults(ran.err) == [("lexicon.unknown", "401")]
    assert "600 words" in ran.err


@pytest.mark.slow
def test_ten_thousand_words_are_answered_within_bounds() -> None:
    """One every 30 ms at the very worst on a slow machine; the bench shows real speed."""
    typed = long_list(10_000)
    command = [sys.executable, "-c", "from approx.cli import main; main()"]
    options = ["suggest", "--words", "-", "--child", CHILD, "--top", "1", "--csv"]
    ran = subprocess.run(
        [*command, *options],
        input="\n".join(typed),
        capture_output=True,
        encoding="utf-8",
        cwd=ROOT,
        timeout=300,
        check=False,
    )
    assert [row["word"] for row in csv.DictReader(io.StringIO(ran.stdout.lstrip("\ufeff")), strict=True)] == typed
    assert ran.returncode == 1 and "10000 words" in ran.stderr


@pytest.mark.parametrize("name", ["no-such-list.txt", "samples"])
def test_a_list_that_cannot_be_opened_is_named(cli: CommandLine, name: str) -> None:
    ran = cli("suggest", "--words", name, "--child", CHILD)
    assert ran.code == 1 and faults(ran.err) == [("words.file", "")]
    assert ran.out == "" and ran.err.startswith(name) and len(ran.err.splitlines()) == 1


def test_say_shows_every_reading_and_how_sure(cli: CommandLine) -> None:
    """Two readings of a homograph, both from a list; a made-up word is a guess and says so."""
    readings = cli("words", "say", "read", "--json").json["readings"]
    assert {reading["ipa"] for reading in readings} == {"ɹid", "ɹɛd"} and all(r["sure"] for r in readings)
    guess = cli("words", "say", "zuzzy", "--json").json["readings"][0]
    assert guess["sure"] is False and guess["note"]
    assert "check" in cli("words", "say", "zuzzy").out


def test_said_once_is_remembered_for_every_command(cli: CommandLine) -> None:
    before = cli("suggest", "read", "--child", CHILD, "--json").json["words"][0]["adult"]
    ran = cli("words", "say", "read", "/ɹɛd/")
    assert ran.code == 0 and ran.out == "" and "ɹɛd" in ran.err
    after = cli("suggest", "read", "--child", CHILD, "--json").json["words"][0]
    assert (before, after["adult"], after["read_from"]) == ("ɹid", "ɹɛd", "own words")
    assert cli("suggest", "--words", "-", "--child", CHILD, "--json", stdin=b"read").json["words"][0] == after


def test_a_remembered_word_may_be_one_that_nobody_can_read(cli: CommandLine) -> None:
    assert cli("suggest", "🍌", "--child", CHILD).code == 1
    assert cli("words", "say", "🍌", "/bəˈnænə/").code == 0
    word = cli("suggest", "🍌", "--child", CHILD, "--json").json["words"][0]
    assert (word["word"], word["adult"], word["sure"]) == ("🍌", "bəˈnænə", True)


@pytest.mark.parametrize("ipa", ["/sp4n/", "//", "/ /"])
def test_wrong_ipa_is_not_remembered(cli: CommandLine, ipa: str) -> None:
    ran = cli("words", "say", "spoon", ipa)
    assert ran.code == 1 and ran.out == "" and faults(ran.err) and len(faults(ran.err)) == len(ran.err.splitlines())
    assert cli("words", "say", "spoon", "--json").json["readings"][0]["ipa"] == "spun"


def test_words_that_cannot_be_read_say_how_to_teach_them(cli: CommandLine) -> None:
    ran = cli("words", "say", "🍌")
    assert ran.code == 1 and ran.out == "" and "approx words say" in ran.err
