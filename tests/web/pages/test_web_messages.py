"""No sentence of the program stays English on a Spanish page: every one in source and rules has its entry, and keeps its values."""

from __future__ import annotations

import pickle
import re
from pathlib import Path

import pytest
from places import ROOT
from source_sentences import constants, data_texts, sentences

from approx.datafiles import read_toml, rules_path
from approx.problems import Problem
from approx.reports.messages import said_in, source_in
from approx.web.server.page_parts import problem_in, shown_in
from approx.wording import enumerated, worded

SPANISH: dict[str, str] = read_toml(rules_path("pages/messages_es.toml"))["said"]
HOSTILE = "x'; {y}, «z» is not a date and (w)"
"""A value that holds every sign a sentence is made of, and a piece of another sentence."""
SPANISH_ALREADY = {"un insulto a un grupo de personas"}
"""A note of the Spanish list of rude words."""
AS_TYPED = re.compile(r"""not worded: f.*( = ".*"|--new|\.csv|bars_svg|name\[:_SHOWN\]|fill_pattern\(of).*""")
"""No sentences: lines of a child's file to copy, an option, names of files and headings, a chart's own words."""


def gaps(text: str) -> set[str]:
    return set(re.findall(r"(?<!\{)\{(\w+)\}", text))


def test_every_sentence_of_the_source_is_said_in_spanish() -> None:
    wanted = sentences()
    assert len(wanted) > 850
    missing = {text: file for text, file in wanted.items() if text not in SPANISH and text not in SPANISH_ALREADY}
    assert {text: file for text, file in missing.items() if not AS_TYPED.fullmatch(text)} == {}


def test_every_text_that_rules_give_to_a_page_is_said_in_spanish() -> None:
    wanted = data_texts()
    assert len(wanted) > 60
    assert [text for text in wanted if said_in(text, "es") is None] == []


def test_the_catalogue_holds_nothing_that_nobody_says() -> None:
    assert set(SPANISH) - set(sentences()) - constants() - set(data_texts()) == set()


@pytest.mark.parametrize("english", [text for text in SPANISH if gaps(text)])
def test_values_go_over_whole(english: str) -> None:
    """Whatever a value holds, it stands in the Spanish sentence as often as in the pattern, and nothing else is read as one."""
    said = said_in(worded(english, **dict.fromkeys(gaps(english), HOSTILE)), "es")
    # a page names no command, and so no value of one; how rare a word is in adult text is left to the command too
    # an article that the other language does not say so
    fewer = "approx " in english or "zipf" in english or "{article}" in english
    wanted = len(re.findall(r"(?<!\{)\{\w+\}", SPANISH[english]))
    assert said is not None and said.count(HOSTILE) == wanted
    assert gaps(SPANISH[english]) == gaps(english) or (fewer and gaps(SPANISH[english]) < gaps(english))


def test_what_is_ours_is_said_and_what_was_typed_is_not() -> None:
    assert said_in(worded("'{name}' was already probed in session {session}", name="initial", session=4), "es") == (
        "'initial' ya se sondeó en la sesión 4"
    )
    thing = worded("{sound} ({position})", sound="k", position="final")
    assert said_in(worded("new: {things}", things=enumerated("; ", [thing, "emerging"])), "es") == (
        "nuevo: k (al final); emergente"
    )
    assert said_in(enumerated(" and ", ["talk", "mild"]), "es") == "habla espontánea y leve"
    assert said_in(enumerated(" and ", ["talk", "not ours"]), "es") is None
    assert source_in("Brown 1973, A first language (from memory); common practice, no source", "es") == (
        "Brown 1973, A first language (de memoria); práctica común, sin fuente"
    )


def test_a_sentence_is_the_text_it_makes() -> None:
    made = worded("'{a}' and {{b}}", a=enumerated(", ", ["x", "y"]))
    assert made == "'x, y' and {b}" and made.pattern == "'{a}' and {{b}}" and made.values == {"a": "x, y"}
    assert isinstance(made.values["a"], str) and str(made) == made
    again = pickle.loads(pickle.dumps(made))  # as it goes to another process
    assert (again, again.pattern, again.values["a"].parts) == (made, made.pattern, ("x", "y"))


def test_what_is_not_listed_stays_english_and_says_so() -> None:
    assert (
        str(shown_in("<b>quite unheard of</b>", "es")) == '<span lang="en">&lt;b&gt;quite unheard of&lt;/b&gt;</span>'
    )
    message = worded("there is no child '{wanted}'", wanted="<i>")
    problem = Problem("records.no_child", message, "look at the caseload")
    assert str(problem_in(problem, "es")) == "no hay ningún niño &#39;&lt;i&gt;&#39;; mire la lista de casos"
    assert str(problem_in(problem, "en")).startswith("there is no child &#39;&lt;i&gt;")


@pytest.mark.parametrize(
    "path", sorted((ROOT / "approx" / "web" / "templates").glob("*.html")), ids=lambda path: path.name
)
def test_no_template_writes_english_by_itself(path: Path) -> None:
    """Letters between tags come from the catalogue; the page of parts names classes, which are no sentences."""
    text = re.sub(r"\{[%#{].*?[%#}]\}|<[^>]*>|&\w+;|&#\d+;", " ", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    words = [word for word in re.findall(r"[A-Za-z]{3,}", text) if word not in ("UTC",)]
    assert path.name in ("parts.html", "session.html") or words == []
