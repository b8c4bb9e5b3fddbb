"""What the child's own life adds to the bank: its people in place of the bank's example names, and what it loves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.child.profile import Profile
from approx.lexicon.rude import rude_word
from approx.practice.words.own_list import with_own_rows
from approx.practice.words.word_bank import BankWord
from approx.problems import Problem


def for_this_child(
    bank: Sequence[BankWord], profile: Profile, interests: Sequence[str], language: str
) -> tuple[tuple[BankWord, ...], tuple[Problem, ...]]:
    """The bank without words that are rude by themselves, with the people of the child's file, and with the words marked that belong to an interest.

    An interest is a word ("truck", "trucks") or an everyday category ("animals"); one that the bank does not have is
    added as a word of the child's own. Words that cannot be read are named and left out.
    """
    problems: list[Problem] = []
    known = tuple(word for word in bank if not rude_word(word.adult.ipa, language))
    if profile.people:
        rows = [(name, "", at) for at, name in enumerate(profile.people, 1)]
        cells = {at: {"part_of_speech": "name", "category": "names"} for _, _, at in rows}
        others = [word for word in known if word.category != "names"]
        known, found = with_own_rows(others, rows, profile, language, more=cells)
        problems += found
    if not interests:
        return known, tuple(problems)
    loved = {form: interest for interest in interests for form in _forms(interest)}
    here = {word.word.lower() for word in known} | {word.category.lower() for word in known}
    fresh = [interest for interest in interests if not here & set(_forms(interest))]
    if fresh:
        known, found = with_own_rows(known, [(word, "", at) for at, word in enumerate(fresh, 1)], profile, language)
        problems += found
    return tuple(_marked(word, loved) for word in known), tuple(problems)


def _forms(interest: str) -> list[str]:
    """An interest as it may stand in the bank: "trucks" for truck, "animal" for animals."""
    low = interest.lower()
    return [low, low.removesuffix("s"), low.removesuffix("es"), f"{low}s"]


def _marked(word: BankWord, loved: dict[str, str]) -> BankWord:
    interest = loved.get(word.word.lower()) or loved.get(word.category.lower(), "")
    return replace(word, interest=interest) if interest else word
