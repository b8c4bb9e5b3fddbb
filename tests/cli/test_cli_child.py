"""`approx child new` and `approx child show`, and what a faulty child file gives: every fault with its line, no answer."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from conftest import CommandLine
from places import ROOT

SAMPLES = ("k07", "m12", "t03", "t03_es")
GOOD = """\
code = "Q1"
age = "3;2"
language = "en-US"

[consonants]
all.established = "m b p"
clusters = []

[vowels]
established = "i ɑ"

[syllables]
established = ["CV"]
max_syllables = 2
"""
# a line of GOOD, what is written in its place, the line at fault and a word its message must hold
FAULTS = [
    ('age = "3;2"', 'age = "3;13"', 2, "3;13"),
    ('age = "3;2"', 'age = "3,2"', 2, "3,2"),
    ('language = "en-US"', 'language = "en US!"', 3, "en US!"),
    ("[vowels]", "colour = 1\n\n[vowels]", 9, "colour"),
    ('all.established = "m b p"', 'all.established = "m b p"\nall.emerging = "b"', 7, "'b'"),
    ('all.established = "m b p"', 'all.established = "m zz p"', 6, "zz"),
    ('all.established = "m b p"', 'all.established = "m i p"', 6, "'i'"),
    ('all.established = "m b p"', 'all.mastered = "m b p"', 6, "mastered"),
    ('all.established = "m b p"', "all.established = 3", 6, "established"),
    ("clusters = []", 'clusters = ["sp nowhere"]', 7, "nowhere"),
    ("clusters = []", 'clusters = ["p initial"]', 7, "p initial"),
    ("clusters = []", 'clusters = ["sp initial", "sp initial emerging"]', 7, "sp initial"),
    ('established = "i ɑ"', 'established = "i q"', 10, "'q'"),
    ('established = "i ɑ"', 'established = "i ɑ"\nemerging = "ɑ"', 11, "ɑ"),
    ('established = ["CV"]', 'established = ["XYZ"]', 13, "XYZ"),
    ("max_syllables = 2", "max_syllables = 0", 14, "max_syllables"),
    ("max_syllables = 2", "max_syllables = true", 14, "max_syllables"),
    ("max_syllables = 2", 'variety = "some"', 14, "some"),
    ("max_syllables = 2", "max_syllables = 2\n[chosen]\nspoon = 3", 16, "spoon"),
    ("max_syllables = 2", 'max_syllables = 2\n[chosen]\nspoon = "p4n"', 16, "'4'"),
]


def places(err: str) -> list[tuple[int, str]]:
    """(line, the rest) of every problem on stderr."""
    return [(int(match[1]), match[2]) for match in re.finditer(r"^[^:]*:(\d+)(?::\d+)?: (.*)$", err, re.MULTILINE)]


@pytest.mark.parametrize(("old", "new", "line", "word"), FAULTS, ids=[new.split("\n")[-1] for _, new, _, _ in FAULTS])
def test_a_fault_is_named_with_its_line(
    cli: CommandLine, tmp_path: Path, old: str, new: str, line: int, word: str
) -> None:
    file = tmp_path / "child.toml"
    file.write_text(GOOD.replace(old, new), encoding="utf-8")
    shown, asked = cli("child", "show", file), cli("suggest", "me", "--child", file)
    assert (shown.code, asked.code, asked.out) == (1, 1, "")
    assert shown.err == asked.err and [at for at, _ in places(shown.err)] == [line], shown.err
    assert word in places(shown.err)[0][1]


def test_all_faults_come_in_one_run_and_the_rest_is_shown(cli: CommandLine, tmp_path: Path) -> None:
    file = tmp_path / "child.toml"
    text = (
        GOOD.replace('"3;2"', '"3;13"').replace('"m b p"', '"m zz"').replace('"i ɑ"', '"i q"').replace('"CV"', '"CX"')
    )
    file.write_text(text, encoding="utf-8")
    ran = cli("child", "show", file)
    assert [line for line, _ in places(ran.err)] == [2, 6, 10, 13] and ran.code == 1
    assert "Q1" in ran.out and re.search(r"Vowels: i\b", ran.out)


def test_the_good_file_is_good(cli: CommandLine, tmp_path: Path) -> None:
    """Without this, every fault above might be one of the file it was put in."""
    file = tmp_path / "child.toml"
    file.write_bytes("\ufeff".encode() + GOOD.replace("\n", "\r\n").encode())
    ran = cli("child", "show", file, "--json")
    assert (ran.code, ran.err) == (0, "")
    assert ran.json["consonants"]["medial"] == {"m": "established", "b": "established", "p": "established"}
    assert (ran.json["vowels"], ran.json["shapes"]) == ({"i": "established", "ɑ": "established"}, {"CV": "established"})


@pytest.mark.parametrize(
    "raw",
    [
        b'code = "Q1"\0\n',
        GOOD.encode("utf-16"),
        GOOD.encode("latin-1", "replace") + b"\xff",
        b"code = [",
        b"PK\x03\x04",
    ],
    ids=["nul", "utf-16", "latin-1", "unclosed", "zip"],
)
def test_a_file_that_is_no_toml_gets_one_line(cli: CommandLine, tmp_path: Path, raw: bytes) -> None:
    file = tmp_path / "child.toml"
    file.write_bytes(raw)
    for ran in (cli("child", "show", file), cli("suggest", "me", "--child", file)):
        assert ran.code == 1 and ran.out == ""
        assert len(ran.err.splitlines()) == 1 and ran.err.startswith(str(file))


@pytest.mark.parametrize("language", ["en-US", "en-GB", "es-MX"])
def test_new_writes_a_file_that_reads_without_a_fault(cli: CommandLine, tmp_path: Path, language: str) -> None:
    file = tmp_path / "new.toml"
    ran = cli("child", "new", file, "--code", "Z9", "--language", language)
    assert ran.code == 0 and ran.out == "" and str(file) in ran.err
    assert file.read_text(encoding="utf-8").count("#") > 8
    shown = cli("child", "show", file, "--json")
    assert (shown.code, shown.err) == (0, "")
    assert (shown.json["code"], shown.json["language"]) == ("Z9", language)


def test_new_never_writes_over_a_file(cli: CommandLine, tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("code = 'mine'\n", encoding="utf-8")
    ran = cli("child", "new", file)
    assert ran.code == 2 and file.read_text(encoding="utf-8") == "code = 'mine'\n" and "[file.exists]" in ran.err
    assert "choose another name" in ran.err and "--force" not in ran.err, "an option this command does not have"


def test_new_in_a_folder_that_is_not_there(cli: CommandLine, tmp_path: Path) -> None:
    ran = cli("child", "new", tmp_path / "nowhere" / "child.toml")
    assert ran.code == 2 and len(ran.err.splitlines()) == 1 and not (tmp_path / "nowhere").exists()


def test_new_refuses_a_language_that_is_none(cli: CommandLine, tmp_path: Path) -> None:
    ran = cli("child", "new", tmp_path / "child.toml", "--language", "e!")
    assert ran.code == 2 and "[use.language]" in ran.err and not (tmp_path / "child.toml").exists()


@pytest.mark.parametrize("name", SAMPLES)
def test_samples_read_without_a_fault_and_say_that_they_are_invented(cli: CommandLine, name: str) -> None:
    ran = cli("child", "show", f"samples/{name}.toml", "--json")
    assert (ran.code, ran.err) == (0, "") and not ran.json["problems"]
    text = (ROOT / "samples" / f"{name}.toml").read_text(encoding="utf-8")
    assert text.startswith("# Invented example") and tomllib.loads(text)["code"] == name[:3].upper()


def test_show_prints_what_is_in_hand_by_place_and_manner(cli: CommandLine) -> None:
    """K07's file: nasals m and n at the start, final p only just coming."""
    out = cli("child", "show", "samples/k07.toml").out
    initial = out.split("Consonants, initial")[1].split("Consonants, medial")[0]
    final = out.split("Consonants, final")[1].split("Clusters")[0]
    nasal = next(line for line in initial.splitlines() if line.strip().startswith("nasal"))
    stop = next(line for line in final.splitlines() if line.strip().startswith("stop"))
    assert nasal.split()[1:3] == ["m", "n"] and stop.split()[1] == "~p"


def test_a_phrase_list_of_the_samples_is_answered_whole(cli: CommandLine) -> None:
    """Every word of every phrase has a form the child can be asked for."""
    for name in ("k07", "m12", "t03"):
        lines = (ROOT / "samples" / f"{name}_phrases.txt").read_text(encoding="utf-8").splitlines()
        assert lines[0].startswith("# Invented example")
        phrases = [line for line in lines if not line.startswith("#")]
        ran = cli("suggest", "-", "--child", f"samples/{name}.toml", "--json", stdin="\n".join(phrases).encode())
        assert ran.code == 0 and len(ran.json["words"]) == sum(len(phrase.split()) for phrase in phrases)
        assert all(word["approximations"] and word["sure"] for word in ran.json["words"])
