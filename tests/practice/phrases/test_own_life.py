"""People and interests of the child's file: names and pronouns in phrases, motivating words in a set."""

from __future__ import annotations

from dataclasses import replace

import pytest
from places import SAMPLES
from test_phrases_natural import everything

from approx.child import Profile, read_child_file
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.suggest import Suggester, SuggestOptions
from approx.practice.words.word_choice import ChoiceOptions, choose_words
from approx.practice.words.word_goals import read_goals

PEOPLE = {"Ana": "she", "Dani": "they", "Teo": "he"}


def m12(**changes: object) -> Profile:
    profile, _ = read_child_file(SAMPLES / "m12.toml")
    assert profile is not None
    return replace(profile, **changes)  # type: ignore[arg-type]


def rungs(profile: Profile, phrase: str, pronoun: str = "", language: str = "") -> list[str]:
    answer = make_phrases(
        Suggester(profile, SuggestOptions(language=language)), PhraseRequest(grammar=phrase, pronoun=pronoun)
    )
    assert answer.ladder is not None, answer.problems
    return [step.phrase for step in answer.ladder.steps]


@pytest.mark.parametrize(
    ("phrase", "option", "said"),
    [
        ("Ana wash hand", "", "she is washing her hand"),
        ("Dani wash hand", "", "they are washing their hand"),
        ("Teo wash hand", "", "he is washing his hand"),
        ("Teo wash hand", "they", "they are washing their hand"),
        ("Kim wash hand", "", "they are washing their hand"),
        ("Kim wash hand", "he", "he is washing his hand"),
        ("Mama wash hand", "he", "she is washing her hand"),
    ],
)
def test_each_is_called_by_their_own_pronoun(phrase: str, option: str, said: str) -> None:
    assert said in rungs(m12(people=PEOPLE), phrase, option)


def test_who_does_it_is_someone_of_the_child_s_life() -> None:
    assert any(rung.startswith(tuple(PEOPLE)) for rung in rungs(m12(people=PEOPLE), "dig mud"))
    family = ("Mama", "Papa", "Nana", "Mommy", "Daddy", "Mom", "Dad", "Dada")
    assert any(rung.startswith(family) for rung in rungs(m12(), "dig mud"))
    answer = make_phrases(Suggester(m12(people=PEOPLE), SuggestOptions(2)), PhraseRequest(count=40))
    names = {part.word for phrase in answer.phrases for part in phrase.parts if part.word[0].isupper()}
    assert names & set(PEOPLE)
    assert not names & {"Bo", "Dee", "Dan", "May", "Ben", "Tim", "Bob", "Eve", "Amy", "Abby", "Pam"}


@pytest.mark.parametrize(("pronoun", "said"), [("she", "Dani está dormida"), ("he", "Dani está dormido")])
def test_spanish_describing_words_agree_with_a_person(pronoun: str, said: str) -> None:
    profile = replace(everything("es-MX").profile, people={"Dani": pronoun})
    assert said in rungs(profile, "Dani dormido", language="es-MX")
    assert said in rungs(everything("es-MX").profile, "Dani dormido", pronoun, "es-MX")


def test_a_set_joins_what_the_child_loves_with_the_sound_and_the_use() -> None:
    goals, _ = read_goals(["k initial"], "en-US")
    options = ChoiceOptions(set_size=9, goals=goals)
    plain = choose_words(m12(), options).chosen_set
    loved = choose_words(m12(), replace(options, interests=("candy", "home", "kitchen"))).chosen_set
    from_file = choose_words(m12(interests=("candy", "home", "kitchen")), options).chosen_set
    assert plain is not None and loved is not None and from_file is not None
    assert [word.word for word in loved.words] == [word.word for word in from_file.words]
    hits = [
        sum(word.category in ("home", "kitchen") or word.word == "candy" for word in each.words)
        for each in (plain, loved)
    ]
    assert hits[1] >= 3 and hits[1] > hits[0]
    for each in (plain, loved):  # the goal and the share in hand stay
        assert sum(bool(word.goals) for word in each.words) >= 6
        assert sum(not word.things for word in each.words) >= 3
        assert all(word.singleton for word in each.words if word.goals)
        assert len({use for word in each.words for use in word.functions[:1]}) >= 3


def test_a_loved_word_the_bank_does_not_have_is_added_and_people_take_the_place_of_example_names() -> None:
    choice = choose_words(m12(interests=("Bluey", "trucks"), people=PEOPLE), ChoiceOptions(count=600))
    words = {word.word: word for word in (*choice.words, *choice.out_of_reach)}
    assert words["Bluey"].bank.interest == "Bluey" and "what this child loves: Bluey" in words["Bluey"].reasons
    assert set(PEOPLE) <= set(words) and not {"Bo", "Dee", "Ben"} & set(words)
