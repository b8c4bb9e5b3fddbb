"""Progress, the paper grid, and files in and out, on the scenario's invented figures."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_client import Browser, field

from approx.records.rows import Refused, Target
from approx.web.grid_pages import read_row

PHASES = ["A"] * 4 + ["B1"] * 8 + ["B2"] * 6 + ["M"]
SET_1 = [1, 2, 1, 2, 2, 4, 4, 6, 6, 7, 8, 8, 8, 9, 8, 9, 9, 8, 8]
SET_2 = [0, 1, 0, 1, 1, 0, 1, 1, 1, 2, 1, 2, 3, 5, 5, 6, 8, 8, 7]
UNTREATED = [1, 1, 1, 1, 1, 1, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 5, 5, 5]
"""Right of ten in 19 sessions (invented: the scenario of the kitchen garden, its table of sessions)."""

TABLE = "session\tphase\tset1_of_10\tset2_of_10\tuntreated_of_10\n" + "".join(
    f"{number}\t{phase}\t{one}\t{two}\t{none}\n"
    for number, (phase, one, two, none) in enumerate(zip(PHASES, SET_1, SET_2, UNTREATED), 1)
)
GRID = {
    "mud": ("mʌ", "4433322221", "1222122122"),
    "more": ("mo", "2211000000", "2222212222"),
    "Bo": ("boʊ", "3332222111", "1122221222"),
    "honey": ("ˈhʌni", "4443333222", "0112212221"),
    "up": ("ʌp", "4444333332", "0011221222"),
}
"""Word, form aimed at, help and score a box (invented: the scenario's trial log)."""


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Browser]:
    made = Browser(tmp_path / "c.sqlite")
    assert made.post("/children", code="K07", age="3;2").status_code == 200
    yield made
    made.desk.close()


@pytest.mark.slow
def test_nineteen_probe_sessions_are_pasted_and_drawn(browser: Browser) -> None:
    """The overlap of the scenario: set 1, baseline against B1, 31 of 32 pairs (0.969); set 2, 72 of 72 (1.0)."""
    page = browser.post("/child/K07/probe-table", pasted=TABLE, starts="set2 = 13")
    found = browser.desk.caseload.progress("K07")
    assert page.status_code == 200 and not isinstance(found, Refused)
    sets = {
        name: [p.right for p in sorted(found.probes, key=lambda p: p.session) if p.word_set == name]
        for name in {p.word_set for p in found.probes}
    }
    assert sorted(sets.values()) == sorted([SET_1, SET_2, UNTREATED])
    assert [(phase.name, phase.first_session, phase.kind) for phase in found.phases] == [
        ("A", 1, "baseline"), ("B1", 5, "treatment"), ("B2", 13, "treatment"), ("M", 19, "maintenance"),
    ]  # fmt: skip
    assert {probe.word_set for probe in found.probes if not probe.treated} == {
        name for name, rights in sets.items() if rights == UNTREATED
    }
    assert page.text.count("<svg") == 2 and ' style="' not in page.text and "<table" in page.text
    assert "0.969" in page.text and "1.000" in page.text


@pytest.mark.slow
def test_the_report_comes_as_a_word_file_and_as_pdf(browser: Browser) -> None:
    browser.post("/child/K07/probe-table", pasted=TABLE, starts="set2 = 13")
    word = browser.get("/child/K07/progress.docx")
    with zipfile.ZipFile(io.BytesIO(word.content)) as inside:
        assert "0.969" in inside.read("word/document.xml").decode("utf-8")
    assert browser.get("/child/K07/progress.pdf").content.startswith(b"%PDF")
    assert browser.get("/child/K07/progress.exe").status_code == 404


def test_probes_of_one_session_and_a_phase_are_entered_by_hand(browser: Browser) -> None:
    rows = {
        "set": ["set 1", "control", ""],
        "right": ["3", "1", ""],
        "out_of": ["10", "10", "10"],
        "kind": ["treated", "untreated", "treated"],
    }
    assert browser.post("/child/K07/probes", session="1", date="2026-03-02", **rows).status_code == 200
    assert browser.post("/child/K07/phases", name="A", first="1", sets="").status_code == 200
    found = browser.desk.caseload.progress("K07")
    assert not isinstance(found, Refused)
    assert {(p.word_set, p.right, p.out_of, p.treated, p.phase) for p in found.probes} == {
        ("set 1", 3, 10, True, "A"), ("control", 1, 10, False, "A"),
    }  # fmt: skip


