"""The passphrase set, changed and taken off from the page; a code looked for in a long list; varieties of a child."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import CommandLine
from desk_client import Browser, field

from approx.datafiles import accent_names
from approx.records.database.rows import StoredChild
from approx.web.forms.profile_form import accents_by_language
from approx.web.server.desk import DESK_LANGUAGES, Texts

FIRST, SECOND = "six mud pies", "seven pea pods"


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Browser]:
    made = Browser(tmp_path / "c.sqlite")
    assert made.post("/children", code="K07", note="likes the garden").status_code == 200
    yield made
    made.desk.close()


def code_of_child(browser: Browser, code: str) -> StoredChild:
    found = browser.desk.caseload.child(code)
    assert isinstance(found, StoredChild)
    return found


def test_the_page_says_that_a_lost_passphrase_is_lost(browser: Browser) -> None:
    assert "A lost passphrase cannot be recovered" in browser.get("/lock").text
    browser.client.get("/language/es", params={"back": "/"})
    assert "Nadie puede recuperar una frase de paso perdida" in browser.get("/lock").text


@pytest.mark.parametrize(
    ("new", "again", "kept", "said"),
    [
        (FIRST, "six mud pie", "1", "the two are not the same"),
        (FIRST, FIRST, "", "kept it in a safe place; nothing"),
        ("mud", "mud", "1", "at least 8 characters"),
        ("", "", "1", "at least 8 characters"),
    ],
)
def test_what_does_not_fit_locks_nothing(browser: Browser, new: str, again: str, kept: str, said: str) -> None:
    answer = browser.post("/lock", new=new, again=again, kept=kept)
    assert answer.status_code == 422 and said in answer.text and not browser.desk.caseload.locked
    assert new == "" or f'"{new}"' not in answer.text
    assert browser.desk.file is not None and b"SQLite format" in browser.desk.file.read_bytes()


@pytest.mark.slow
def test_it_is_set_changed_and_taken_off(browser: Browser) -> None:
    assert browser.desk.file is not None
    done = browser.post("/lock", new=FIRST, again=FIRST, kept="1")
    assert done.status_code == 200 and "locked with the new passphrase" in done.text and FIRST not in done.text
    assert b"likes the garden" not in browser.desk.file.read_bytes()
    assert "likes the garden" in browser.get("/child/K07").text  # who has it open goes on
    other = Browser(browser.desk.file)
    assert other.get("/").url.path == "/unlock"
    other.desk.close()
    for now in ("", SECOND):
        wrong = browser.post("/lock", now=now, new=SECOND, again=SECOND, kept="1")
        assert wrong.status_code == 422 and "not the current passphrase" in wrong.text
        assert browser.post("/lock/remove", now=now).status_code == 422 and browser.desk.caseload.locked
    assert browser.post("/lock", now=FIRST, new=SECOND, again=SECOND, kept="1").status_code == 200
    assert browser.post("/lock/remove", now=FIRST).status_code == 422
    assert browser.post("/lock/remove", now=SECOND).status_code == 200
    assert not browser.desk.caseload.locked and "likes the garden" in browser.get("/child/K07").text


def test_every_variety_has_a_name_in_both_languages_and_a_language() -> None:
    for tag in DESK_LANGUAGES:
        assert set(accent_names()) == set(Texts(tag).section("accents"))
    by_language = accents_by_language()
    assert set(by_language) == {"en", "es"} and {name for names in by_language.values() for name in names} == set(
        accent_names()
    )
    assert all((language == "es") == (name.startswith("spanish-") and "english" not in name)
               for language, names in by_language.items() for name in names)  # fmt: skip


def test_varieties_are_ticked_kept_and_shown(browser: Browser) -> None:
    page = browser.get("/child/K07").text
    assert "Southern US English" in page and "Spanish of Chile" not in page
    ticked = ["southern-us-english", "glottal-t", "spanish-chile"]
    refused = browser.post("/child/K07/facts", version=field(page, "version"), note="x", accents=[*ticked, "../evil"])
    assert refused.status_code == 422 and code_of_child(browser, "K07").accents == ()
    browser.post("/child/K07/facts", version=field(page, "version"), note="x", accents=ticked)
    assert code_of_child(browser, "K07").accents == ("glottal-t", "southern-us-english")
    page = browser.get("/child/K07").text
    assert 'value="glottal-t" checked' in page and 'value="southern-us-english" checked' in page
    browser.post("/child/K07/facts", version=field(page, "version"), note="x")
    assert code_of_child(browser, "K07").accents == ()


@pytest.mark.slow
def test_a_variety_counts_as_right_as_on_the_command_line(browser: Browser, cli: CommandLine, tmp_path: Path) -> None:
    """bath said bæf: an error in general, right where th is said f at the end (a rule of the variety's own file)."""
    rows = "target_word,target_ipa,produced_ipa\nbath,bæθ,bæf\nmud,mʌd,mʌd\n"
    file = tmp_path / "s.csv"
    file.write_text(rows, encoding="utf-8")
    name = "african-american-english"
    digits = {}
    for accent in ((), ("--accent", name)):
        measures = cli("score", str(file), "--json", *accent).json["groups"][0]["measures"]
        digits[accent] = f"{measures['pcc']['hits']} of {measures['pcc']['out_of']} correct"
    assert len(set(digits.values())) == 2
    sample = browser.post("/child/K07/samples", pasted=rows).url.path
    assert digits[()] in browser.get(sample).text
    browser.post("/child/K07/facts", version=str(code_of_child(browser, "K07").version), accents=name)
    assert digits["--accent", name] in browser.get(sample).text


def test_a_code_is_found_in_a_long_list(browser: Browser) -> None:
    assert 'name="find"' in browser.get("/child/K07").text  # from any page
    for number in range(1, 25):
        assert not hasattr(browser.desk.caseload.add_child(f"P{number:02}"), "problems")
    page = browser.get("/?find=p1").text
    listed = [
        f"P{number:02}" for number in range(1, 25) if f'row"><a class="button" href="/child/P{number:02}">' in page
    ]
    assert (
        listed == [f"P{number}" for number in range(10, 20)]
        and 'row"><a class="button" href="/child/K07">' not in page
        and "10 of 25" in page
    )
    assert "0 of 25" in browser.get("/?find=<script>").text and "Welcome" not in browser.get("/?find=zz").text
    assert browser.get("/?find=k07").url.path == "/child/K07"  # the only one is opened at once
