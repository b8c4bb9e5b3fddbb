"""The seventh judged set: sets, ten phrases, grammar ladders, and the rung that asked for three things.

Blind: words of sets 38 of 60 (18 more after all: easy words without the goal), made phrases 38 of 60 (11), grammar ladders 2 of
6 (1). What was judged wrong, and why, stands in `first_run.tsv`; the same is asked again of what is made now.
"""

from __future__ import annotations

import csv
from collections import Counter
from functools import cache

import pytest
from fast_cases import one_in
from places import DATA

from approx.child import Profile, read_child_file
from approx.practice.phrases.child_pronouncer import ChildPronouncer
from approx.practice.phrases.grammar_ladder import grammar_ladder
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.suggest import Suggester, SuggestOptions
from approx.practice.words.word_choice import ChoiceOptions, choose_words
from approx.practice.words.word_goals import read_goals

SET = DATA / "judged7"
CHILDREN = ("R11", "R24", "R37", "R48", "R56", "R69")
Row = dict[str, str]


def rows(name: str, kind: str) -> list[Row]:
    table = csv.DictReader((SET / name).open(encoding="utf-8"), delimiter="\t", quoting=csv.QUOTE_NONE)
    return [row for row in table if row["kind"] == kind]


@cache
def child(name: str) -> Profile:
    profile, _ = read_child_file(SET / f"{name.lower()}.toml")
    assert profile is not None
    return profile


@cache
def suggester(name: str) -> Suggester:
    return Suggester(child(name), SuggestOptions(top=6))


NEVER = {
    row["asked"] for row in rows("first_run.tsv", "ten phrases") if row["verdict"] != "accepted"
} - {"no puppy", "more taco", "in bowl"}  # fmt: skip
"""Judged wrong or accepted only after all, whoever says them; those left out are odd for one child alone."""


@pytest.mark.slow
@pytest.mark.parametrize("name", CHILDREN)
def test_ten_phrases(name: str) -> None:
    """None judged wrong; five relations, three that ask, refuse or call; no word in more than five of ten."""
    made = make_phrases(suggester(name), PhraseRequest(count=10, length=2)).phrases
    texts = [phrase.telegraphic for phrase in made]
    assert len(made) == 10 and not NEVER & set(texts), texts
    assert len({phrase.relation for phrase in made}) >= 5
    uses = [phrase.use for phrase in made]
    asking = ("ask", "refuse", "greet", "preguntar", "pedir", "rechazar", "saludar", "request")
    assert sum(any(word in use for word in asking) for use in uses) >= 3, uses
    assert max(Counter(word for text in texts for word in set(text.split())).values()) <= 5
    assert not {"aunt", "lady", "buy", "mat", "pan", "puppet"} & {word for text in texts for word in text.split()}


@pytest.mark.parametrize("row", one_in(2, rows("practice.tsv", "set")), ids=lambda row: row["child"])
def test_sets(row: Row) -> None:
    """Seven of ten with the goal, all where the child has it in words of every day; none that was judged no word of a week."""
    name = row["child"]
    goals, _ = read_goals((row["given"],), child(name).language)
    choice = choose_words(child(name), ChoiceOptions(set_size=10, goals=goals), suggester(name))
    assert choice.chosen_set is not None
    words = [word.word for word in choice.chosen_set.words]
    with_goal = [word.word for word in choice.chosen_set.words if word.goals]
    assert len(words) == 10 and len(with_goal) >= (6 if name == "R24" else 7), words
    assert not {"peacock", "ceiling", "buy"} & set(words), words
    easy = [reason for reason in choice.chosen_set.reasons if reason.startswith("easy words for success")]
    assert len(easy) == (len(with_goal) < 10)


def test_a_word_the_child_is_heard_to_say_is_in_a_set_for_its_sound() -> None:
    """R24 says ball in his way: a set for b has it."""
    goals, _ = read_goals(("b initial",), "en-US")
    chosen = choose_words(child("R24"), ChoiceOptions(set_size=10, goals=goals), suggester("R24")).chosen_set
    assert chosen is not None and "ball" in [word.word for word in chosen.words]


@pytest.mark.parametrize(
    ("name", "phrase", "end"),
    [
        ("R11", "big dog", "that is a big dog"), ("R24", "more cookie", "I want more cookies"),
        ("R37", "daddy sit", "on the"), ("R56", "want juice", "I want some juice"),
        ("R69", "play blocks", "is playing with the blocks"), ("R48", "más agua", "quiero más agua"),
    ],
)  # fmt: skip
def test_grammar_ladders(name: str, phrase: str, end: str) -> None:
    """From the phrase as given; a third content word before articles; one addition a step; what the judge said was missing."""
    made, problems = grammar_ladder(phrase, ChildPronouncer(suggester(name)))
    assert made is not None, problems
    rungs = [step.phrase for step in made.steps if step.main]
    assert rungs[0].lower() == phrase and end in rungs[-1]
    assert [len(step.split()) for step in rungs] == sorted(len(step.split()) for step in rungs)
    articles = [at for at, step in enumerate(made.steps) if step.main and step.step == "article"]
    helpers = [at for at, step in enumerate(made.steps) if step.main and step.step == "auxiliary"]
    content = [
        at for at, step in enumerate(made.steps) if step.main and step.step in ("subject", "thing", "place", "ing")
    ]
    assert not articles or not content or max(content) < min(articles)
    assert not articles or not helpers or max(articles) < min(helpers)


def test_the_childs_own_consonant_closes_a_syllable_first() -> None:
    """Judged: mun asked for a closed syllable, n and a second consonant at once; mum stands between."""
    assert [rung.ipa for rung in suggester("R24").phrase("moon").words[0].ladder] == ["mu", "mum", "mun"]
