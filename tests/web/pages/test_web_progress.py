"""Progress, the paper grid, and files in and out, on the scenario's invented figures."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from desk_client import Browser, field, session_with
from fast_cases import one_in

from approx.records.database.rows import Refused, StoredTarget
from approx.reports.report_words import report_words
from approx.web.pages.session_pages import read_row

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
    assert page.text.count('data-chart="') == 2 and ' style="' not in page.text and "<table" in page.text
    assert "0.969" in page.text and "1.000" in page.text
    for number in (0, 1):
        chart = browser.get(f"/child/K07/progress/chart/{number}")
        assert chart.text.startswith("<svg") and ' style="' not in chart.text and 'role="img"' in chart.text
        # the chart that a reader without script gets has a paper of its own, for it knows nothing of the page's colours
        assert "currentColor" in chart.text
        assert "currentColor" not in browser.get(f"/child/K07/progress/chart/{number}?alone=1").text
    assert browser.get("/child/K07/progress/chart/2").status_code == 404


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


def test_the_forms_aimed_at_are_listed_with_their_days_and_sessions(browser: Browser) -> None:
    """By hand: sessions 1 to 4 on the 2nd, 9th, 16th and 23rd; pun from the 1st, spu from the 10th, spun after the last."""
    caseload = browser.desk.caseload
    for day in ("02", "09", "16", "23"):
        assert browser.post("/child/K07/sessions", date=f"2026-03-{day}").status_code == 200
    for day, form, rung in (("01", "pun", 1), ("10", "spu", 2), ("24", "spun", 3)):
        made = caseload.choose_form("K07", "spoon", form, f"reason {rung}", date=f"2026-03-{day}", rung=rung, of=3)
        assert not isinstance(made, Refused)
    page = browser.get("/child/K07/progress").text
    table = page.partition('aria-labelledby="rungs"')[2].partition("</table>")[0]
    rows = [re.sub(r"<[^>]+>", " ", row).split() for row in table.split("<tr>")[2:]]
    assert rows == [
        ["spoon", "pun", "rung", "1", "of", "3", "2026-03-01", "1", "2", "reason", "1"],
        ["spoon", "spu", "rung", "2", "of", "3", "2026-03-10", "3", "2", "reason", "2"],
        ["spoon", "spun", "rung", "3", "of", "3", "2026-03-24", "5", "0", "reason", "3"],
    ]


@pytest.mark.slow
def test_criteria_are_stated_and_what_does_not_change_is_named(browser: Browser) -> None:
    """Set 1 ends 9 9 8 8 of ten; its last three probes in treatment (8 9 9) all reach 80 %. The second set stays at 4 of 10."""
    browser.post("/child/K07/probe-table", pasted=TABLE, starts="set2 = 13")
    page = browser.get("/child/K07/progress").text
    assert "set1: criterion met. 3 of the last 3 probes at 80% or more" in page
    assert "set2: criterion not met. 2 of the last 3 probes" in page  # 6, 8 and 8 of ten
    flat = "session\tphase\tflat_of_10\n" + "".join(f"{at}\t{'A' if at < 4 else 'B'}\t4\n" for at in range(1, 13))
    assert browser.post("/children", code="F01").status_code == 200
    assert browser.post("/child/F01/probe-table", pasted=flat, starts="").status_code == 200
    assert "No change over 9 probes" in browser.get("/child/F01/progress").text


def test_a_table_with_one_probe_that_is_there_already_adds_nothing(browser: Browser) -> None:
    fields = {"set": "set1", "right": "3", "out_of": "10", "kind": "treated"}
    assert browser.post("/child/K07/probes", session="4", **fields).status_code == 200
    answer = browser.post("/child/K07/probe-table", pasted=TABLE, starts="")
    probes = browser.desk.caseload.probes("K07")
    assert (
        answer.status_code == 422 and "already probed in session 4" in answer.text and not isinstance(probes, Refused)
    )
    assert len(probes) == 1 and browser.desk.caseload.phases("K07") == ()


@pytest.mark.parametrize(
    "change",
    one_in(2, [{"right": "11"}, {"right": "-1"}, {"out_of": "0"}, {"right": "many"}, {"session": ""}, {"set": ""}]),
)
def test_a_probe_that_cannot_be_is_refused(browser: Browser, change: dict[str, str]) -> None:
    fields = {"session": "1", "set": "set 1", "right": "3", "out_of": "10", "kind": "treated"} | change
    assert browser.post("/child/K07/probes", **fields).status_code == 422
    assert browser.desk.caseload.probes("K07") == ()


def test_a_table_of_rubbish_is_named_and_kept_on_the_page(browser: Browser) -> None:
    answer = browser.post("/child/K07/probe-table", pasted="mud pies <b>\nno table", starts="")
    assert answer.status_code == 422 and "mud pies &lt;b&gt;" in answer.text and 'role="alert"' in answer.text


def test_a_line_of_starts_that_names_no_set_and_session_is_refused(browser: Browser) -> None:
    answer = browser.post("/child/K07/probe-table", pasted=TABLE, starts="set2 = 13\nset1 5")
    assert answer.status_code == 422 and 'id="starts-fault"' in answer.text and "set2 = 13\nset1 5" in answer.text
    assert browser.desk.caseload.probes("K07") == ()


def test_a_paper_grid_is_keyed_in_and_counted_once(browser: Browser) -> None:
    """The scenario's own count of its log: 50 trials; 33, 14 and 3; without help 6, of them 5 at score 2."""
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
    entries, problems = read_row(StoredTarget(1, 1, "K07", "mud", "mʌd", "mʌ"), helps, scores)
    assert entries == [] and problems and all("mud" in problem.message for problem in problems)


