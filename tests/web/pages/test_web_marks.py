"""Marks beside a word: heard from this child, never tried (probe it), unusual; and forms heard taken over from a sample."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from desk_client import Browser

PROFILE = """
code = "K07"
age = "3;2"
language = "en-US"

[consonants]
all.established = "m b p t d n h w"
all.untested = "l"
clusters = []

[vowels]
established = "i ɪ ɛ æ ɑ ʌ u oʊ eɪ aɪ"
untested = "ʊ"

[syllables]
established = ["V", "CV", "VC", "CVC"]

[heard]
soup = { form = "tup", date = 2026-03-02 }
cup = { form = "tʌp" }
"""


@pytest.fixture
def browser(tmp_path: Path) -> Browser:
    made = Browser(tmp_path / "c.sqlite")
    made.post("/children", code="K07", age="3;2")
    assert made.desk.caseload.save_profile("K07", PROFILE, 0, "typed")
    return made


def line(page: str, word: str) -> str:
    """What stands on the line of a word, its fold left out."""
    found = re.search(rf'<h2 id="word-\d+" lang="en-US">{word}</h2>(.*?)<details', page, re.DOTALL)
    assert found, word
    return re.sub(r"<[^>]*>|\s+", " ", found[1])


def test_a_form_heard_says_so_with_its_day(browser: Browser) -> None:
    page = browser.get("/child/K07/phrase?phrase=soup+cup+pea").text
    assert "heard 2026-03-02" in line(page, "soup")
    assert "heard" in line(page, "cup") and "2026" not in line(page, "cup")
    assert "heard" not in line(page, "pea")


def test_what_was_never_tried_asks_to_be_probed(browser: Browser) -> None:
    page = browser.get("/child/K07/phrase?phrase=look+pea").text
    assert "probe it: l (initial)" in " ".join(line(page, "look").split())
    assert "probe it: the vowel ʊ" in " ".join(line(page, "look").split())
    assert "probe it" not in line(page, "pea")


def test_the_page_of_words_has_the_same_marks(browser: Browser) -> None:
    page = browser.get("/child/K07/words?own=soup,look,pea&new=3&count=100").text
    rows = {
        found[1]: re.sub(r"<[^>]*>|\s+", " ", found[0])
        for found in re.finditer(r'<tr><th scope="row">.*?<span lang="en-US">([^<]*)</span>.*?</tr>', page, re.DOTALL)
    }
    assert "heard 2026-03-02" in " ".join(rows["soup"].split())
    assert "probe it: l (initial)" in " ".join(rows["look"].split())
    assert "heard" not in rows["pea"] and "probe it" not in rows["pea"]


def test_forms_and_changes_of_a_sample_are_taken_over_where_they_are_ticked(browser: Browser) -> None:
    rows = "\n".join(
        f"{word}\t{said}" for word, said in (("comb", "toʊm"), ("key", "ti"), ("cake", "teɪt"), ("kite", "taɪt"))
    )
    added = browser.post("/child/K07/samples", pasted=f"target_word\tproduced_ipa\n{rows}", date="2026-04-01")
    at = str(added.url).partition("?")[0]
    page = browser.get(f"{at}/sounds").text
    assert "Forms heard for words (4)" in page and "What this child says for" in page
    version = re.search(r'name="version" value="(\d+)"', page)
    assert version
    browser.post(f"{at}/sounds", version=version[1], accept=["own forms", "own changes"])
    stored = browser.desk.caseload.profile("K07")
    text = getattr(stored, "text", "")
    assert 'form = "toʊm", date = 2026-04-01' in text and 'form = "tup", date = 2026-03-02' in text
    assert re.search(r'\[changes\]\n.*"k.*= "t \d', text, re.DOTALL)
    assert "heard 2026-04-01" in line(browser.get("/child/K07/phrase?phrase=comb").text, "comb")


def test_what_is_not_ticked_stays_as_it_was(browser: Browser) -> None:
    added = browser.post(
        "/child/K07/samples", pasted="target_word\tproduced_ipa\nkey\tti\nkite\ttaɪt", date="2026-04-01"
    )
    at = str(added.url).partition("?")[0]
    version = re.search(r'name="version" value="(\d+)"', browser.get(f"{at}/sounds").text)
    assert version
    browser.post(f"{at}/sounds", version=version[1], accept=["final t"])
    text = getattr(browser.desk.caseload.profile("K07"), "text", "")
    assert (
        '"ti"' not in text and 'form = "tup", date = 2026-03-02' in text and not text.partition("[changes]")[2].strip()
    )
