"""The rules that ship: every example holds, every file reads without fault, every process has its rules."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from places import RULES

from approx.ipa import read
from approx.processes.engine.apply import apply
from approx.processes.engine.form import form_of
from approx.processes.rules.notation import parse
from approx.processes.rules.ruleset import load_rules


def written() -> list[tuple[str, int, dict[str, object]]]:
    """Every rule as it stands in the files, with file and line: read here, not by the loader."""
    out = []
    for path in sorted((RULES / "processes").glob("*.toml")):
        text = path.read_text(encoding="utf-8")
        lines = [n for n, line in enumerate(text.splitlines(), 1) if re.match(r"\s*\[\[\s*rule\s*\]\]", line)]
        rows = tomllib.loads(text)["rule"]
        assert len(rows) == len(lines), path.name
        out += [(path.name, line, row) for line, row in zip(lines, rows, strict=True)]
    return out


def test_every_example_of_every_rule_holds() -> None:
    failures, tried = [], 0
    for file, line, row in written():
        tag = str(row.get("language") or "en-US")
        for before, after in row["examples"]:  # type: ignore[attr-defined]
            tried += 1
            start = form_of(read(before, tag).words[0])
            out = [form.word.ipa for _, _, form in apply(parse(str(row["change"])), start, tag)]
            if read(after, tag).words[0].ipa not in out:
                failures.append(f"{file}:{line}: {row['id']}: {before} -> {after}, came out: {out}")
    assert failures == []
    assert tried >= 200


def test_loader_keeps_every_rule_of_the_files() -> None:
    rules = load_rules()
    assert rules.problems == ()
    there = {rule.id: (Path(rule.file).name, rule.line) for rule in rules.rules}
    assert there == {str(row["id"]): (file, line) for file, line, row in written()}


def test_ids_are_unique_over_all_files() -> None:
    ids = [str(row["id"]) for _, _, row in written()]
    assert sorted(ids) == sorted(set(ids))


def test_every_rule_says_its_source() -> None:
    """A source has a year, or the plain words that there is none, or the project's own reference."""
    vague = [
        f"{file}:{line}: {row['source']}"
        for file, line, row in written()
        if not re.search(
            r"\b(19|20)\d\d\b|common practice, no source|measures\.md section \d+|\breference\b", str(row["source"])
        )
    ]
    assert vague == []


def test_rule_ids_begin_with_their_process_or_a_sibling() -> None:
    """Found in ten seconds: velar-fronting.x belongs to velar fronting; exceptions say so in their source."""
    odd = [
        f"{file}:{line}: {row['id']} is {row['process']}"
        for file, line, row in written()
        if not str(row["id"]).startswith(str(row["process"]).replace(" ", "-")) and "reading" not in str(row["source"])
    ]
    assert odd == []


def test_every_process_but_distortion_has_a_rule() -> None:
    with (RULES / "processes.toml").open("rb") as file:
        names = {process["id"].replace("-", " ") for process in tomllib.load(file)["process"]}
    without = names - {str(row["process"]) for _, _, row in written()}
    assert without <= {"distortion", "nearest sound", "own change"}
