"""A family's own words: read as they come, merged with the bank, out of reach but with the nearest that can be said."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_rank_words import profile

from approx.practice.words.rank_words import bank_for
from approx.practice.words.word_bank import OWN_WORDS, BankWord, with_own_list
from approx.practice.words.word_choice import ChoiceOptions, choose_words
from approx.practice.words.word_filters import Filters
from approx.problems import Problem

WHO = profile("fronts and stops")


def own(
    tmp_path: Path, text: str, name: str = "own.csv"
) -> tuple[dict[str, BankWord], tuple[Problem, ...], tuple[BankWord, ...]]:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    bank, problems = with_own_list(bank_for(WHO), str(path), WHO, "en-US")
    return {word.word: word for word in bank if word.own}, problems, bank


def test_a_table_with_columns(tmp_path: Path) -> None:
    words, problems, bank = own(
        tmp_path, "word,ipa,category,picturable,part_of_speech\nMomo,ˈmoʊmoʊ,people,yes,name\nball,,,,\nbus,bʌt,,no,\n"
    )
    assert not problems
    momo = words["Momo"]
    assert (momo.adult.ipa, momo.category, momo.picturable, momo.part_of_speech) == ("ˈmoʊmoʊ", "people", True, "name")
    assert words["ball"].adult.ipa == "bɔl" and words["ball"].category == "toys" and words["ball"].picturable
    assert words["bus"].adult.ipa == "bʌt" and not words["bus"].picturable
    assert [word.word.lower() for word in bank].count("ball") == 1


def test_a_plain_list_takes_the_banks_facts_and_its_form(tmp_path: Path) -> None:
    words, _, _ = own(tmp_path, "water\nfrog\nglimmerfish\n", "own.txt")
    assert words["water"].adult.ipa == "ˈwɔtɚ" and words["frog"].category == "animals"
    assert words["glimmerfish"].category == OWN_WORDS


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "words.empty"),
        ("word\nblorfquax\n", "words.guess"),
        ("ball\nball\n", "words.own-twice"),
        ("word,ipa\nball,b7l\n", "ipa"),
    ],
)
def test_lists_with_faults_are_named(tmp_path: Path, text: str, code: str) -> None:
    problems = own(tmp_path, text)[1]
    assert any(problem.code.startswith(code) for problem in problems), problems


def test_a_missing_file_is_one_problem() -> None:
    bank, problems = with_own_list(bank_for(WHO), "no such list.csv", WHO, "en-US")
    assert [problem.code for problem in problems] == ["words.file"] and len(bank) > 2000


def test_own_words_come_first_and_say_so(tmp_path: Path) -> None:
    path = tmp_path / "own.txt"
    path.write_text("beep\nmitten\n", encoding="utf-8")
    choice = choose_words(WHO, ChoiceOptions(count=3, own=str(path)))
    assert {"beep", "mitten"} <= {word.word for word in choice.words}
    beep = next(word for word in choice.words if word.word == "beep")
    assert "on your own list" in beep.reasons


def test_a_wish_that_cannot_be_said_gets_the_nearest_form(tmp_path: Path) -> None:
    path = tmp_path / "own.txt"
    path.write_text("strawberry\nbee\n", encoding="utf-8")
    choice = choose_words(WHO, ChoiceOptions(own=str(path)))
    far = {word.word: word for word in choice.out_of_reach}
    assert set(far) == {"strawberry"} and far["strawberry"].today and len(far["strawberry"].new) > 1
    near = choose_words(WHO, ChoiceOptions(own=str(path), filters=Filters(most_new=9)))
    assert not near.out_of_reach


def test_an_own_list_is_enough_where_there_is_no_bank(tmp_path: Path) -> None:
    from dataclasses import replace

    path = tmp_path / "own.csv"
    path.write_text("word,ipa\nBall,bal\nMama,mama\n", encoding="utf-8")
    german = replace(WHO, language="de-DE", vowels={"a": "established"}, readings={})
    choice = choose_words(german, ChoiceOptions(own=str(path)))
    assert choice.bank_size == 2 and [p.code for p in choice.problems if p.fatal] == []
    none = choose_words(german, ChoiceOptions())
    assert [p.code for p in none.problems if p.fatal] == ["words.no-bank"] and none.words == ()
