"""The fifth judged set (see its README.md): first forms of words and phrases, scenes, sets and grammar; floors under what was
measured.

Judged by one person before the engine was run. Blind: first form accepted 138 of 150, 7 of them rude; phrases 30 of 30. After
general rules were mended: 146 of 150, none rude. The four left: juice said without voice (V02), a nasal of bunny said as a
stop to keep clear of a rude word (V02), bye kept apart from ball (V04), flor with the child's own d for a tap (V06).
"""

from __future__ import annotations

import csv
from functools import cache

import pytest
from places import DATA

from approx.child import Profile, read_child
from approx.practice.grammar.phrase_grammar import grammar_steps
from approx.practice.suggest.clashes import rude_words
from approx.practice.suggest.suggest import Options, Suggester

SET = DATA / "judged5"
Row = dict[str, str]
CHILDREN = ("V01", "V02", "V03", "V04", "V05", "V06")


def plain(form: str) -> str:
    """A form without stress and tie bars."""
    return form.translate(str.maketrans("", "", "ˈˌ.\u035c\u0361"))


def table(name: str) -> list[Row]:
    lines = [line for line in (SET / name).read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE))


@cache
def child(name: str) -> Profile:
    profile, problems = read_child(SET / "profiles" / f"{name}.toml")
    assert profile is not None and not [problem for problem in problems if problem.fatal]
    return profile


@cache
def suggester(name: str, language: str) -> Suggester:
    return Suggester(child(name), Options(top=3, language=language))
