"""No message of the pages or of the records stays English on a Spanish page: every one in their source has its sentence."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from places import ROOT

from approx.datafiles import read_toml, rules_path
from approx.problems import Problem
from approx.reports.messages import said_in
from approx.web.server.messages import problem_in, shown_in

BY_VALUES = {"{a} {b}", "{a}{b} {c}", "{a}", "'{a}': {b}", "{a}: {b}", "{a}: {b}{c}", "'{a}' is {b}", "(", ")"}
"""Sentences put together of others: their parts are listed, or come from a field's own name."""
PACKAGES = ("records", "web", "practice", "samples", "progress", "ipa", "reports")
ELSEWHERE = "samples/files/write"
"""Files no page of the desk calls: tables written by commands."""


def sentences() -> set[str]:
    """Messages and hints as the source of these packages writes them, with a letter in braces for each value."""
    found: set[str] = set()
    files = [path for package in PACKAGES for path in (ROOT / "approx" / package).rglob("*.py")]
    for path in (path for path in files if ELSEWHERE not in path.as_posix()):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "ValueError" and len(node.args) == 2:
                # what is wrong with a value, after the name of its column; then the way out
                found |= {f"date {text}" for text in texts(node.args[0])} | set(texts(node.args[1]))
            elif isinstance(node, ast.Call):
                name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                found |= (
                    {text for part in node.args[1:3] for text in texts(part)}
                    if name in ("Problem", "refusal")
                    else set()
                )
            elif isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") in ("message", "hint"):
                found |= set(texts(node.value))
    return found - BY_VALUES - {""}


def texts(node: ast.expr) -> list[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.JoinedStr):
        letters = iter("abcdefgh")
        return ["".join(str(p.value) if isinstance(p, ast.Constant) else f"{{{next(letters)}}}" for p in node.values)]
    return []


def test_every_message_of_records_and_pages_is_said_in_spanish() -> None:
    wanted = sentences()
    assert len(wanted) > 400
    assert sorted(text for text in wanted if said_in(text, "es") in (None, text)) == []


def test_values_go_over_and_both_sentences_name_the_same() -> None:
    import re

    for english, spanish in read_toml(rules_path("pages/messages_es.toml"))["said"].items():
        values, kept = set(re.findall(r"\{\w+\}", english)), set(re.findall(r"\{\w+\}", spanish))
        # a page names no command, and so no value of one
        assert kept == values or (kept < values and "approx " in english), english
    assert said_in("'mud' was probed in session 4 already", "es") == "'mud' ya se sondeó en la sesión 4"
    assert said_in("new: k (final)", "es") == "nuevo: k (al final)"


def test_what_is_not_listed_stays_english_and_says_so() -> None:
    assert (
        str(shown_in("<b>quite unheard of</b>", "es")) == '<span lang="en">&lt;b&gt;quite unheard of&lt;/b&gt;</span>'
    )
    problem = Problem("records.no_child", "there is no child '<i>'", "look at the caseload")
    assert str(problem_in(problem, "es")) == "no hay ningún niño &#39;&lt;i&gt;&#39;; mire la lista de casos"
    assert str(problem_in(problem, "en")).startswith("there is no child &#39;&lt;i&gt;")


@pytest.mark.parametrize(
    "path", sorted((ROOT / "approx" / "web" / "templates").glob("*.html")), ids=lambda path: path.name
)
def test_no_template_writes_english_by_itself(path: Path) -> None:
    """Letters between tags come from the catalogue; the page of parts names classes, which are no sentences."""
    import re

    text = re.sub(r"\{[%#{].*?[%#}]\}|<[^>]*>|&\w+;|&#\d+;", " ", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    words = [word for word in re.findall(r"[A-Za-z]{3,}", text) if word not in ("UTC",)]
    assert path.name in ("parts.html", "session.html") or words == []
