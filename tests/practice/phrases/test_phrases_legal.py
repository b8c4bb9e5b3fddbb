"""Every phrase is legal for its child: 33 profiles, an almost empty one and a nearly adult one among them.

The check is slow and obvious: each word's form of today is read anew from its IPA, and every sound, cluster, shape and length is
looked up in the child's file. What the adult words ask beyond it must be announced.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from places import ROOT
from sayable import has, needs

from approx.child import read_child_file
from approx.practice.phrases.phrase_types import Phrase
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.suggest import Suggester, SuggestOptions

DATA = ROOT / "tests" / "data"
PROFILES = [
    *sorted((DATA / "profiles").glob("*.toml")),
    *(path for name in ("judged", "judged2", "judged3") for path in sorted((DATA / name / "profiles").glob("*.toml"))),
]


def in_hand(path: Path) -> set[tuple[str, ...]]:
    """What the file gives, without clusters it calls emerging."""
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    clusters = table.get("consonants", {}).get("clusters", [])
    if clusters:
        table["consonants"]["clusters"] = [entry for entry in clusters if "emerging" not in entry]
    return has(table)


def words_of(phrases: list[Phrase]) -> list[tuple[Phrase, str, str, str]]:
    return [(phrase, part.word, part.adult_ipa, part.today_ipa) for phrase in phrases for part in phrase.parts]


def check(path: Path, request: PhraseRequest) -> int:
    """The number of phrases, each word of each looked up."""
    profile, problems = read_child_file(path)
    assert profile is not None and not [problem for problem in problems if problem.fatal]
    answer = make_phrases(Suggester(profile, SuggestOptions(2)), request)
    given = in_hand(path)
    phrases = [*answer.phrases, *(phrase for frame in answer.frames for phrase in frame.phrases)]
    wrong = []
    for phrase, word, adult, today in words_of(phrases):
        over = needs(today) - given if word.lower() not in profile.chosen else set()
        if over:
            wrong.append(f"{phrase.telegraphic}: {word} {today} asks for {sorted(over)}")
        announced = [new for new in phrase.new if new.endswith(f"in '{word}'")]
        if bool(needs(adult) - given) is not bool(announced):
            wrong.append(
                f"{phrase.telegraphic}: {word} {adult} asks for {sorted(needs(adult) - given)}, announced {announced}"
            )
    for phrase in phrases:
        if phrase.today_ipa != " ".join(part.today_ipa for part in phrase.parts) or not phrase.adult_sentence:
            wrong.append(f"{phrase.telegraphic}: {phrase.today_ipa} | {phrase.adult_sentence}")
        forms = {part.adult_ipa: part.today_ipa for part in phrase.parts}
        if len(set(forms.values())) < len(forms):
            wrong.append(f"{phrase.telegraphic}: two of its words are one form today: {phrase.today_ipa}")
    assert not wrong, f"{len(wrong)} wrong:\n" + "\n".join(wrong[:20])
    if len(answer.phrases) < 10 and not request.frames:
        assert any(problem.code.startswith("phrases.") and problem.hint for problem in answer.problems)
    return len(phrases)


def test_there_are_enough_profiles() -> None:
    assert len(PROFILES) >= 30 and {"nothing", "everything"} <= {path.stem for path in PROFILES}


@pytest.mark.slow
@pytest.mark.parametrize("path", PROFILES[::8], ids=lambda path: path.stem)
def test_phrases_are_legal(path: Path) -> None:
    check(path, PhraseRequest(count=10))


@pytest.mark.slow
@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
def test_all_profiles(path: Path) -> None:
    """Ten phrases of a mix; for every other child every frame with five fillers."""
    number = PROFILES.index(path)
    check(path, PhraseRequest(count=10, seed=7 * (number % 2)))
    if number % 2:
        check(path, PhraseRequest(frames=True, seed=number))


def test_a_nearly_adult_child_gets_all_that_is_asked_for() -> None:
    assert check(DATA / "profiles" / "everything.toml", PhraseRequest(count=25)) == 25


def test_an_almost_empty_file_is_told_what_is_missing() -> None:
    profile, _ = read_child_file(DATA / "profiles" / "nothing.toml")
    assert profile is not None
    answer = make_phrases(Suggester(profile), PhraseRequest())
    assert not answer.phrases and [problem.code for problem in answer.problems] == ["phrases.nothing"]
    assert "a vowel" in answer.problems[0].message and answer.problems[0].fatal


@pytest.mark.slow
def test_a_child_of_one_sound_is_told_that_words_sound_alike() -> None:
    profile, _ = read_child_file(DATA / "profiles" / "one_sound.toml")
    assert profile is not None
    answer = make_phrases(Suggester(profile), PhraseRequest())
    alike = [problem for problem in answer.problems if problem.code == "phrases.alike"]
    assert len(alike) == 1 and "miss most" in alike[0].hint
