"""The page of large buttons: every tap saved, counted by help, once, and taken back."""

from __future__ import annotations

import re
import sqlite3
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from threading import Timer

import pytest
from desk_client import Browser, field, session_with
from statements import statements_of

from approx.records.database import connection
from approx.records.database.rows import Refused


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Browser]:
    made = Browser(tmp_path / "c.sqlite")
    assert made.post("/children", code="M12").status_code == 200
    yield made
    made.desk.close()


def test_tries_are_saved_counted_by_help_and_taken_back(browser: Browser) -> None:
    path, (spoon, cup) = session_with(browser, ("spoon", "pun"), ("cup", "tʌp"))
    taps = [(spoon, "together", 2), (spoon, "none", 2), (spoon, "none", 0), (cup, "none", 1)]
    for number, (target, level, result) in enumerate(taps):
        answer = browser.post(
            f"{path}/trial", target=str(target), help=level, result=str(result), key=f"k{number}", part="1"
        )
        assert (
            answer.status_code == 200
            and (f"{number + 1} trials" if number else "1 trial<") in answer.text
            and "<html" not in answer.text
        )
    again = browser.post(f"{path}/trial", target=str(cup), help="none", result="1", key="k3", part="1")
    assert "4 trials" in again.text  # the same tap sent twice
    rows = {
        name: re.findall(r"<td>(\d+)</td>", cells)
        for name, cells in re.findall(r'<th scope="row">([^<]+)</th>(.*?)</tr>', again.text)
    }
    assert rows["no cues"] == ["1", "1", "1", "3"] and rows["together"] == ["1", "0", "0", "1"]
    back = browser.post(f"{path}/undo", target=str(cup), help="none")
    assert "3 trials" in back.text and "was undone" in back.text
    restored = browser.post("/undo", token=field(back.text, "token"), back=path)
    assert "4 trials" in restored.text


def test_without_script_the_page_keeps_word_and_help(browser: Browser) -> None:
    path, (_, cup) = session_with(browser, ("spoon", "pun"), ("cup", "tʌp"))
    page = browser.post(f"{path}/trial", target=str(cup), help="together", result="2", key="k").text
    assert re.search(rf'name="target" value="{cup}"[^>]* checked', page)
    assert re.search(r'name="help" value="together" checked', page)


def test_a_try_that_is_not_saved_says_so(browser: Browser) -> None:
    path, (spoon,) = session_with(browser, ("spoon", "pun"))
    for fields in (
        {"target": "999"},
        {"target": str(spoon), "help": "wand"},
        {"target": str(spoon), "help": "none", "result": "9"},
    ):
        answer = browser.post(f"{path}/trial", **fields, part="1")
        assert answer.status_code == 409 and 'role="alert"' in answer.text and "0 trials" in answer.text


def test_a_word_nobody_knows_asks_for_its_adult_form(browser: Browser) -> None:
    answer = browser.post("/child/M12/targets", word="zzgrblx")
    assert answer.status_code == 422 and "zzgrblx" in answer.text and browser.desk.caseload.targets("M12") == ()


def test_a_tap_is_one_transaction_of_at_most_eight_statements(browser: Browser) -> None:
    """From the request to the answer, BEGIN and COMMIT counted; taking it back too, on the page with script and without."""
    path, (target,) = session_with(browser, ("spoon", "pun"))
    form = {"target": target, "help": "none", "result": 2}
    assert browser.post(f"{path}/trial", **form, part=1, key="first").status_code == 200
    for address, part, key, answers in (
        ("trial", 1, "second", "2 trials"), ("trial", 1, "second", "2 trials"), ("undo", 1, "", "1 trial<"),
        ("trial", "", "third", ""), ("undo", "", "", ""),
    ):  # fmt: skip
        with statements_of(browser.desk.caseload) as said:
            answer = browser.post(f"{path}/{address}", **form, part=part, key=key, follow=False)
        assert answer.status_code == (200 if part else 303) and answers in answer.text
        assert [text for text in said if text.startswith(("BEGIN", "COMMIT"))] == ["BEGIN IMMEDIATE", "COMMIT"]
        assert 4 <= len(said) <= 8, said


def test_two_devices_tap_the_same_session_at_once(browser: Browser) -> None:
    """Each of 30 taps is sent twice; each is counted once, and no two trials have the same number."""
    path, (spoon, cup) = session_with(browser, ("spoon", "pun"), ("cup", "tʌp"))

    def taps(device: int) -> list[int]:
        target = (spoon, cup)[device]
        forms = ({"target": target, "help": "none", "result": 2, "key": f"{device} {n}", "part": 1} for n in range(15))
        return [browser.post(f"{path}/trial", **form).status_code for form in forms for _ in range(2)]

    with ThreadPoolExecutor(2) as devices:
        assert list(devices.map(taps, (0, 1))) == [[200] * 30] * 2
    trials = browser.desk.caseload.trials(int(path.rpartition("/")[2]))
    assert not isinstance(trials, Refused)
    assert [trial.number for trial in trials] == list(range(1, 31))
    assert Counter(trial.target_id for trial in trials) == {spoon: 15, cup: 15}


@pytest.mark.parametrize(("seconds", "status", "says"), [(0.3, 200, "1 trial<"), (1.5, 409, "0 trials")])
def test_a_tap_waits_for_another_window_and_says_when_it_waited_in_vain(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seconds: float, status: int, says: str
) -> None:
    monkeypatch.setattr(connection, "WAIT_SECONDS", 1)
    browser = Browser(tmp_path / "c.sqlite")
    assert browser.post("/children", code="M12").status_code == 200
    path, (spoon,) = session_with(browser, ("spoon", "pun"))
    form = {"target": spoon, "help": "none", "result": 2, "key": "k", "part": 1}
    with closing(sqlite3.connect(tmp_path / "c.sqlite", isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")
        letting_go = Timer(seconds, other.execute, ("ROLLBACK",))
        letting_go.start()
        answer = browser.post(f"{path}/trial", **form)
        letting_go.join()
    assert answer.status_code == status and says in answer.text
    assert ("another window is saving just now" in answer.text) == (status == 409)
    assert "1 trial<" in browser.post(f"{path}/trial", **form).text  # the tap sent again counts once, waited or not
    browser.desk.close()
