"""`approx sheet` as a clinician uses it: pages to files and to stdout, and one clear line for everything that is wrong."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from fast_cases import only
from places import ROOT
from typed_commands import run

from approx.reports.sheets.sheet_page import SHEET_KINDS as PAGES

SAMPLES = ROOT / "samples"
M12, K07, T03_ES = (SAMPLES / f"{name}.toml" for name in ("m12", "k07", "t03_es"))


def sheet(page: str, *children: Path, words: str | tuple[str, ...] | None = "cup, boot, Nana", **more: Any) -> int:
    lists = () if words is None else (words,) if isinstance(words, str) else words
    """A page by its command. Words to probe are named: choosing them, which has its own test, takes longer than the page."""
    more = {"minutes": 30 if page == "plan" else None, "probe": "sun, key" if page == "session" else None, **more}
    return run("sheet", page, child=children or (M12,), words=lists, **more)


@pytest.mark.parametrize("page", only(PAGES, "session", "cards", "plan"))
def test_every_page_as_html_pdf_and_json(page: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    html, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    words = "cup, spoon, hat, boot, Nana"
    assert sheet(page, words=words, html=html, pdf=pdf) == 0
    assert html.read_text(encoding="utf-8").startswith("<!doctype html>") and pdf.read_bytes().startswith(b"%PDF-")
    said = capsys.readouterr()
    assert said.out == "" and f"{html}: written" in said.err and f"{pdf}: written" in said.err
    assert not list(tmp_path.glob(".*"))
    assert sheet(page, words=words, as_json=True) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["page"] == page and data["printing"]["language"] == "en" and data["problems"] == []


def test_without_a_file_the_page_goes_to_stdout(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("family") == 0
    said = capsys.readouterr()
    assert said.out.startswith("<!doctype html>") and said.out.endswith("</html>\n") and said.err == ""


def test_at_a_terminal_a_file_is_asked_for(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("approx.cli.practice_commands.is_terminal", lambda: True)
    assert sheet("family") == 2
    said = capsys.readouterr()
    assert said.out == "" and "--html" in said.err


def test_without_words_eight_are_chosen_and_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("session", words=None, as_json=True) == 0
    said = capsys.readouterr()
    data = json.loads(said.out)
    chosen = [row["word"] for row in data["sheets"][0]]
    assert len(chosen) == 8 == len(set(chosen))
    assert "words chosen for this child: " + ", ".join(chosen) in said.err


def test_words_from_a_file_with_ipa_and_phrases_with_a_frame(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words, phrases = tmp_path / "words.csv", tmp_path / "phrases.txt"
    words.write_text("target_word,target_ipa\nzib,zɪb\ncup,\n", encoding="utf-8")
    phrases.write_text("more ___\nmud pie\n", encoding="utf-8")
    assert sheet("cards", words=str(words), phrases=str(phrases), as_json=True) == 0
    data = json.loads(capsys.readouterr().out)
    assert [card["word"] for card in data["cards"]] == ["zib", "cup", "mud pie"]
    assert [(frame["before"], frame["after"]) for frame in data["frames"]] == [("more", "")]


def test_words_to_probe_are_chosen_where_none_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    """Five by default, none of them practised; those that are named otherwise."""
    assert sheet("session", words="cup, boot", probe=None, as_json=True) == 0
    chosen = json.loads(capsys.readouterr().out)["probes"]
    assert len(set(chosen)) == 5 and not {"cup", "boot"} & set(chosen)
    assert sheet("session", words="cup, boot", as_json=True) == 0
    assert json.loads(capsys.readouterr().out)["probes"] == ["sun", "key"]


def test_cards_without_a_frame_get_some(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("cards", words="cup, mama", as_json=True) == 0
    assert json.loads(capsys.readouterr().out)["frames"]


def test_ipa_in_a_typed_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("session", words="zib=/dɪb/, cup", as_json=True) == 0
    assert json.loads(capsys.readouterr().out)["sheets"][0][0]["adult_ipa"] == "dɪb"


def test_more_than_eight_targets_take_a_second_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("session", words="cup, boot, hat, mat, net, pan, pot, tub, bed", as_json=True) == 0
    assert [len(page) for page in json.loads(capsys.readouterr().out)["sheets"]] == [5, 4]


def test_a_group_has_its_own_words_a_child(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("group", M12, K07, words=("cup, hat", "mama"), as_json=True) == 0
    data = json.loads(capsys.readouterr().out)
    assert [(child["code"], [row["word"] for row in child["rows"]]) for child in data["children"]] == [
        ("M12", ["cup", "hat"]),
        ("K07", ["mama"]),
    ]


def test_a_spanish_child_gets_spanish_pages_and_an_english_one_on_request(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("family", T03_ES, words="pan, mano") == 0
    assert '<html lang="es">' in capsys.readouterr().out
    assert sheet("family", M12, language="es") == 0
    said = capsys.readouterr().out
    assert '<html lang="es">' in said and 'lang="en-US">cup</b>' in said


def test_the_code_is_on_the_session_page_and_not_on_the_family_page(capsys: pytest.CaptureFixture[str]) -> None:
    for page, there in (("session", True), ("family", False)):
        assert sheet(page) == 0
        assert ("M12" in capsys.readouterr().out) is there


def test_a_goal_that_does_not_fit_is_told_beside_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("plan", minutes=20, goal_trials=150) == 0
    said = capsys.readouterr()
    assert "150 trials do not fit into 20 minutes" in said.err and "150 trials do not fit into 20 minutes" in said.out


def test_docx_of_family_and_plan(tmp_path: Path) -> None:
    for page in ("family", "plan"):
        file = tmp_path / f"{page}.docx"
        assert sheet(page, docx=file) == 0 and file.read_bytes().startswith(b"PK")


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "page.docx"
    file.write_bytes(b"changed by hand")
    assert sheet("family", docx=file) == 1 and file.read_bytes() == b"changed by hand"
    assert "--force" in capsys.readouterr().err
    assert sheet("family", docx=file, force=True) == 0 and file.read_bytes().startswith(b"PK")


def test_a_place_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("family", html=tmp_path / "nowhere" / "page.html") == 1
    assert "cannot write" in capsys.readouterr().err


def test_a_package_that_is_missing_is_named(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "typst", None)
    assert sheet("family", pdf=tmp_path / "page.pdf") == 1
    assert "needs the package typst" in capsys.readouterr().err and not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("page", "more", "code", "said"),
    [
        ("session", {"words": ""}, 1, "no word in the list"),
        ("session", {"words": " , "}, 1, "no word in the list"),
        ("session", {"words": "cup, 日本"}, 1, "cannot read '日本'"),
        ("session", {"words": "nothere.txt"}, 1, "cannot read the list"),
        ("session", {"minutes": 1}, 2, "--minutes cannot be 1; a whole number from 5 to 180"),
        ("plan", {"minutes": None}, 1, "no minutes given"),
        ("plan", {"goal_trials": 1}, 1, "a goal of 1 trial for 3 words"),
        ("session", {"probe": ""}, 1, "no word in the list"),
        ("cards", {"phrases": "___ and ___"}, 1, "not a frame with one open slot"),
        ("poster", {}, 2, "PAGE cannot be 'poster'"),
        ("session", {"pdf": Path("page.docx")}, 2, "'page.docx' is not what --pdf writes"),
        ("session", {"docx": Path("page.doc")}, 2, "'page.doc' is not what --docx writes"),
        ("session", {"paper": "a3"}, 2, "--paper cannot be 'a3'; one of: a4, letter"),
        ("plan", {"order": "zig"}, 2, "--order cannot be 'zig'; one of: blocked, mixed, random"),
        ("session", {"language": "fr"}, 2, "--language cannot be 'fr'"),
        ("session", {"words": ("cup", "hat")}, 2, "once for each --child"),
    ],
)
def test_what_is_wrong_is_one_clear_line(
    page: str, more: dict[str, Any], code: int, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    html = tmp_path / "page.html"
    assert sheet(page, html=html, **more) == code
    err = capsys.readouterr().err
    lines = [line for line in err.splitlines() if said in line]
    assert len(lines) == 1 and "; " in lines[0] and not html.exists()


def test_no_child_two_children_and_a_missing_child(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("sheet", "family") == 2 and "no child file given" in capsys.readouterr().err
    assert sheet("family", M12, K07) == 2 and "is for one child" in capsys.readouterr().err
    assert sheet("family", tmp_path / "no.toml") == 1 and "cannot read the file" in capsys.readouterr().err


def test_problems_come_as_json_too(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("session", words="日本", as_json=True) == 1
    assert json.loads(capsys.readouterr().out)["problems"][0]["code"] == "lexicon.unknown"


def test_a_child_with_nothing_in_hand_is_told_what_is_missing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    child = tmp_path / "child.toml"
    child.write_text('code = "X09"\nlanguage = "en-US"\n', encoding="utf-8")
    assert sheet("session", child, words=None) == 1
    assert "no word of the bank fits" in capsys.readouterr().err
    assert sheet("session", child, words="cup", as_json=True) == 0
    assert json.loads(capsys.readouterr().out)["sheets"][0][0]["instead"] == "nothing yet"


def test_a_word_named_twice_is_printed_once_and_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert sheet("session", words="cup, Cup", as_json=True) == 0
    said = capsys.readouterr()
    assert len(json.loads(said.out)["sheets"][0]) == 1 and "named twice" in said.err


def test_a_rude_form_is_left_off_a_page_for_others_until_confirmed(capsys: pytest.CaptureFixture[str]) -> None:
    """M12 says bʌt for bus: left off the family's page with a line that says so, printed where it is confirmed, and on
    the clinician's own page."""
    pages = []
    for page, allow in (("family", False), ("family", True), ("session", False)):
        assert run("sheet", page, child=M12, words="bus, mud", allow_rude=allow, as_json=True) == 0
        pages.append(json.loads(capsys.readouterr().out))
    family, confirmed, session = pages
    assert [problem["symbol"] for problem in family["problems"] if problem["code"] == "sheet.rude"] == ["bus"]
    assert "bus" not in str(family["sheets"]) and "mud" in str(family["sheets"])
    for made in (confirmed, session):
        assert "sheet.rude" not in str(made["problems"]) and "bus" in str(made)