@pytest.mark.parametrize(
    "change", [{"session": ""}, {"right": "11"}, {"right": "-1"}, {"right": "many"}, {"out_of": "0"}, {"set": ""}]
)
def test_a_probe_that_cannot_be_is_refused(browser: Browser, change: dict[str, str]) -> None:
    fields = {"session": "1", "set": "set 1", "right": "3", "out_of": "10", "kind": "treated"} | change
    assert browser.post("/child/K07/probes", **fields).status_code == 422
    assert browser.desk.caseload.probes("K07") == ()


def test_a_table_of_rubbish_is_named_and_kept_on_the_page(browser: Browser) -> None:
    answer = browser.post("/child/K07/probe-table", pasted="mud pies <b>\nno table", starts="")
    assert answer.status_code == 422 and "mud pies &lt;b&gt;" in answer.text and 'role="alert"' in answer.text


def test_a_paper_grid_is_keyed_in_and_counted_once(browser: Browser) -> None:
    """The scenario's own count of its log: 50 tries; 33, 14 and 3; without help 6, of them 5 at score 2."""
    for word, (form, _, _) in GRID.items():
        assert browser.post("/child/K07/targets", word=word, form=form).status_code == 200
    targets = browser.desk.caseload.targets("K07")
    assert isinstance(targets, tuple)
    path = browser.post("/child/K07/sessions", date="2026-03-02").url.path
    fields: dict[str, object] = {"key": field(browser.get(f"{path}/grid").text, "key")}
    for target in targets:
        _, helps, scores = GRID[target.word]
        fields |= {f"help {target.id}": helps, f"score {target.id}": " ".join(scores)}
    assert browser.post(f"{path}/grid", **fields).status_code == 200
    browser.post(f"{path}/grid", **fields)
    totals = browser.desk.caseload.totals(int(path.rpartition("/")[2]))
    assert not isinstance(totals, Refused)
    assert (totals.all.reached, totals.all.near, totals.all.missed) == (33, 14, 3)
    assert (totals.without_help.trials, totals.without_help.reached) == (6, 5)


@pytest.mark.parametrize(("helps", "scores"), [("44", "1"), ("9", "2"), ("0", "3"), ("", "2"), ("0x", "22")])
def test_a_row_that_does_not_fit_is_named(helps: str, scores: str) -> None:
    entries, problems = read_row(Target(1, 1, "K07", "mud", "mʌd", "mʌ"), helps, scores)
    assert entries == [] and problems and all("mud" in problem.message for problem in problems)


def test_a_grid_with_a_fault_saves_nothing_and_keeps_what_was_typed(browser: Browser) -> None:
    browser.post("/child/K07/targets", word="mud", form="mʌ")
    path = browser.post("/child/K07/sessions", date="2026-03-02").url.path
    answer = browser.post(f"{path}/grid", key="k", **{"help 1": "44", "score 1": "212"})
    assert answer.status_code == 422 and 'value="212"' in answer.text
    assert "0 tries" in browser.get(path).text


@pytest.mark.slow
def test_a_child_goes_out_as_a_zip_and_comes_in_again(browser: Browser, tmp_path: Path) -> None:
    browser.post("/child/K07/probe-table", pasted=TABLE, starts="set2 = 13")
    given = browser.get("/child/K07/export")
    assert given.headers["content-type"] == "application/zip" and re.search(
        r"filename\*=UTF-8''[\w.%-]+$", given.headers["content-disposition"]
    )
    assert browser.post("/import", files={"file": ("x.zip", given.content)}).status_code == 422  # there already
    other = Browser(tmp_path / "other.sqlite")
    assert other.post("/import", files={"file": ("x.zip", given.content)}).status_code == 200
    mine, theirs = browser.desk.caseload.probes("K07"), other.desk.caseload.probes("K07")
    assert isinstance(mine, tuple) and isinstance(theirs, tuple) and len(mine) == 57
    key = [(p.session, p.word_set, p.right, p.out_of, p.treated) for p in mine]
    assert key == [(p.session, p.word_set, p.right, p.out_of, p.treated) for p in theirs]
    assert other.post("/import", files={"file": ("x.zip", b"no zip")}).status_code == 422
    other.desk.close()
