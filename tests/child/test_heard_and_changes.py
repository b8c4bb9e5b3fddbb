"""[heard], [changes] and `languages`: read strictly, shown, and written."""

from __future__ import annotations

import json
import tomllib
from dataclasses import FrozenInstanceError

import pytest
from places import DATA

from approx.child import Profile, WordHeard, read_child_file, read_table
from approx.child.write_profile import change_lines, heard_lines
from approx.problems import Problem
from approx.reports.text.profile import profile_lines

GOOD = """\
code      = "K07"
language  = "en-US"
languages = ["es-MX"]

[consonants]
all.established = "m b p t d n h w k"   # all that I heard

[vowels]
established = "i ɪ ɑ ʌ u"

[syllables]
established = ["CV", "CVC"]

[heard]                   # from the visit in March
Mommy       = { form = "ˈmɑmi", date = 2026-03-02 }
soup        = { form = "tup" }   # at lunch
"ice cream" = { form = "aɪ kim" }

[changes]
"t"         = "k"
"s initial" = "h t ∅"
"l"         = "0"
"ʊ"         = "u"
"""


def read(text: str) -> tuple[Profile, tuple[Problem, ...]]:
    return read_table(tomllib.loads(text), text)


def test_what_stands_in_the_file_is_read() -> None:
    profile, problems = read(GOOD)
    assert not problems
    assert profile.languages == ("es-MX",)
    assert profile.heard == {
        "mommy": WordHeard("ˈmɑmi", "2026-03-02"),
        "soup": WordHeard("tup"), "ice cream": WordHeard("aɪ kim"),
    }  # fmt: skip
    assert profile.changes == {
        ("t", ""): ("k",),
        ("s", "initial"): ("h", "t", "∅"),
        ("l", ""): ("∅",),
        ("ʊ", ""): ("u",),
    }


def test_a_position_of_its_own_wins_over_the_general_line() -> None:
    profile, _ = read(GOOD.replace('"l"  ', '"t final" = "∅"\n"l"  '))
    assert profile.said_for("t", "initial") == ("k",)
    assert profile.said_for("t", "final") == ("∅",)
    assert profile.said_for("s", "final") == ()


@pytest.mark.parametrize(
    ("old", "new", "code", "line"),
    [
        ('"t"         = "k"', '"t"         = "kk"', "child.sound", 20),
        ('"t"         = "k"', '"t"         = ""', "child.change", 20),
        ('"t"         = "k"', '"t"         = "k k"', "child.contradiction", 20),
        ('"t"         = "k"', '"t first"   = "k"', "child.change", 20),
        ('"t"         = "k"', '"ʊ initial" = "u"', "child.change", 20),
        ('"t"         = "k"', '"ts"        = "k"', "child.sound", 20),
        ('"t"         = "k"', '"t"         = ["k"]', "child.change", 20),
        ('"l"         = "0"', '"t  "       = "0"', "child.contradiction", 22),
        ('soup        = { form = "tup" }', 'soup        = "tup"', "child.form", 16),
        ('soup        = { form = "tup" }', 'soup        = { form = "tu?" }', "child.form", 16),
        ('soup        = { form = "tup" }', 'soup        = { form = "tup", day = 2026-03-02 }', "child.key", 16),
        ('soup        = { form = "tup" }', 'soup        = { form = "tup", date = "March" }', "child.date", 16),
        ('soup        = { form = "tup" }', 'mommy       = { form = "mɑmɑ" }', "child.contradiction", 16),
        ('["es-MX"]', '"es-MX"', "child.value", 3),
        ('["es-MX"]', '["Spanish!"]', "child.language", 3),
    ],
)  # fmt: skip
def test_a_fault_is_named_with_its_line(old: str, new: str, code: str, line: int) -> None:
    assert GOOD.count(old) == 1
    _, problems = read(GOOD.replace(old, new))
    assert [(problem.code, problem.line, problem.fatal) for problem in problems] == [(code, line, True)]
    assert problems[0].hint


CLUSTERS = (
    GOOD
    + """\
"sp initial"   = "p 3, f 1"
"bl initial"   = "bəl"
"nd final"     = "∅ n"
"əl final"     = "o"
"ɡ final"      = "ɡə"
"weak initial" = "∅ 2, kept 1"
"weak final"   = "again"
"""
)