def test_a_grid_with_a_fault_saves_nothing_and_keeps_what_was_typed(browser: Browser) -> None:
    browser.post("/child/K07/targets", word="mud", form="mʌ")
    path = browser.post("/child/K07/sessions", date="2026-03-02").url.path
    answer = browser.post(f"{path}/grid", key="k", **{"help 1": "44", "score 1": "212"})
    assert answer.status_code == 422 and 'value="212"' in answer.text
    assert "0 trials" in browser.get(path).text


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


def test_the_report_has_the_section_of_an_evaluation(browser: Browser) -> None:
    """Ticked by itself once there is a sample; by the day that is chosen; as DOCX and PDF too."""
    say = report_words("en")
    assert 'value="evaluation"' in browser.get("/child/K07/report").text
    assert say["summary how"] not in browser.get("/child/K07/report?part=evaluation").text
    for date, said in (("2026-03-02", "mʌ"), ("2026-06-02", "mʌd")):
        rows = f"target_word\tproduced_ipa\nmud\t{said}\ncup\tʌp\n"
        assert browser.post("/child/K07/samples", pasted=rows, date=date).status_code == 200
    page = browser.get("/child/K07/report?part=evaluation").text
    assert (
        say["summary how"] in page and "June 2, 2026" in page and "March 2, 2026" not in page.partition("<section")[2]
    )
    first = re.findall(r'<select id="now".*?value="([^"]+)"', page, re.DOTALL)[0]
    asked = f"/child/K07/report?part=evaluation&now={first}"
    assert "March 2, 2026" in browser.get(asked).text.partition("<section")[2]
    assert report_words("es")["summary how"] in browser.get(f"{asked}&language=es").text
    for kind, start in (("docx", b"PK"), ("pdf", b"%PDF")):
        assert browser.get(f"/child/K07/report.{kind}?part=evaluation").content.startswith(start)


def test_what_was_entered_by_mistake_is_deleted_and_comes_back(browser: Browser) -> None:
    """A probe, a phase, a word without trials and a chosen form: deleted where they stand, and undone from the next page."""
    caseload = browser.desk.caseload
    browser.post("/child/K07/probes", session="1", date="", set="set 1", right="7", out_of="10", kind="treated")
    browser.post("/child/K07/phases", name="A", first="1", sets="")
    browser.post("/child/K07/targets", word="mud", form="mʌ")
    caseload.choose_form("K07", "spoon", "pun", date="2026-03-01")
    browser.post("/children", code="F01")
    looks: tuple[tuple[str, str, Callable[[], object]], ...] = (
        ("progress", "probes/1", lambda: caseload.probes("K07")),
        ("progress", "phases/1", lambda: caseload.progress("K07").phases),
        ("sessions", "targets/1", lambda: caseload.targets("K07")),
        ("history", f"history/{caseload.choice_history('K07')[0].id}", lambda: caseload.choice_history("K07")),
    )
    for page, entry, look in looks:
        before = look()
        assert before
        assert f"/child/K07/{entry}/delete" in browser.get(f"/child/K07/{page}").text
        assert browser.post(f"/child/F01/{entry}/delete").status_code == 404, "another child's"
        assert look() == before
        after = browser.post(f"/child/K07/{entry}/delete")
        assert after.url.path == f"/child/K07/{page}" and "Deleted." in after.text and look() != before
        browser.post("/undo", token=field(after.text, "token"), back=f"/child/K07/{page}")
        assert look() == before
    again = browser.post("/child/K07/probes", session="1", date="", set="set 1", right="2", out_of="10", kind="treated")
    assert again.status_code == 422 and "delete that probe, then enter it again" in again.text


def test_a_word_with_trials_is_not_deleted_and_a_session_gets_its_day(browser: Browser) -> None:
    path, (mud,) = session_with(browser, ("mud", "mʌ"), code="K07")
    browser.post(f"{path}/trial", target=str(mud), help="none", result="2", key="k")
    kept = browser.post(f"/child/K07/targets/{mud}/delete")
    assert kept.status_code == 409 and "set it to &#39;resting&#39;" in kept.text
    version = field(browser.get(path).text, "version")
    assert "2026-03-09" in browser.post(f"{path}/day", version=version, date="2026-03-09").text
    stale = browser.post(f"{path}/day", version=version, date="2026-03-16")
    assert stale.status_code == 409 and "2026-03-09" in stale.text
    newer = field(stale.text, "version")
    wrong = browser.post(f"{path}/day", version=newer, date="soon")
    assert wrong.status_code == 409 and "soon" in wrong.text


def test_a_note_with_two_capitalised_words_says_that_they_may_be_a_name(browser: Browser) -> None:
    page = browser.post(
        "/child/K07/notes", date="2026-03-02", subjective="came with Anna Smith today", plan="more mud"
    ).text
    assert "&#39;Anna Smith&#39; may be a name" in page and page.count("may be a name") == 1
