"""Goals as clinicians write them, the words they are worked on in, and filters that leave nothing."""

from __future__ import annotations

import re

import pytest
from child_profiles import CHILDREN
from test_rank_words import child, profile

from approx.child.profile import Profile
from approx.child.search_limits import Limits, limits
from approx.ipa import read
from approx.practice.words.rank_words import bank_for, candidates, rank
from approx.practice.words.word_bank import BankWord, bank_word, load_bank
from approx.practice.words.word_filters import Filters, known_values, shapes_typed, why_empty
from approx.practice.words.word_goals import WordGoal, read_goals
from approx.processes.rules.rule import Process
from approx.processes.rules.ruleset import load_rules


def word(ipa: str) -> BankWord:
    return bank_word("made here", read(ipa).words[0], "noun", "home", True, 4.0)


def goal(text: str) -> WordGoal:
    found, problems = read_goals([text], "en-US")
    assert len(found) == 1 and not [problem for problem in problems if problem.fatal], problems
    return found[0]


@pytest.mark.parametrize(
    ("text", "works_on", "not_on"),
    [
        ("k", "kʌp bʊk ˈpɑkət skul", "tʌp bæɡ"),
        ("k final", "bʊk sɪks", "kʌp ˈpɑkət"),
        ("k initial", "kʌp skul", "bʊk ˈpɑkət"),
        ("k medial", "ˈpɑkət", "bʊk kʌp"),
        ("k end", "bʊk", "kʌp"),
        ("ɪ", "bɪɡ ˈt͡ʃɪkən", "bi bɛd"),
        ("eɪ", "keɪk", "kɛt kaɪt"),
        ("sp initial", "spun spɹeɪ", "ˈwɪspɚ sun"),
        ("st", "stɑp fæst", "sit kʌt"),
        ("CVC", "kʌp ˈbʌkət", "ti spun"),
        ("CVCV", "ˈbeɪbi", "bæt ˈbʌkət"),
        ("CV.CVC", "ˈwæɡən", "ˈbeɪbi"),
        ("3 syllables", "bəˈnænə", "ˈbeɪbi bæt"),
        ("velar fronting", "kʌp dɪɡ", "tʌb bi"),
        ("final consonant deletion", "kʌp", "ti"),
        ("cluster-reduction", "spun", "sun"),
        ("t͡ʃ", "t͡ʃɪp bit͡ʃ", "ʃɪp tɪp"),
    ],
)
def test_what_a_goal_is_worked_on_in(text: str, works_on: str, not_on: str) -> None:
    """Judged by hand."""
    found = goal(text)
    assert [ipa for ipa in works_on.split() if not found.works_on(word(ipa))] == []
    assert [ipa for ipa in not_on.split() if found.works_on(word(ipa))] == []


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ("sh", "words.spelled-sound", "read as ʃ"),
        ("velar fronted", "use.goal", "velar fronting"),
        ("gibberish", "use.goal", "gibberish"),
        ("k a", "use.goal", "k a"),
        ("ŋ final please", "use.goal", "please"),
        ("7", "use.goal", "7"),
        ("eɪ initial", "words.vowel-place", "vowels"),
    ],
)
def test_a_goal_that_is_not_plain_is_named(text: str, code: str, said: str) -> None:
    problems = read_goals([text], "en-US")[1]
    assert code in [problem.code for problem in problems]
    assert any(said in str(problem) for problem in problems)


def test_goals_by_commas_and_twice() -> None:
    goals, problems = read_goals(["k final, CVC", "k final", " "], "en-US")
    assert [found.text for found in goals] == ["k final", "CVC"] and not problems


def test_goals_lift_words_and_are_named() -> None:
    who = profile("stops")
    goals = read_goals(["k final", "VC"], "en-US")[0]
    words = rank(who, goals=goals, filters=Filters(most_new=0))
    assert words[0].goals and any("works on" in reason for reason in words[0].reasons)
    for each in words:
        assert ("k final" in each.goals) == (each.adult.phones[-1] == "k")


