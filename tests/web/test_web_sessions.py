"""The page of large buttons: every tap saved, counted by help, once, and taken back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_client import Browser, field, session_with


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


def test_a_tap_asks_at_most_eight_statements_of_the_file(browser: Browser) -> None:
    from sqlalchemy import event

    path, (target,) = session_with(browser, ("spoon", "pun"))
    tap = {"target": target, "help": "none", "result": 2, "part": 1}
    assert browser.post(f"{path}/trial", **tap, key="first").status_code == 200
    asked: list[str] = []
    event.listen(browser.desk.caseload._now[0], "before_cursor_execute", lambda *given: asked.append(str(given[2])))
    assert "2 trials" in browser.post(f"{path}/trial", **tap, key="second").text
    counted = [text for text in asked if text.split()[0] in ("SELECT", "INSERT", "UPDATE", "DELETE")]
    assert 1 <= len(counted) <= 8, counted
