"""Contrast pairs of this child's own making, what would open most words, and first steps for a child with nothing."""

from __future__ import annotations

from functools import cache

import pytest
from child_profiles import CHILDREN
from test_rank_words import profile

from approx.child.search_limits import limits
from approx.practice.suggest.suggest import Suggester
from approx.practice.words.contrasts import ContrastPair, contrast_pairs
from approx.practice.words.openers import first_steps, in_reach, openers
from approx.practice.words.rank_words import bank_for, candidates
from approx.practice.words.word_filters import Candidate

HEAVIER = [pytest.param(name, marks=pytest.mark.slow) for name in list(CHILDREN)[4::6]]


@cache
def words_of(name: str) -> tuple[Candidate, ...]:
    who = profile(name)
    return candidates(bank_for(who), limits(who))


@cache
def pairs_of(name: str) -> tuple[ContrastPair, ...]:
    every = words_of(name)
    near = [word for word in every if len(word.things) <= 1]
    return contrast_pairs(near, every, Suggester(profile(name)))


def apart(one: str, other: str, sound: str, instead: str) -> bool:
    """Slow twin: does changing one sound somewhere, or taking it out, make one form the other?"""
    plain, wanted = (form.replace("ˈ", "").replace("ˌ", "") for form in (one, other))
    if not sound:
        sound, instead, plain, wanted = instead, "", wanted, plain
    starts = [at for at in range(len(plain)) if plain.startswith(sound, at)]
    return any(plain[:at] + instead + plain[at + len(sound) :] == wanted for at in starts)


@pytest.mark.parametrize(
    ("one", "other", "differ", "process"),
    [
        # judged by hand for a child who has p b t d m n w h and no k s l f
        ("key", "tea", ("k", "t"), "velar fronting"),
        ("see", "tea", ("s", "t"), "stopping"),
        ("light", "white", ("l", "w"), "gliding"),
        ("neck", "net", ("k", "t"), "velar fronting"),
    ],
)
def test_pairs_a_clinician_would_write_down(one: str, other: str, differ: tuple[str, str], process: str) -> None:
    found = {(pair.word, pair.other): pair for pair in pairs_of("fronts and stops")}
    pair = found[one, other]
    assert pair.differ == differ and process in pair.processes and pair.kind == "as the other"
    assert pair.today == pair.other_adult


def test_a_child_without_final_sounds_has_pairs_of_none_and_one() -> None:
    found = {(pair.word, pair.other): pair.differ for pair in pairs_of("scene level A")}
    assert found["bean", "bee"] == ("n", "")
    assert found["moon", "moo"] == ("n", "")


@pytest.mark.parametrize("name", ["scene level A", "fronts and stops", *HEAVIER])
def test_every_pair_is_one_sound_apart_for_adults_and_none_for_the_child(name: str) -> None:
    """Today's forms are asked anew of `suggest`."""
    suggester = Suggester(profile(name))
    pairs = pairs_of(name)
    assert len({(pair.adult, pair.other_adult) for pair in pairs}) == len(pairs)
    for pair in pairs[:12]:
        assert apart(pair.adult, pair.other_adult, *pair.differ), pair
        said = [suggester.phrase(f"/{form}/").words[0].approximations[0].ipa for form in (pair.adult, pair.other_adult)]
        assert said == [pair.today, pair.today], pair


@pytest.mark.slow
def test_a_child_who_says_everything_right_has_few_pairs() -> None:
    assert len(pairs_of("nearly adult")) < len(pairs_of("fronts and stops")) / 5


def test_what_opens_most_words_counted_slowly() -> None:
    """For each thing named, the words of the bank that ask for it and nothing else."""
    every = words_of("fronts and stops")
    named = openers(every, most=3)
    for opener in named:
        slow = {word.bank.word for word in every if len(word.things) == 1 and word.things[0].text == opener.text}
        assert set(opener.words) == slow
    counts = [len(opener.words) for opener in named]
    single = [word.things[0].text for word in every if len(word.things) == 1]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] >= 0.9 * max(single.count(text) for text in single)


def test_with_almost_nothing_it_is_said_what_is_missing() -> None:
    empty = words_of("empty")
    assert in_reach(empty) == (0, 0)
    named = openers(empty)
    assert named and all(len(opener.things) == 2 and opener.words for opener in named)
    steps = first_steps(empty, 5)
    assert "shape" in steps[0].thing.text or "vowel" in steps[0].thing.text
    assert len(steps[-1].words) >= 5


def test_first_steps_open_what_they_say() -> None:
    """After the steps, each word named asks for nothing but the steps."""
    every = words_of("m and a vowel")
    taken: set[str] = set()
    for step in first_steps(every, 4):
        taken.add(step.thing.text)
        assert all(
            any(each.bank.word == word and {t.text for t in each.things} <= taken for each in every)
            for word in step.words
        )
