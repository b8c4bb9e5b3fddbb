"""`approx words --child`: what a clinician sees, JSON, CSV, and bad input met with one clear line."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from places import ROOT
from typed_commands import run

from approx.problems import BAD_DATA, FINE, WRONG_USE

M12, K07 = ROOT / "samples" / "m12.toml", ROOT / "samples" / "k07.toml"


def answer(capsys: pytest.CaptureFixture[str], child: Path | None = M12, **more: Any) -> tuple[int, str, str]:
    named = {{"set_size": "set"}.get(name, name): value for name, value in more.items()}
    code = run("words", child=child, **named)
    out, err = capsys.readouterr()
    return code, out, err


def test_lines_say_what_is_in_hand_what_is_new_and_both_orders(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = answer(capsys, count=3)
    assert code == FINE and err == ""
    assert "Already sayable in adult form (3 of" in out and "One new sound or shape (3 of" in out
    assert "--order early" in out and "--order harder" in out and "Neither is chosen here" in out
    assert "Sounds and shapes that would make the most words" in out and "signature: words:" in out


def test_json_keys_are_a_promise(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = answer(capsys, count=2, as_json=True, goal=["k final"], contrast=True)
    data = json.loads(out)
    assert code == FINE
    assert set(data) >= {
        "child", "language", "signature", "problems", "bank", "most_new", "order", "orders", "passing", "words", "set",
        "contrasts", "would_open", "first_steps", "out_of_reach",
    }  # fmt: skip
    word = data["words"][0]
    assert set(word) >= {
        "word", "adult", "adult_spelled", "today", "today_spelled", "in_hand", "new", "part_of_speech", "category",
        "picturable", "frequency", "shape", "syllables", "complexity", "own", "goals", "clashes", "contrasts", "score", "reasons",
    }  # fmt: skip
    assert set(word["in_hand"]) == {"have", "asks", "share"}
    new = next(each for each in data["words"] if each["new"])["new"][0]
    assert set(new) == {"kind", "text", "emerging", "demands"}
    assert set(data["contrasts"][0]) >= {"word", "other", "today", "differ", "processes"}
    assert [each["order"] for each in data["orders"]] == ["early", "harder"] and all(
        each["source"] for each in data["orders"]
    )


def test_csv_opens_in_a_spreadsheet(capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    assert run("words", child=M12, count=3, as_csv=True) == FINE
    raw = capsysbinary.readouterr().out
    assert raw.startswith(b"\xef\xbb\xbf")
    rows = list(csv.DictReader(io.StringIO(raw.decode("utf-8-sig"))))
    assert len(rows) == 6 and rows[0]["adult"] and rows[0]["zipf"]


def test_a_set_is_as_big_as_asked_and_the_same_again(capsys: pytest.CaptureFixture[str]) -> None:
    first = json.loads(answer(capsys, set_size=8, as_json=True)[1])
    again = json.loads(answer(capsys, set_size=8, as_json=True)[1])
    assert len(first["words"]) == 8 and first["set"] == again["set"]
    assert first["set"]["value"] >= first["set"]["greedy_value"] - 1e-6
    assert first["set"]["value"] == pytest.approx(sum(first["set"]["parts"].values()), abs=0.01)
    other = json.loads(answer(capsys, set_size=8, seed=5, as_json=True)[1])
    assert other["set"]["words"] != first["set"]["words"]


def test_a_small_pool_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = answer(capsys, set_size=9, category=["drinks"], new=0)
    assert code == FINE and "only 1 of the" in err and "A set of 1 word chosen together" in out


@pytest.mark.parametrize(
    ("more", "code", "said"),
    [
        ({"order": "later"}, WRONG_USE, "one of: early, harder"),
        ({"as_json": True, "as_csv": True}, WRONG_USE, "choose one"),
        ({"category": ["annimals"]}, WRONG_USE, "did you mean animals"),
        ({"pos": ["nown"]}, WRONG_USE, "did you mean noun"),
        ({"shape": ["XYZ"]}, WRONG_USE, "CVC, CV.CV"),
        ({"sound": ["7"]}, WRONG_USE, "write a sound in IPA"),
        ({"goal": ["velar fronted"]}, WRONG_USE, "velar fronting"),
        ({"exclude": ["no_such_list.txt"]}, BAD_DATA, "check the name"),
        ({"own": "no_such_list.csv"}, BAD_DATA, "check the name"),
        ({"shape": ["CCCVCCC"]}, BAD_DATA, "leaves none"),
        ({"language": "deu-Latn"}, BAD_DATA, "no word bank"),
        ({"rules": Path("no_such_folder")}, BAD_DATA, "name a folder"),
    ],
)
def test_bad_input_gets_one_clear_line(
    capsys: pytest.CaptureFixture[str], more: dict[str, Any], code: int, said: str
) -> None:
    found, _, err = answer(capsys, **more)
    assert found == code and said in err, err


def test_no_child_and_a_missing_child(capsys: pytest.CaptureFixture[str]) -> None:
    assert answer(capsys, None)[0] == WRONG_USE
    code, _, err = answer(capsys, Path("no_such_child.toml"))
    assert code == BAD_DATA and "no_such_child.toml" in err
    code, out, _ = answer(capsys, Path("no_such_child.toml"), as_json=True)
    assert json.loads(out)["problems"] and code == BAD_DATA


def test_exclusions_as_words_and_as_a_list(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    names = [word["word"] for word in json.loads(answer(capsys, count=3, as_json=True)[1])["words"]]
    (tmp_path / "out.txt").write_text(f"{names[0]}\n{names[1]}\n", encoding="utf-8")
    for exclude in ([f"{names[0]},{names[1]}"], [str(tmp_path / "out.txt")]):
        left = [word["word"] for word in json.loads(answer(capsys, count=3, as_json=True, exclude=exclude)[1])["words"]]
        assert not {names[0], names[1]} & set(left) and len(left) == 6


def test_a_child_with_nothing_is_told_what_to_bring_in(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = answer(capsys, ROOT / "tests" / "data" / "profiles" / "nothing.toml")
    assert code == BAD_DATA and "the nearest with --new 2" in err
    assert "Few words are within reach" in out and "1. the syllable shape" in out


def test_two_things_when_asked(capsys: pytest.CaptureFixture[str]) -> None:
    out = answer(capsys, K07, new=2, count=2)[1]
    assert "Two new sounds or shapes (2 of" in out and "today:" in out


def test_the_table_for_a_terminal_is_whole() -> None:
    from approx.child import read_child_file
    from approx.practice.words.word_choice import ChoiceOptions, choose_words
    from approx.reports.text.drawn import drawn
    from approx.reports.text.words import choice_lines, choice_parts

    profile, _ = read_child_file(M12)
    assert profile is not None
    choice = choose_words(profile, ChoiceOptions(count=3, contrast=True, set_size=4))
    shown = "\n".join(drawn(choice_parts(choice), 160))
    for word in choice.words:
        assert word.word in shown and word.adult.ipa in shown
    lines = "\n".join(choice_lines(choice))
    assert "Contrast pairs" in lines and "Contrast pairs" in shown and "balance" in lines


@pytest.mark.slow
@pytest.mark.parametrize("child", ["k07.toml", "m12.toml", "t03.toml", "t03_es.toml"])
def test_every_sample_child_gets_a_set_of_eight(capsys: pytest.CaptureFixture[str], child: str) -> None:
    code, out, err = answer(capsys, ROOT / "samples" / child, set_size=8, as_json=True)
    data = json.loads(out)
    assert code == FINE and err == ""
    assert len(data["words"]) == 8 and all(word["today"] for word in data["words"])
    assert len({word["today"] for word in data["words"]}) == 8


def test_nothing_of_the_child_but_the_code_is_printed(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "child.toml"
    path.write_text(M12.read_text(encoding="utf-8") + '\n[chosen]\nsecretword = "pun"\n', encoding="utf-8")
    out = answer(capsys, path, count=2)[1]
    assert "M12" in out and "secretword" not in out and str(tmp_path) not in out