@pytest.mark.parametrize("child", only(("k07", "m12", "t03", "t03_es"), "m12", "t03_es"))
def test_words_chosen_for_a_page_with_pictures_can_be_shown(child: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Two thirds have a picture, and no picture stands for two of them (mama and mommy)."""
    assert run("sheet", "family", child=(SAMPLES / f"{child}.toml",), as_json=True) == 0
    signs = [word["picture"] for sheet in json.loads(capsys.readouterr().out)["sheets"] for word in sheet]
    shown = [sign for sign in signs if sign]
    assert len(signs) == 6 and len(shown) >= 4 and len(set(shown)) == len(shown)


@pytest.mark.parametrize(
    ("option", "said"), [("words", "write one word per line"), ("phrases", "write one phrase per line")]
)
def test_an_empty_list_says_what_to_write(
    option: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    empty = tmp_path / "list.txt"
    empty.write_text("# only a remark\n", encoding="utf-8")
    named: dict[str, Any] = {"words": (str(empty),)} if option == "words" else {"phrases": str(empty)}
    assert run("sheet", "cards", child=(M12,), html=tmp_path / "page.html", **named) == 1
    assert said in capsys.readouterr().err and not (tmp_path / "page.html").exists()


def test_what_was_promised_of_a_page_stands_beside_what_is_new(capsys: pytest.CaptureFixture[str]) -> None:
    """Lists of cards, frames, strips and words as they were, and by printed page; eight cards fill a page, six words one."""
    words = "cup, mama, ball, dog, cat, moon, bed, hat, nose"
    told: dict[str, dict[str, Any]] = {}
    for page in ("cards", "match", "family", "listen"):
        assert sheet(page, words=words, as_json=True) == 0
        told[page] = json.loads(capsys.readouterr().out)
    assert [card["word"] for card in told["cards"]["cards"]] == words.split(", ")
    assert [len(cards) for cards in told["cards"]["cards_by_page"]] == [8, 1]
    assert [frame["before"] for frame in told["cards"]["frames"]] == [
        frame["before"] for frames in told["cards"]["frames_by_page"] for frame in frames
    ]
    assert {strip["model"] for strip in told["match"]["words"]} <= set(words.split(", "))
    assert sum(map(len, told["match"]["words_by_page"])) == len(told["match"]["words"])
    assert sum(map(len, told["match"]["pictures_by_page"])) == len(told["match"]["pictures"]) > 0
    assert [word["word"] for word in told["family"]["words"]] == words.split(", ")
    assert all(len(printed) <= 6 for printed in told["family"]["sheets"])
    assert told["listen"]["things"] == [word for word, _ in told["listen"]["things_pictured"]]


def test_a_word_that_is_nowhere_on_the_listening_page_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    """Milk is nothing to hand over and has no picture here, so a page to point at has no place for it: it is said."""
    words = ("pan", "mano", "sopa", "leche")
    assert sheet("listen", T03_ES, words=", ".join(words), as_json=True) == 0
    told = json.loads(capsys.readouterr().out)
    text = json.dumps(
        [told[part] for part in ("directions", "groups", "mixed", "matches", "things")], ensure_ascii=False
    )
    missing = [word for word in words if word not in text]
    remarks = [problem for problem in told["problems"] if problem["code"] == "listening.left-out"]
    assert len(remarks) == bool(missing)
    assert all(word in remarks[0]["message"] for word in missing)
    assert missing == ["leche"]
