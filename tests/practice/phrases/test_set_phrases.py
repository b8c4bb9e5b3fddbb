"""Phrases of the trade's daily use: offered, read, and built up by wholes; no rung that would teach an error."""

from __future__ import annotations

import re

import pytest
from places import ROOT
from test_phrases_natural import everything, offered

from approx.child import read_child_file
from approx.lexicon import pronunciations
from approx.practice.grammar.phrase_grammar import adult_sentence
from approx.practice.grammar.recipes import set_phrases
from approx.practice.phrases.child_pronouncer import ChildPronouncer
from approx.practice.phrases.grammar_ladder import grammar_ladder
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.suggest import Suggester

DAILY = {
    "en-US": "more up/help me/go home/all done/all gone/my turn/no more/me too/want up/come here/no more juice/two ball/where ball",
    "es-MX": "no quiero/dos gatos/quiero más/no más/otra vez/me toca/a casa/no más jugo/dónde gato",
}
ROWS = [(phrase, language) for language, line in DAILY.items() for phrase in line.split("/")]


@pytest.mark.parametrize(("phrase", "language"), ROWS)
def test_phrases_of_every_day_are_read_offered_and_built_up(phrase: str, language: str) -> None:
    sentence, problems = adult_sentence(phrase, language)
    assert sentence and not problems
    ladder, problems = grammar_ladder(phrase, ChildPronouncer(everything(language)))
    assert ladder is not None and not [problem for problem in problems if problem.fatal]
    assert ladder.steps[0].phrase == phrase and ladder.adult_sentence == sentence
    assert offered(phrase, language)


@pytest.mark.parametrize(
    ("phrase", "language", "rungs"),
    [
        # written down before the program was asked
        ("where ball", "en-US", ["where ball", "where is the ball?"]),
        ("two ball", "en-US", ["two ball", "two balls", "I see two balls"]),
        ("no more juice", "en-US", ["no more juice", "there is no more juice"]),
        ("all done", "en-US", ["all done", "I'm all done", "I am all done"]),
        ("dos gato", "es-MX", ["dos gatos", "veo dos gatos"]),
        ("no quiero", "es-MX", ["no quiero", "no quiero eso", "no quiero eso gracias"]),
        ("luna bonito", "es-MX", ["luna bonita", "la luna bonita", "la luna es bonita"]),
        ("my turn", "en-US", ["my turn", "it's my turn", "it is my turn"]),
    ],
)
def test_rungs_as_a_clinician_would_write_them(phrase: str, language: str, rungs: list[str]) -> None:
    ladder, _ = grammar_ladder(phrase, ChildPronouncer(everything(language)))
    assert ladder is not None and [step.phrase for step in ladder.steps if step.main] == rungs


ERRORS = re.compile(
    r"\b(it|they|that|this|he|she) (my|a|an|the|your|it|some|all)\b|\b(it|that|he|she) are\b|\bthey is\b|\bI (all|up|too)\b"
)
"""Pronouns without their is or are, and with the wrong one."""
PHRASES = """big dog/my hat/that hat/this ball/hot soup/wet shoe/my turn/two ball/all done/in box/Mama hat/more pea/red car/
bee tub/no bed/my pea pod/it is/want hat/big peas"""


@pytest.mark.parametrize("phrase", PHRASES.replace("\n", "").split("/"))
def test_no_rung_teaches_an_error(phrase: str) -> None:
    ladder, problems = grammar_ladder(phrase, ChildPronouncer(everything("en-US")))
    assert ladder is not None, problems
    wrong = [step.phrase for step in ladder.steps if ERRORS.search(step.phrase) and not step.phrase.endswith("?")]
    assert wrong == []


@pytest.mark.parametrize("language", ["en-US", "es-MX"])
def test_every_set_phrase_can_be_said_whole(language: str) -> None:
    known = set_phrases(language)
    assert len(known) >= 25 and len({phrase.text for phrase in known}) == len(known)
    for phrase in known:
        assert phrase.use and phrase.adult[-1] in ".!?"
        words = " ".join((phrase.text, *phrase.rungs, phrase.adult))
        unread = [word for word in re.findall(r"[\w']+", words) if not pronunciations(word, language)]
        assert unread == [], phrase.text
    child = ChildPronouncer(everything(language))
    for phrase in known:
        ladder, _ = grammar_ladder(phrase.text, child)
        assert ladder is not None and len(ladder.steps) >= 2 and all(step.source for step in ladder.steps[1:])


def test_it_is_gets_one_remark_where_both_words_sound_alike() -> None:
    profile, _ = read_child_file(ROOT / "samples" / "k07.toml")
    assert profile is not None
    answer = make_phrases(Suggester(profile), PhraseRequest(rows=(("it is", "", 1),), count=1))
    assert [phrase.clashes for phrase in answer.phrases] == [("it and is sound alike today",)]
    ladder, _ = grammar_ladder("it is", ChildPronouncer(Suggester(profile)))
    assert ladder is not None
    assert [step.warnings.count("it and is sound alike today") for step in ladder.steps] == [1, 0]


def test_set_phrases_can_be_asked_for_by_themselves() -> None:
    answer = make_phrases(everything("en-US"), PhraseRequest(relation="set phrase", count=8, length=2))
    assert len(answer.phrases) == 8
    assert all(phrase.relation == "set-phrase" and phrase.use and len(phrase.words) == 2 for phrase in answer.phrases)