def test_filters_keep_what_they_say_and_nothing_else() -> None:
    who = profile("no liquids")
    sounds = read_goals(["k final"], "en-US")[0]
    new = read_goals(["l"], "en-US")[0]
    for filters, holds in [
        (Filters(categories=("food", "animals")), lambda w: w.category in ("food", "animals")),
        (Filters(parts=("verb",)), lambda w: w.part_of_speech == "verb"),
        (Filters(shapes=("CVC",)), lambda w: w.bank.shape == "CVC"),
        (Filters(shapes=("CVCV",)), lambda w: w.bank.shape.replace(".", "") == "CVCV"),
        (Filters(sounds=sounds), lambda w: re.search(r"k[^aeiouɪɛæɑɔʊʌəɝɚ]*$", w.adult.ipa)),
        (Filters(new_sounds=new), lambda w: any("l" in thing for thing in w.new)),
        (Filters(picturable=True), lambda w: w.bank.picturable),
        (Filters(exclude=frozenset(["ball", "cookie"])), lambda w: w.word not in ("ball", "cookie")),
    ]:
        words = rank(who, filters=filters, bank=bank_for(who)[::3])
        assert words, filters
        assert [each.word for each in words if not holds(each)] == []


def test_the_filter_that_empties_the_list_is_named() -> None:
    """θ is in no vehicle of one syllable; without it there are some, without the category there are others."""
    who = profile("fronts and stops")
    bank = candidates(bank_for(who), _limits(who))
    new = read_goals(["θ"], "en-US")[0]
    problem = why_empty(bank, Filters(categories=("vehicles",), shapes=("CVC",), new_sounds=new))
    assert "--new-sound θ" in problem.message and "without it: boat" in problem.hint
    assert "without --category vehicles: " in problem.hint and "mouth" in problem.hint
    problem = why_empty(bank, Filters(shapes=("CCCVCCC",)))
    assert "--shape CCCVCCC leaves none" in problem.message


def test_too_much_that_is_new_names_the_nearest() -> None:
    who = profile("scene level A")
    problem = why_empty(candidates(bank_for(who), _limits(who)), Filters(shapes=("CVC",), most_new=0))
    assert "nothing new" in problem.message and "--new 1" in problem.hint and "the syllable shape CVC" in problem.hint


def test_an_empty_bank_says_so() -> None:
    assert why_empty((), Filters()).code == "words.empty-bank"


def test_values_of_closed_lists() -> None:
    known = ["animals", "food", "where words"]
    assert known_values(["animal,Food", "where words"], known, "--category") == (("animals", "food", "where words"), ())
    values, problems = known_values(["fod"], known, "--category")
    assert values == () and "did you mean food" in problems[0].hint
    assert known_values(["xyz"], known, "--category")[1][0].hint.startswith("there are: animals")


def test_shapes_as_typed() -> None:
    assert shapes_typed(["cvc, CV-CV"]) == (("CVC", "CV.CV"), ())
    assert [problem.symbol for problem in shapes_typed(["CXC,CC"])[1]] == ["CXC", "CC"]


def test_made_children_leave_the_thirty_alone() -> None:
    child()
    assert len(CHILDREN) == 30 and len(load_bank("en-US")) > 2000


def _limits(who: Profile) -> Limits:
    return limits(who)


@pytest.mark.parametrize("process", load_rules().processes, ids=lambda process: process.id)
def test_a_process_may_be_named_as_spanish_pages_name_it(process: Process) -> None:
    (ours,), problems = read_goals([process.spanish], "es-MX")
    assert not problems
    assert (ours.kind, ours.sounds) == ("process", (process.name,))


def test_spanish_words_for_places_and_a_near_spanish_name() -> None:
    goals, problems = read_goals(["k inicial", "frontalización velar"], "es-MX")
    assert [(goal.sounds, goal.place) for goal in goals] == [(("k",), "initial")]
    assert "frontalización de velares" in problems[0].hint
