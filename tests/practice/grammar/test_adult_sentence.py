"""Telegraphic phrase and adult sentence: the scenario's forty, and sentences written by hand in two languages."""

from __future__ import annotations

import pytest
from places import DATA

from approx.datafiles import read_tsv
from approx.practice.grammar.en.nouns import NounGroup, SentenceWord, begins_with_vowel, group_words
from approx.practice.grammar.es.clause import SpanishNounGroup
from approx.practice.grammar.es.clause import group_words as spanish_group
from approx.practice.grammar.es.forms import plural, verb_form
from approx.practice.grammar.phrase_grammar import adult_sentence
from approx.practice.grammar.phrase_words import SceneWord


def test_the_forty_phrases_of_the_scenario() -> None:
    """Subject, verb, object: the sentence follows from the telegraphic phrase alone."""
    rows = [row for row in read_tsv(DATA / "demo_phrases.tsv") if row["type"] == "svo"]
    assert len(rows) == 40
    wrong = [
        f"{row['phrase']}: {said}, not {row['note_full_form_or_function']}"
        for row in rows
        if (said := adult_sentence(row["phrase"])[0]) != row["note_full_form_or_function"]
    ]
    assert not wrong, "\n".join(wrong)


def test_every_frame_phrase_of_the_scenario_has_a_sentence() -> None:
    rows = [row for row in read_tsv(DATA / "demo_phrases.tsv") if row["type"] == "pivot"]
    assert len(rows) == 50
    for row in rows:
        said, problems = adult_sentence(row["phrase"])
        assert said and not problems, row["phrase"]
        assert said[0].isupper() and said[-1] in ".!?"


@pytest.mark.parametrize(
    ("file", "language", "least"), [("english_sentences", "en-US", 35), ("spanish_sentences", "es-MX", 40)]
)
def test_sentences_written_by_hand(file: str, language: str, least: int) -> None:
    rows = read_tsv(DATA / f"{file}.tsv")
    assert len(rows) >= least
    wrong = [
        f"{row['phrase']}: {said}, not {row['expected']}"
        for row in rows
        if (said := adult_sentence(row["phrase"], language)[0]) != row["expected"]
    ]
    assert not wrong, "\n".join(wrong)


def test_spanish_forms_written_by_hand() -> None:
    wrong = []
    rows = read_tsv(DATA / "spanish_forms.tsv")
    for row in rows:
        kind, noun = row["kind"], SceneWord(row["word"], "", "noun", "")
        if kind in ("third", "gerund", "past"):
            made = verb_form(row["word"], kind)
        elif kind == "plural":
            made = plural(row["word"])
        elif kind.startswith("with:"):
            made = text(
                spanish_group(SpanishNounGroup(noun, adjective=SceneWord(kind[5:], "", "adjective", ""), agrees=True))
            )
        else:
            made = text(spanish_group(SpanishNounGroup(noun, "el" if kind == "los" else kind, numbered=kind == "los")))
        if made != row["expected"]:
            wrong.append(f"{kind} {row['word']}: {made}, not {row['expected']}")
    assert len(rows) >= 90 and not wrong, "\n".join(wrong)


def text(words: tuple[SentenceWord, ...]) -> str:
    return " ".join(word.text for word in words)


@pytest.mark.parametrize(
    ("word", "ipa", "expected"),
    [
        ("apple", "ˈæpəl", "an apple"),
        ("hat", "hæt", "a hat"),
        ("unicorn", "ˈjunəˌkɔɹn", "a unicorn"),
        ("hour", "ˈaʊɚ", "an hour"),
        ("mud", "mʌd", "some mud"),
        ("pants", "pænts", "some pants"),
        ("moon", "mun", "the moon"),
        ("Mama", "ˈmɑmə", "Mama"),
        ("breakfast", "ˈbɹɛkfəst", "breakfast"),
    ],
)
def test_a_an_some_the_or_nothing(word: str, ipa: str, expected: str) -> None:
    part = "name" if word[0].isupper() else "noun"
    assert text(group_words(NounGroup(SceneWord(word, ipa, part, "food")).full("a"))) == expected


def test_an_follows_the_sound_and_the_next_word() -> None:
    apple = SceneWord("apple", "ˈæpəl", "noun", "food")
    big, old = (SceneWord(word, ipa, "adjective", "describing") for word, ipa in (("big", "bɪɡ"), ("old", "oʊld")))
    assert text(group_words(NounGroup(apple, "a", adjective=big))) == "a big apple"
    assert text(group_words(NounGroup(apple, "a", adjective=old))) == "an old apple"
    assert begins_with_vowel("ˈæpəl") and not begins_with_vowel("ˈjunəˌkɔɹn")


@pytest.mark.parametrize("phrase", ["", "   ", "!!!", "qqq zzz xxx of the", "the the"])
@pytest.mark.parametrize("language", ["en-US", "es-MX"])
def test_what_is_no_phrase_is_named_and_nothing_is_made_up(phrase: str, language: str) -> None:
    said, problems = adult_sentence(phrase, language)
    assert said == "" and problems and all(problem.message and problem.hint for problem in problems)