def test_clusters_and_weak_syllables_are_read_with_their_numbers() -> None:
    profile, problems = read(CLUSTERS)
    assert not problems
    assert {key: said for key, said in profile.changes.items() if len(key[0]) > 1 or key[0] == "ɡ"} == {
        ("sp", "initial"): ("p", "f"), ("bl", "initial"): ("bəl",), ("nd", "final"): ("∅", "n"), ("əl", "final"): ("o",),
        ("ɡ", "final"): ("ɡə",), ("weak", "initial"): ("∅", "kept"), ("weak", "final"): ("again",),
    }  # fmt: skip
    assert profile.times == {("sp", "initial"): (3, 1), ("weak", "initial"): (2, 1)}
    assert read("\n".join(change_lines(profile.changes, profile.times)))[0].changes == profile.changes
    shown = "\n".join(profile_lines(profile))
    assert "sp initial -> p 3, f 1" in shown and "weak final -> again" in shown
    assert profile.to_dict()["times"] == {"sp initial": [3, 1], "weak initial": [2, 1]}


@pytest.mark.parametrize(
    ("old", "new", "code", "line"),
    [
        ('"sp initial"   = "p 3, f 1"', '"sp"           = "p"', "child.sound", 24),
        ('"sp initial"   = "p 3, f 1"', '"sp first"     = "p"', "child.change", 24),
        ('"sp initial"   = "p 3, f 1"', '"sp initial"   = "p 3, f"', "child.change", 24),
        ('"sp initial"   = "p 3, f 1"', '"sp initial"   = "p 3, p 1"', "child.contradiction", 24),
        ('"sp initial"   = "p 3, f 1"', '"sp initial"   = "3"', "child.sound", 24),
        ('"ɡ final"      = "ɡə"', '"ɡ initial"    = "ɡə"', "child.sound", 28),
        ('"weak final"   = "again"', '"weak"         = "again"', "child.change", 30),
        ('"weak final"   = "again"', '"weak last"    = "again"', "child.change", 30),
        ('"weak final"   = "again"', '"weak final"   = "bə"', "child.change", 30),
    ],
)  # fmt: skip
def test_a_fault_of_a_cluster_is_named_with_its_line(old: str, new: str, code: str, line: int) -> None:
    assert CLUSTERS.count(old) == 1
    _, problems = read(CLUSTERS.replace(old, new))
    assert [(problem.code, problem.line, problem.fatal) for problem in problems] == [(code, line, True)]
    assert problems[0].hint


def test_a_language_named_twice_is_a_remark() -> None:
    profile, problems = read(GOOD.replace('["es-MX"]', '["es-MX", "en-US"]'))
    assert profile.languages == ("es-MX",)
    assert [(problem.line, problem.fatal) for problem in problems] == [(3, False)]


def test_a_profile_is_frozen_and_shown_whole() -> None:
    profile, _ = read(GOOD)
    with pytest.raises(FrozenInstanceError):
        profile.languages = ()  # type: ignore[misc]
    text = "\n".join(profile_lines(profile))
    assert "en-US, es-MX" in text and "soup = tup" in text and "s initial -> h t ∅" in text and "2026-03-02" in text
    data = json.loads(json.dumps(profile.to_dict()))
    assert data["heard"]["soup"] == {"form": "tup", "date": ""}
    assert data["changes"]["s initial"] == ["h", "t", "∅"]


def test_sections_written_are_read_back() -> None:
    profile, _ = read(GOOD)
    text = "\n".join([*heard_lines(profile.heard), *change_lines(profile.changes, {("t", ""): (5,)})])
    again, problems = read(text)
    assert not [problem for problem in problems if problem.fatal]
    assert (again.heard, again.changes) == (profile.heard, profile.changes)
    assert again.times == {("t", ""): (5,)} and 't = "k 5"' in text


def test_heard_words_of_a_judged_child() -> None:
    profile, problems = read_child_file(DATA / "judged4" / "profiles" / "Q05.toml")
    assert profile is not None and not any(problem.fatal for problem in problems)
    assert profile.heard["elephant"] == WordHeard("ˈɛfənt", "2026-03-02") and len(profile.heard) == 17
