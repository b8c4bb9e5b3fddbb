"""Phrases: weak and strong forms, IPA between slashes, punctuation, words nobody can read."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from approx.lexicon import pronunciations, read_phrase
from approx.lexicon.reading import OUTER


def firsts(text: str, **options: object) -> list[str]:
    words, _ = read_phrase(text, **options)  # type: ignore[arg-type]
    return [word.readings[0].ipa if word.readings else "?" for word in words]


@pytest.mark.parametrize(
    ("text", "strong", "weak"),
    [
        ("go to bed", ["ɡoʊ", "tu", "bɛd"], ["ɡoʊ", "tə", "bɛd"]),
        ("go to", ["ɡoʊ", "tu"], ["ɡoʊ", "tu"]),
        ("mama and papa", ["ˈmɑmə", "ænd", "ˈpɑpə"], ["ˈmɑmə", "ən", "ˈpɑpə"]),
        ("the dog", ["ðə", "dɔɡ"], ["ðə", "dɔɡ"]),
        ("the apple", ["ði", "ˈæpəl"], ["ði", "ˈæpəl"]),
        ("a bee", ["ə", "bi"], ["ə", "bi"]),
        ("up in my bed", ["ʌp", "ɪn", "maɪ", "bɛd"], ["ʌp", "ɪn", "maɪ", "bɛd"]),
        ("no more", ["noʊ", "mɔɹ"], ["noʊ", "mɔɹ"]),
        ("can you see", ["kæn", "ju", "si"], ["kən", "jə", "si"]),
    ],
)
def test_grammar_words_in_a_phrase(text: str, strong: list[str], weak: list[str]) -> None:
    assert firsts(text) == strong
    assert firsts(text, weak=True) == weak


def test_a_word_alone_is_strong() -> None:
    assert firsts("a", weak=True) == ["eɪ"]
    assert firsts("and", weak=True) == ["ænd"]


def test_ipa_between_slashes_is_given_as_typed() -> None:
    words, problems = read_phrase("mama /pʌˈpi/ (/tɑ/) /ˈbɪɡ dɔɡ/")
    assert [word.readings[0].ipa for word in words] == ["ˈmɑmə", "pʌˈpi", "tɑ", "ˈbɪɡ", "dɔɡ"]
    assert [word.readings[0].source for word in words][1:] == ["typed"] * 4
    assert [word.column for word in words] == [1, 6, 15, 21, 27]
    assert problems == ()


def test_a_slash_left_open_is_read_and_reported() -> None:
    words, problems = read_phrase("go /spun")
    assert words[1].readings[0].ipa == "spun"
    assert [(problem.code, problem.column) for problem in problems] == [("lexicon.slash", 4)]
    assert [problem.code for problem in read_phrase("//")[1]] == ["lexicon.slash"]


def test_outer_punctuation_is_set_aside_and_inner_kept() -> None:
    words, problems = read_phrase('“Uh-oh!” don’t… (the dog\'s "ball")')
    assert [word.typed for word in words] == ["Uh-oh", "don’t", "the", "dog's", "ball"]
    assert [word.column for word in words] == [2, 10, 18, 22, 29]
    assert problems == ()


def test_apostrophes_of_left_out_letters_stay() -> None:
    words, _ = read_phrase("runnin' 'em 'dog'")
    assert [word.typed for word in words] == ["runnin'", "'em", "dog"]
    assert words[0].readings[0].ipa == "ˈɹʌnɪn"


def test_an_unknown_word_is_kept_and_reported_with_its_place_and_way_out() -> None:
    words, problems = read_phrase("want 🙂 now 21")
    assert [(word.typed, bool(word.readings)) for word in words] == [
        ("want", True),
        ("🙂", False),
        ("now", True),
        ("21", False),
    ]
    assert [(problem.code, problem.column, problem.symbol) for problem in problems] == [
        ("lexicon.unknown", 6, "🙂"),
        ("lexicon.unknown", 12, "21"),
    ]
    assert "slashes" in problems[0].hint
    assert "approx words say" in problems[0].hint


def test_own_words_are_used_and_keep_their_form() -> None:
    assert firsts("the Bobo", own={"Bobo": "ˈboʊbu", "the": "də"}) == ["də", "ˈboʊbu"]


def test_a_spanish_phrase_has_no_english_weak_forms() -> None:
    assert firsts("a la casa", language="es-419", weak=True) == ["a", "la", "ˈkasa"]


def test_a_language_that_cannot_be_read_says_why() -> None:
    words, problems = read_phrase("hallo", language="xx")
    assert words[0].readings == ()
    assert len(problems) == 1
    assert len(problems[0].hint) > len(read_phrase("🙂")[1][0].hint)


def test_very_long_words_are_read() -> None:
    for word in ("bleb" * 5000, "ble" * 5000, "a-" * 500, "dogcat" * 6, "s" * 3000):
        assert read_phrase(word)[1] == ()


@given(st.text())
def test_any_text_is_read_or_reported(text: str) -> None:
    words, problems = read_phrase(text)
    unread = [word for word in words if not word.readings]
    reported = {(problem.symbol, problem.column) for problem in problems}
    assert {(word.typed, word.column) for word in unread} <= reported
    for token in text.split():
        kept = token.strip(OUTER)
        assert not kept or any(word.typed in token or token.strip("/") in word.typed for word in words)


@given(st.text())
@example("A/ A")
def test_any_string_is_no_trouble(text: str) -> None:
    readings = pronunciations(text)
    assert len({reading.ipa for reading in readings}) == len(readings)
    assert pronunciations(text, own={"zib": "zɪb"}) == readings


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyz'-", max_size=14))
def test_every_string_of_letters_has_a_reading(text: str) -> None:
    assert bool(pronunciations(text)) == any(letter.isalpha() for letter in text)
