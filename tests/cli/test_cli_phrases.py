"""`approx phrases` as it is called: text, JSON, CSV, scenes, exit codes, and every problem in one run."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from places import ROOT
from typed_commands import run

import approx

M12 = ROOT / "samples" / "m12.toml"


def answer(capsys: pytest.CaptureFixture[str], **typed: Any) -> tuple[int, str, str]:
    code = run("phrases", **{"child": M12, **typed})
    said = capsys.readouterr()
    return code, said.out, said.err


def test_text_has_both_forms_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = answer(capsys, words="Bo, eat, pea", relation="svo", count=1)
    assert code == 0 and err == ""
    assert "1. Bo eat pea  ->  Bo is eating the peas.  [agent-action-object: tell who does what to what]" in out
    assert 'today: boʊ it pi  "boh eat pea"' in out and "signature: rules:" in out


def test_json_holds_words_with_role_and_what_is_new(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = answer(capsys, as_json=True, count=5)
    data = json.loads(out)
    assert code == 0 and data["child"] == "M12" and len(data["phrases"]) == 5 and data["ladder"] is None
    for phrase in data["phrases"]:
        assert [word["word"] for word in phrase["words"]] == phrase["telegraphic"].split()
        assert phrase["today"]["ipa"] == " ".join(word["today"] for word in phrase["words"])
        assert set(phrase["load"]) == {"syllables", "places", "jumps"}
        assert all(word["role"] for word in phrase["words"])


def test_json_of_a_ladder(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = answer(capsys, grammar="Ben dig mud", as_json=True)
    ladder = json.loads(out)["ladder"]
    assert ladder["adult_sentence"] == "Ben is digging the mud." and ladder["order"] == "development"
    assert ladder["steps"][0] | {"new": []} == ladder["steps"][0] | {"new": [], "adds": None, "builds_on": None}
    assert [step["number"] for step in ladder["steps"]] == list(range(1, len(ladder["steps"]) + 1))


def test_csv_opens_as_rows(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = answer(capsys, frames=True, as_csv=True, count=2)
    rows = list(csv.DictReader(io.StringIO(out.lstrip("\ufeff"))))
    assert rows and {row["kind"] for row in rows} == {"frame"}
    assert all(row["phrase"] and row["adult_sentence"] and row["today_ipa"] for row in rows)


def test_spanish(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = answer(capsys, child=ROOT / "samples" / "t03_es.toml", grammar="mamá come pan")
    assert code == 0 and "mamá está comiendo el pan" in out and "mamá lo está comiendo" in out


@pytest.mark.parametrize(
    ("typed", "code", "said"),
    [
        ({"child": None}, 2, "no child file given"),
        ({"as_json": True, "as_csv": True}, 2, "choose one"),
        ({"grammar": "dig mud", "frames": True}, 2, "--grammar builds up one phrase"),
        ({"order": "brown"}, 2, "--order is the order of grammar steps"),
        ({"child": Path("nowhere.toml")}, 1, "nowhere.toml"),
        ({"words": " , ; "}, 1, "no word in the list"),
        ({"words": "nowhere.txt"}, 1, "cannot read the list"),
        ({"relation": "friendship"}, 2, "--relation cannot be 'friendship'"),
        ({"grammar": "of the"}, 1, "is not a kind of phrase known here"),
        ({"grammar": "dig mud", "order": "up"}, 2, "one of: development, everyday, brown, sounds"),
        ({"words": "???, !!!"}, 1, "is not a word this program can read"),
    ],
)
def test_problems_are_one_line_with_a_way_out(
    typed: dict[str, Any], code: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    got, out, err = answer(capsys, **typed)
    assert got == code and said in err
    assert out == "" and all(line.endswith("]") for line in err.splitlines())


def test_refusals_are_json_too(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = answer(capsys, words="nowhere.txt", as_json=True)
    data = json.loads(out)
    assert code == 1 and data["phrases"] == [] and data["problems"][0]["code"] == "words.file"


def test_words_from_a_file_with_sounds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A line of several words is a wish; a column of IPA wins over the dictionary."""
    file = tmp_path / "scene.csv"
    file.write_text("word,target_ipa\nBo,\neat,\npea,/pi/\nLulu,/ˈlulu/\nmore tea,\n", encoding="utf-8")
    code, out, err = answer(capsys, words=str(file))
    assert code == 0 and "more tea  ->  I want more tea.  [wish: the family's wish]" in out
    assert "scene.csv:5: 'Lulu' is not in the word bank: taken as a name" in err


@pytest.mark.parametrize(
    ("typed", "words"), [("Bo, more tea; mud", ["Bo", "more tea", "mud"]), ("Bo dig mud", ["Bo", "dig", "mud"])]
)
def test_words_typed_on_the_line(typed: str, words: list[str]) -> None:
    assert approx.phrases(M12, words=typed).to_dict() == approx.phrases(M12, words=words).to_dict()


@pytest.mark.parametrize("typed", ["x" * 5000, "\x00, \ufffd", "'; drop, =1+1", "🙂, 🙃"])
def test_rubbish_is_met(typed: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = answer(capsys, words=typed)
    assert code in (0, 1) and err and all(len(line) < 600 for line in err.splitlines())
