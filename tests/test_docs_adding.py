"""What the page about adding shows passes the check-up as it stands there; what is wrong gets a line that says what to write."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from conftest import CommandLine
from places import ROOT
from test_docs import SITE, blocks

PAGE = (SITE / "adding.md").read_text(encoding="utf-8")
RULE, ACCENT, LANGUAGE = blocks(PAGE, "toml")
NORM, WORD = blocks(PAGE, "text")
GOOD = RULE.splitlines()
pytestmark = pytest.mark.slow


def test_each_takes_ten_lines_at_most() -> None:
    assert [len(block.splitlines()) <= 10 for block in (RULE, ACCENT, LANGUAGE, NORM, WORD)] == [True] * 5


def with_line(start: str, line: str) -> str:
    """The rule of the page with one line another; "" leaves it out."""
    return "\n".join(filter(None, (line if each.startswith(start) else each for each in GOOD))) + "\n"


def test_the_rule_of_the_page_is_right(cli: CommandLine, tmp_path: Path) -> None:
    (tmp_path / "queen.toml").write_text(RULE, encoding="utf-8")
    assert cli("doctor", "--rules", tmp_path, "--json").json["problems"] == []


@pytest.mark.parametrize(
    ("text", "taught"),
    [
        (with_line("change", 'change = "ɹ > ∅"'), "needs one arrow: A -> B / C _ D"),
        (with_line("change", 'change = "k -> p / . w"'), "needs one _ where the change stands"),
        (with_line("change", 'change = "{k g} -> {t d}"'), "write ɡ (U+0261)"),
        (with_line("change", 'change = "stops -> p"'), "write stop"),
        (with_line("change", 'change = "[+voiced] -> p"'), "features: syl son cons"),
        (with_line("process", 'process = "velar frontin"'), "near it: velar fronting"),
        (
            with_line("source", ""),
            'write source = "author year, journal volume:pages", or "common practice, no source"',
        ),
        (with_line("cost", ""), "write cost = 0.4 (0.5 is an ordinary step)"),
        (with_line("examples", ""), 'write examples = [["ki", "ti"]]'),
        (with_line("examples", 'examples = [["kwin", "kwin"]]'), "pwin came out; mend the change or the example"),
        (with_line("cost", "cost = 12"), "a number above 0 and at most 10; 0.5 is an ordinary step"),
        (with_line("change", 'chnage = "k -> p"'), "'chnage' is not known; keys: "),
        (with_line("change", 'change = "k -> p'), "not valid TOML"),
    ],
)
def test_a_wrong_rule_is_told_what_to_write(text: str, taught: str, cli: CommandLine, tmp_path: Path) -> None:
    (tmp_path / "queen.toml").write_text(text, encoding="utf-8")
    ran = cli("doctor", "--rules", tmp_path)
    (line,) = [line for line in ran.err.splitlines() if taught in line]
    assert ran.code == 1 and "queen.toml:" in line


def check_up(folder: Path, changes: dict[str, str]) -> list[dict[str, Any]]:
    """Problems of a copy of the program whose data has more lines, by `approx doctor`."""
    for name in ("approx", "rules"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name, text in changes.items():
        file = folder / "rules" / name
        before = file.read_text(encoding="utf-8") if file.exists() else ""
        file.write_text(before + text, encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-m", "approx", "doctor", "--json"],
        cwd=folder, env={**os.environ, "PYTHONPATH": str(folder), "APPROX_HOME": str(folder / "home")},
        capture_output=True, encoding="utf-8", timeout=120, check=False,
    )  # fmt: skip
    found: list[dict[str, Any]] = json.loads(ran.stdout)["problems"]
    return found


TABLES = {
    "accent": "accents/my-town.toml", "language": "languages/de.toml",
    "norm": "norms/process_ages.tsv", "word": "lexicon/english_list.tsv",
}  # fmt: skip


def test_accent_norm_word_and_language_of_the_page_are_right(tmp_path: Path) -> None:
    changes = dict(zip(TABLES.values(), (ACCENT, LANGUAGE, NORM, WORD), strict=True))
    assert check_up(tmp_path, changes) == []
    asked = [sys.executable, "-m", "approx", "score", "-", "--language", "de", "--json"]
    rows = "target_word,target_ipa,produced_ipa\nhouse,kaiplo,taiplo\n"
    ran = subprocess.run(
        asked, input=rows, cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(tmp_path)}, capture_output=True,
        encoding="utf-8", timeout=120, check=False,
    )  # fmt: skip
    # by hand: ai is a diphthong of the language, so one vowel of two, and pl begins its second syllable
    measures = json.loads(ran.stdout)["groups"][0]["measures"]
    assert (measures["pvc"]["out_of"], measures["pcc"]["out_of"]) == (2, 3)


def test_wrong_ones_are_told_what_to_write(tmp_path: Path) -> None:
    wrong = {
        "accent": ACCENT.replace("->", ">").replace("source ", "# source "),
        "language": LANGUAGE.replace("a e i", "a e ☃").replace("source", "# source"),
        "norm": NORM.replace("\t42\t", "\t3;6\t").replace("from memory", "read").replace("author year, journal volume:pages", ""),
        "word": WORD.replace("ˈzuzu", "ˈzu☃u") + WORD,
    }  # fmt: skip
    found = check_up(tmp_path, {TABLES[kind]: text for kind, text in wrong.items()})
    for kind, taught in [
        ("accent", "needs one arrow: A -> B / C _ D"), ("accent", 'write source = "author year'),
        ("language", "'☃' is not a sound"), ("language", 'add a line: source = "..."'),
        ("norm", "whole months up to 216 (3;6 is 42)"), ("norm", "one of: text; text, secondary; from memory"),
        ("norm", "every published value has author, year and place"), ("word", "'☃' U+2603"), ("word", "the first is on line"),
    ]:  # fmt: skip
        told = [f"{p['message']}; {p.get('hint', '')}" for p in found if p["file"].endswith(TABLES[kind])]
        assert any(taught in line for line in told), (kind, taught, told)
