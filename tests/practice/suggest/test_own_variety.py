"""The accent in a child's file counts wherever the file is asked: what is right in the child's variety is aimed at, offered as
the adult form, and scored as right. Judged by hand: Hualde 2005, The sounds of Spanish (from memory); for African American
English, rules/accents/."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from conftest import CommandLine

import approx

FILE = """
code = "Y07"
language = "{language}"
accent = {accent}
[consonants]
all.established = "p b t d m n {sounds}"
[vowels]
established = "i e a o u ɪ ɛ æ ʌ ʊ ə aʊ"
[syllables]
established = ["V", "CV", "CVC"]
max_syllables = 3
"""
ARGENTINA, AFRICAN_AMERICAN = '["Spanish Argentina Uruguay"]', '["african-american-english"]'


def child(language: str, accent: str, sounds: str) -> approx.api.practice.children.Child:
    return approx.read_child(StringIO(FILE.format(language=language, accent=accent, sounds=sounds)))


@pytest.mark.parametrize(
    ("language", "accent", "sounds", "word", "form", "word_list"),
    [
        ("es-AR", ARGENTINA, "ʃ", "yo", "ʃo", "ʝo"),
        (
            "es-AR",
            ARGENTINA,
            "j ʃ",
            "yo",
            "ʃo",
            "ʝo",
        ),  # the form of Buenos Aires before the one that all of Spanish has
        ("es-MX", "[]", "j", "yo", "jo", "ʝo"),
        ("en-US", AFRICAN_AMERICAN, "f s", "bath", "bæf", "bæθ"),
    ],
)
def test_what_is_right_at_home_is_the_adult_form(
    language: str, accent: str, sounds: str, word: str, form: str, word_list: str
) -> None:
    (found,) = approx.suggest(word, child(language, accent, sounds)).words
    assert found.adult is not None and found.adult.ipa == form
    first = found.approximations[0]
    assert (first.ipa, first.cost, first.steps) == (form, 0, ())
    assert [rung.ipa for rung in found.ladder] == [form]
    assert any(word_list in remark for remark in found.remarks)


@pytest.mark.parametrize(
    ("language", "accent", "sounds", "word", "adult"),
    [
        ("en-US", "[]", "f s", "bath", "bæθ"),  # no such accent at home
        ("en-US", AFRICAN_AMERICAN, "f θ", "bath", "bæθ"),  # the form of the word list is there
        ("es-MX", "[]", "ʃ", "yo", "ʝo"),
        (
            "en-US",
            AFRICAN_AMERICAN,
            "h",
            "help",
            "hɛlp",
        ),  # l as a vowel is right where it is heard; two syllables to aim at
    ],
)
def test_else_the_word_list_is_aimed_at(language: str, accent: str, sounds: str, word: str, adult: str) -> None:
    (found,) = approx.suggest(word, child(language, accent, sounds)).words
    assert found.adult is not None and found.adult.ipa == adult and not found.word_list


def test_a_vowel_coloured_by_its_neighbour_is_no_sound_that_the_child_has() -> None:
    """The adult form of leen is ˈleen, also for a child without e: a nasal vowel is in no child's file."""
    file = FILE.format(language="es-MX", accent="[]", sounds="l").replace("i e a o u", "i a u")
    (found,) = approx.suggest("leen", approx.read_child(StringIO(file))).words
    assert found.adult is not None and found.adult.ipa == "ˈleen"


def test_a_word_that_is_right_at_home_has_nothing_new() -> None:
    chosen = approx.words(child("es-MX", "[]", "j"), own=["llave"], count=500)
    (key,) = [word for word in chosen.words if word.word == "llave"]
    assert (key.today, key.new) == ("ˈjabe", ())


def test_an_accent_that_there_is_not_is_a_problem_with_its_line() -> None:
    problem, *_ = child("es-AR", '["argentina"]', "ʃ").problems
    assert problem.hint == "one of: spanish-argentina-uruguay"
    assert (problem.code, problem.line, problem.symbol, problem.fatal) == ("child.accent", 4, "argentina", True)


def test_a_file_may_name_casual_speech_which_is_right_anyway() -> None:
    """A name in the file is a file of `rules/accents/` (DESIGN: files people write), as `--accent casual` is."""
    found = child("en-US", '["casual", "glottal-t"]', "f")
    assert found.problems == () and list(found.to_dict()["accent"]) == ["casual", "glottal-t"]


def test_a_sample_is_scored_in_the_accent_of_its_child_s_file(cli: CommandLine, tmp_path: Path) -> None:
    sample, file = tmp_path / "sample.csv", tmp_path / "child.toml"
    sample.write_text("child,target_ipa,produced_ipa\nY07,bæθ,bæf\n", encoding="utf-8")
    file.write_text(FILE.format(language="en-US", accent=AFRICAN_AMERICAN, sounds="f"), encoding="utf-8")
    plain, own, named = (
        cli("score", sample, "--csv", "--plain", *more).out
        for more in ((), ("--child", str(file)), ("--accent", "african-american-english"))
    )
    assert own == named != plain
    processes = [cli("processes", sample, "--json", *more).out for more in ((), ("--child", str(file)))]
    assert "labialization" in processes[0] and "labialization" not in processes[1]
