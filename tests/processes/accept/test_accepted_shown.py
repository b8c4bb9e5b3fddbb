"""What was accepted as right is counted and shown, by score and by processes; long files say how far they are; both ways
of scoring give one answer on the command line."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path

import pytest
from fast_cases import only
from places import SAMPLES
from typed_commands import run

from approx.cli import output as long_files
from approx.scoring import sample_score

AAE = ["african-american-english"]
ROWS = [
    ("bath", "bæθ", "bæf"),
    ("bath", "bæθ", "bæf"),
    ("bath", "bæθ", "bæθ"),
    ("running", "ˈɹʌnɪŋ", "ˈɹʌnɪn"),
    ("sun", "sʌn", "tʌn"),
]
"""f for θ at the end of a word is a form of this accent, n for ŋ of casual speech (rules/accents); t for s is neither."""


def written(folder: Path) -> str:
    file = folder / "sample.csv"
    lines = [
        "child,session_date,target_word,target_ipa,produced_ipa",
        *(f"A,2026-03-02,{','.join(row)}" for row in ROWS),
    ]
    file.write_text("\n".join(lines), encoding="utf-8")
    return str(file)


def told(file: str, capsys: pytest.CaptureFixture[str], **how: bool) -> str:
    assert run("processes", file, by="child", accent=AAE, **how) == 0
    return capsys.readouterr().out


def test_processes_show_in_the_terminal_what_was_accepted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = told(written(tmp_path), capsys)
    line = next(line for line in text.splitlines() if "accepted as right" in line)
    assert "bath [bæf]" in line and " 2x" in line and "running [ˈɹʌnɪn]" in line and " 1x" in line
    assert "sun" not in line


def test_processes_give_what_was_accepted_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    group = json.loads(told(written(tmp_path), capsys, as_json=True))["groups"][0]
    found = {(each["word"], each["form"]): each["times"] for each in group["accepted"]}
    assert found == {("bath", "bæf"): 2, ("running", "ˈɹʌnɪn"): 1}
    assert all(each["says"] for each in group["accepted"])
    happened = {each["process"] for each in group["processes"] if each["occurrences"]}
    assert happened == {"stopping"}  # what was accepted is no process


def test_processes_give_what_was_accepted_as_csv(tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    file = written(tmp_path)
    assert run("processes", file, by="child", accent=AAE, as_csv=True) == 0
    text = capfdbinary.readouterr().out.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    accepted = [row for row in rows if row["kind"] == "accepted as right"]
    assert sorted((row["words"], row["occurrences"]) for row in accepted) == [
        ("bath [bæf]", "2"),
        ("running [ˈɹʌnɪn]", "1"),
    ]
    assert next(row for row in rows if row["process"] == "stopping")["occurrences"] == "1"


def test_without_the_accent_its_forms_are_not_accepted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("processes", written(tmp_path), by="child", as_json=True) == 0
    group = json.loads(capsys.readouterr().out)["groups"][0]
    assert [(each["word"], each["times"]) for each in group["accepted"]] == [("running", 1)]


def test_the_page_and_the_scores_show_what_was_accepted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "page.html"
    assert run("score", written(tmp_path), by="child", page=page, accent=AAE) == 0
    assert "accepted as right: " in capsys.readouterr().out
    text = page.read_text(encoding="utf-8")
    changes = text[text.index("Changes heard") :]
    assert "Accepted as correct, not counted as a change: " in changes
    assert "bath [bæf]" in changes and "2x" in changes
    assert run("score", written(tmp_path), by="child", as_json=True, accent=AAE) == 0
    group = json.loads(capsys.readouterr().out)["groups"][0]
    assert {(each["word"], each["form"]): each["times"] for each in group["accepted"]}["bath", "bæf"] == 2


def test_accents_and_language_may_be_set_as_the_other_options_are(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = []
    for how in ({"accent": AAE, "language": "en-GB"}, {"set": [f"accents={AAE[0]}", "language=en-GB"]}):
        assert run("score", written(tmp_path), by="child", as_json=True, **how) == 0
        answers.append(capsys.readouterr().out)
    assert answers[0] == answers[1] and "accents:african-american-english" in answers[0]
    assert run("score", written(tmp_path), set=["age=3"]) == 2
    assert "'age' is not an option" in capsys.readouterr().err


@pytest.mark.parametrize("by", only(("child,session_date", "context", "target_word,child"), "context"))
@pytest.mark.parametrize("accents", [[], AAE])
@pytest.mark.parametrize("name", ["m12.csv", "k07.csv", "t03.csv"])
def test_both_ways_of_scoring_print_the_same(
    name: str, accents: list[str], by: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = []
    plain = sample_score.score_counts
    for many in (10**9, 1):
        monkeypatch.setattr(
            "approx.scoring.sample_score.score_counts",
            lambda *rest, many=many, **named: plain(*rest, many=many, **named),
        )
        assert run("score", SAMPLES / name, by=by, as_json=True, accent=accents) == 0
        answers.append(capsys.readouterr().out)
    assert answers[0] == answers[1]
    assert '"pcc"' in answers[0]


def test_a_small_sample_needs_no_arrays_and_no_data_frames() -> None:
    import subprocess

    program = (
        f"import sys; sys.argv = ['approx', 'score', {str(SAMPLES / 'm12.csv')!r}, '--json']\n"
        "from approx.cli import main\ntry:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(sorted({'numpy', 'pandas', 'openpyxl'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, encoding="utf-8")
    assert done.stderr.strip().splitlines()[-1] == "[]"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_long_file_says_on_stderr_how_far_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    file = written(tmp_path)
    assert run("score", file, by="child", as_json=True) == 0
    plain = capsys.readouterr()
    assert plain.err == ""  # no terminal, no line
    monkeypatch.setattr(long_files, "STEP", 2)
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    assert run("score", file, by="child", as_json=True) == 0
    shown = screen.getvalue()
    assert "2 of 5 rows read" in shown and "1 of 1 groups scored" in shown and "\n" not in shown
    assert shown.endswith("\r")  # the line is taken away
    assert capsys.readouterr().out == plain.out
