"""A word as the pages need it: forms, rung, the rung above, help to start with."""

from __future__ import annotations

from dataclasses import replace

import pytest
from places import ROOT

from approx.child import read_child_file
from approx.practice.listening.frames import frames_for
from approx.practice.session.targets import PracticeTarget, practice_targets
from approx.practice.suggest.suggest import Suggester, SuggestOptions
from approx.problems import Problem


def suggester(name: str, **chosen: str) -> Suggester:
    profile, _ = read_child_file(ROOT / "samples" / f"{name}.toml")
    assert profile is not None
    return Suggester(replace(profile, chosen={**profile.chosen, **chosen}), SuggestOptions())


def targets(name: str, *words: str, **chosen: str) -> tuple[tuple[PracticeTarget, ...], tuple[Problem, ...]]:
    return practice_targets(suggester(name, **chosen), [(word, "", number) for number, word in enumerate(words, 1)])


def test_a_word_has_today_its_rung_and_the_next() -> None:
    """M12's cup: velars front (scenario), so tʌp today; one rung up is the adult word."""
    (cup,), problems = targets("m12", "cup")
    assert (cup.adult_ipa, cup.today_ipa, cup.rung, cup.rungs, cup.next_ipa) == ("kʌp", "tʌp", 1, 2, "kʌp")
    assert "k" in cup.adds and cup.help == 2 and not cup.in_hand and not problems


def test_a_word_in_hand_is_the_top_and_starts_with_waiting() -> None:
    (boot,), _ = targets("m12", "boot")
    assert boot.in_hand and (boot.rung, boot.rungs, boot.next_ipa, boot.help) == (1, 1, "", 1)


def test_a_chosen_form_stands_on_its_rung_of_the_whole_ladder() -> None:
    """The clinician raised M12's seed from tid: the form is looked for on the ladder from the bottom."""
    (plain,), _ = targets("m12", "seed")
    (raised,), _ = targets("m12", "seed", seed="sid")
    assert plain.rung == 1 and raised.rung == raised.rungs == plain.rungs > 1 and raised.today_ipa == "sid"


def test_a_form_beyond_what_is_in_hand_starts_together() -> None:
    (mud,), _ = targets("k07", "mud", mud="mʌd")
    assert mud.help == 3


def test_the_childs_own_word_is_kept() -> None:
    (water,), _ = targets("k07", "water")
    assert water.today_ipa == "ˈwawa"


def test_several_words_are_one_phrase_in_its_place() -> None:
    found, _ = targets("m12", "cup", "mud pie", "boot")
    assert [target.word for target in found] == ["cup", "mud pie", "boot"]
    assert found[1].is_phrase and found[1].today_ipa == "mʌd paɪ" and (found[1].rung, found[1].rungs) == (0, 0)


def test_ipa_given_with_a_word_is_used() -> None:
    found, problems = practice_targets(suggester("m12"), [("zib", "/dɪb/", 1)])
    assert found[0].adult_ipa == "dɪb" and found[0].sure and not problems


def test_a_word_nobody_knows_is_a_problem_and_no_target() -> None:
    found, problems = targets("m12", "cup", "日本")
    assert [target.word for target in found] == ["cup"]
    assert [problem.code for problem in problems if problem.fatal] == ["lexicon.unknown"]


def test_a_guess_is_told() -> None:
    found, problems = targets("m12", "blorft")
    assert not found[0].sure and problems[0].code == "targets.unsure" and not problems[0].fatal


def test_words_that_would_sound_alike_are_set_apart_as_in_suggest() -> None:
    maker = suggester("m12")
    words = ("seed", "cheese", "squeeze")
    found, _ = practice_targets(maker, [(word, "", 1) for word in words])
    answer = maker.list([(word, "", 1) for word in words])
    assert [target.today_ipa for target in found] == [word.approximations[0].ipa for word in answer.words]


@pytest.mark.parametrize(
    ("name", "words"), [("k07", ("mama", "bee")), ("m12", ("cup", "mama")), ("t03_es", ("pan", "mamá"))]
)
def test_frames_for_cards_have_one_place_and_are_sayable(name: str, words: tuple[str, ...]) -> None:
    maker = suggester(name)
    found = frames_for(maker, words)
    assert 1 <= len(found) <= 3
    for frame in found:
        assert frame.count("___") == 1
        fixed, _ = practice_targets(maker, [(frame.replace("___", "").strip(), "", 1)])
        assert fixed[0].today_ipa


def test_no_frames_where_the_language_has_none() -> None:
    profile, _ = read_child_file(ROOT / "samples" / "m12.toml")
    assert profile is not None
    assert frames_for(Suggester(profile, SuggestOptions(language="deu-Latn")), ["Hut"]) == ()
