"""Remarks on a child file: what is read although it looks odd, and what can never be used. They stop nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_child_file import GOOD, child, edited, place_of

from approx.problems import Problem


def remarks(tmp_path: Path, text: str) -> list[Problem]:
    _, problems = child(tmp_path, text)
    assert not [problem for problem in problems if problem.fatal], [str(problem) for problem in problems]
    return list(problems)


@pytest.mark.parametrize(
    ("typed", "read"),
    [("g", "ɡ"), ("ʧ", "t͡ʃ"), ("tʃ", "t͡ʃ"), ("r", "ɹ"), ("ʤ", "d͡ʒ"), ("š", "ʃ"), ("∫", "ʃ")],
)
def test_a_lookalike_is_read_and_remarked(tmp_path: Path, typed: str, read: str) -> None:
    text = edited('"k"', f'"k {typed}"')
    (remark,) = remarks(tmp_path, text)
    profile, _ = child(tmp_path, text)
    assert profile is not None
    assert profile.consonants["initial"][read] == "emerging"
    assert remark.code == "child.lookalike"
    assert (remark.line, remark.column) == (8, 26)
    assert f"read as '{read}'" in remark.message


def test_a_sound_seldom_meant_is_remarked(tmp_path: Path) -> None:
    (remark,) = remarks(tmp_path, edited('"ʊ"', '"ʊ ø"'))
    assert (remark.code, remark.line) == ("child.doubt", 14)
    assert "omitted" in remark.hint


def test_vowels_outside_the_language_are_the_childs_own_and_not_remarked(tmp_path: Path) -> None:
    assert remarks(tmp_path, edited('"ʊ"', '"ʊ a o e"')) == []


REMARKS = {  # what can never be used: (as it was, as it is, text where the remark points, words in it)
    "no vowel": (
        'established = "i ɪ ɛ æ ɑ ʌ ə u oʊ eɪ aɪ"\nemerging    = "ʊ"', "", "[vowels]", "no vowel is established",
    ),
    "cluster without a shape": ('"nd final",', '"nd final", "tw initial",', "tw initial", "CCV"),
    "cluster longer than every shape": ('"nd final",', '"nd final", "mpt final",', "mpt final", "VCCC"),
    "shape without a cluster": ('"VC",', '"VC", "CCVC",', "CCVC", "needs a cluster of 2"),
    "final consonants without a shape": (
        '["V", "CV", "VC", "CVC", "CVCC"]', '["V", "CV"]', "final.established", "no syllable shape has a final consonant",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REMARKS)
def test_what_can_never_be_used_is_remarked(tmp_path: Path, name: str) -> None:
    old, new, part, said = REMARKS[name]
    text = edited(old, new)
    found = remarks(tmp_path, text)
    places = [(remark.line, remark.column) for remark in found if said in str(remark)]
    assert places == [place_of(text, part)], [str(remark) for remark in found]
    assert {remark.code for remark in found} == {"child.unused"}


def test_a_cluster_whose_sounds_the_child_lacks_is_remarked(tmp_path: Path) -> None:
    (remark,) = remarks(tmp_path, edited('"nd final",', '"mp final", "ŋk final",'))
    assert "needs ŋ and k in final position" in remark.message


def test_no_shape_at_all_is_remarked_once(tmp_path: Path) -> None:
    text = GOOD.replace('["V", "CV", "VC", "CVC", "CVCC"]', "[]")
    assert [remark.message for remark in remarks(tmp_path, text)] == ["no syllable shape is established or emerging"]


def test_remarks_wait_until_nothing_is_wrong(tmp_path: Path) -> None:
    _, problems = child(tmp_path, 'age = "x"\n')
    assert [problem.code for problem in problems] == ["child.age"]
