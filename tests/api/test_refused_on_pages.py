"""The third face: what a command and a program refuse, a page of the desk refuses too, in the same sentence, at its field."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from desk_client import Browser, field
from fast_cases import one_in
from places import ROOT, SAMPLES
from test_three_faces import NUMBERS, REFUSED, TRIED, _number

from approx.problems import Problem
from approx.records.database.rows import Refused
from approx.web.server.desk import Texts

SHEET = {"kind": "family", "typed": "mud"}
ON_PAGES: dict[str, tuple[str, dict[str, str], str]] = {
    "count": ("words", {"count": "0"}, "count"),
    "order": ("words", {"order": "later"}, "order"),
    "category": ("words", {"category": "zz"}, "category"),
    "pos": ("words", {"pos": "zz"}, "pos"),
    "shape": ("words", {"shape": "zz"}, "shape"),
    "sound": ("words", {"sound": "zzgaga"}, "sound"),
    "new sound": ("words", {"new_sound": "zzgaga"}, "new_sound"),
    "goal": ("words", {"goal": "zzgaga"}, "goal"),
    "language of a phrase": ("words", {"language": "xx"}, "language"),
    "length": ("phrases", {"length": "4"}, "length"),
    "relation": ("phrases", {"relation": "zz"}, "relation"),
    "order of grammar": ("phrases", {"what": "grammar", "grammar": "dig mud", "order": "zz"}, "order"),
    "pronoun": ("phrases", {"pronoun": "it"}, "pronoun"),
    "paper": ("sheets", SHEET | {"paper": "a5"}, "paper"),
    "page": ("sheets", SHEET | {"kind": "poster"}, "kind"),
    "language of a sheet": ("sheets", SHEET | {"language": "fr"}, "language"),
}
"""Page, what is typed there, and the field that is wrong, of each case that has a field on the desk."""
OF_THE_CHILD = {
    "accent": ("accents", "nosuch"), "accent of processes": ("accents", "nosuch"), "accent of explain": ("accents", "nosuch"),
    "accent of predict": ("accents", "nosuch"), "accent of report": ("accents", "nosuch"), "accents None": ("accents", "None"),
    "language": ("main_language", "xx"), "language of a pair": ("main_language", "xx"),
    "no such language": ("main_language", "zzz"), "no such language with a script": ("main_language", "qqq-Latn"),
}  # fmt: skip
"""What the desk keeps with the child, and asks once: field and value."""
NOT_ON_THE_DESK = {
    "repeats", "confidence", "no number", "no option",  # a sample is counted by the usual options
    "lost sounds", "weak syllables", "lost r", "percent", "criterion", "notation",
    "by", "by, token by token", "by of processes", "by of inventory",  # by child and day, always
    "top", "top of predict", "sessions", "measure", "what to list", "language of goals",  # the language of the desk
    "child of report", "child of progress",  # the child is in the address
}  # fmt: skip
TYPED = {"words": {"set_size": "set"}, "phrases": {}, "sheet": {}}
"""The name of a field, where it is not that of the option."""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    browser = Browser(tmp_path_factory.mktemp("refused") / "c.sqlite")
    assert browser.post("/children", code="M12", main_language="en-US").status_code == 200
    kept = browser.desk.caseload.save_profile("M12", (SAMPLES / "m12.toml").read_text(encoding="utf-8"), 0)
    assert not isinstance(kept, Refused)
    yield browser
    browser.desk.close()


@pytest.fixture(autouse=True)
def _in_the_checkout(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def faults(page: str) -> dict[str, str]:
    """The sentence at each field that is wrong."""
    found = re.findall(r'<span class="fault" id="([\w-]+)-fault"[^>]*>(.*?)</span>', page, re.DOTALL)
    return {name: unescape(re.sub(r"<[^>]+>", "", text)) for name, text in found}


def sentence(problem: Problem) -> str:
    return unescape(re.sub(r"<[^>]+>", "", str(Texts("en").problem(problem))))


def shown_again(page: str, name: str, value: str) -> bool:
    """True where a field holds what was typed."""
    found = re.escape(value)
    chosen = rf'<select id="{name}"[^>]*><option selected>{found}</option>'
    ticked = rf'name="{name}" value="{found}" checked'
    return re.search(rf'name="{name}" value="{found}"|{chosen}|{ticked}', page) is not None


def test_every_refused_case_is_asked_of_a_page_or_has_no_field() -> None:
    assert ON_PAGES.keys() | OF_THE_CHILD.keys() | NOT_ON_THE_DESK == REFUSED.keys()
    assert not (ON_PAGES.keys() | OF_THE_CHILD.keys()) & NOT_ON_THE_DESK


@pytest.mark.parametrize("name", ON_PAGES)
def test_a_page_refuses_what_the_command_refuses(desk: Browser, name: str) -> None:
    path, typed, wrong = ON_PAGES[name]
    (problem,) = REFUSED[name][1]().problems
    answer = desk.client.get(f"/child/M12/{path}", params=typed)
    assert (answer.status_code, faults(answer.text)) == (422, {wrong: sentence(problem)})
    # a kind of sheet is one of several buttons: none of them can hold another value
    kept = {field: value for field, value in typed.items() if field not in ("what", "kind", "typed", "grammar")}
    assert all(shown_again(answer.text, field, value) for field, value in kept.items())
    assert all(text in answer.text for text in (typed.get("typed", ""), typed.get("grammar", "")))


@pytest.mark.parametrize("name", OF_THE_CHILD)
def test_a_child_is_not_kept_with_what_a_command_refuses(desk: Browser, name: str) -> None:
    wrong, value = OF_THE_CHILD[name]
    (problem,) = REFUSED[name][1]().problems
    version = field(desk.get("/child/M12").text, "version")
    answer = desk.post("/child/M12/facts", version=version, note="what was typed", **{wrong: value})
    assert (answer.status_code, faults(answer.text)) == (422, {wrong: sentence(problem)})
    assert "what was typed" in answer.text and field(desk.get("/child/M12").text, "version") == version
    if wrong == "main_language":
        new = desk.post("/children", code="N77", main_language=value)
        assert (new.status_code, faults(new.text)) == (422, {wrong: sentence(problem)})


@pytest.mark.parametrize(
    ("function", "option", "typed"),
    one_in(
        3,
        (
            (function, name, typed)
            for function in TYPED
            for name, fits in NUMBERS[function][2].values()
            for typed in TRIED
            if typed not in fits and name != "known"  # the share that holds nothing new has no field
        ),
    ),
)
def test_a_page_refuses_the_numbers_that_the_command_refuses(
    desk: Browser, function: str, option: str, typed: str
) -> None:
    name = TYPED[function].get(option, option)
    (problem,) = NUMBERS[function][0](**{option: _number(typed)}).problems
    query: dict[str, Any] = {"kind": "plan", "typed": "mud", "minutes": "30"} if function == "sheet" else {}
    printed = ("sheet", "sheet.pdf", "sheet.docx")[list(TRIED).index(typed) % 3]
    pages = ("sheets", printed) if function == "sheet" else (function,)
    for page in pages:
        answer = desk.client.get(f"/child/M12/{page}", params=query | {name: typed})
        assert (answer.status_code, faults(answer.text)) == (422, {name: sentence(problem)}), page
        assert shown_again(answer.text, name, typed)


def test_a_page_makes_what_the_command_makes(desk: Browser) -> None:
    """Bounds too: what the command takes, the page takes."""
    import approx
    from approx.api.practice.sheets import sheet

    words = approx.words("samples/m12.toml", count=200, seed=4_294_967_295, order="early")
    page = desk.client.get("/child/M12/words", params={"count": "200", "seed": "4294967295", "order": "early"})
    assert page.status_code == 200
    assert [each.split("\t")[0] for each in map(unescape, re.findall(r'name="pick" value="([^"]*)"', page.text))] == [
        word.word for found in range(3) for word in words.words if len(word.things) == found
    ]
    made = sheet(
        "plan", "samples/m12.toml", words="mud, boot", minutes=180, goal_trials=1000, paper="letter", language="en"
    )
    asked = {"kind": "plan", "typed": "mud, boot", "minutes": "180", "goal_trials": "1000"}
    shown = desk.client.get("/child/M12/sheet", params=asked).text
    body = re.compile(r"<main.*</main>|<article.*</article>|<section.*</section>", re.DOTALL)
    one, other = body.search(made.html()), body.search(shown)
    assert one is not None and other is not None and one[0] == other[0]


def test_a_file_that_is_named_on_a_page_is_not_read(desk: Browser, tmp_path: Path) -> None:
    """Words are typed there: the name of a file is a word like any other."""
    secret = tmp_path / "secret.txt"
    secret.write_text("boot\n", encoding="utf-8")
    page = desk.client.get(
        "/child/M12/sheet", params={"kind": "plan", "minutes": "20", "typed": f"mud, {secret}", "probe": str(secret)}
    )
    assert "boot" not in page.text
