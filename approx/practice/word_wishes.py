"""What a clinician typed about the words wanted, read into options for `choose_words`; what cannot be read is named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from approx.practice.word_bank import load_bank
from approx.practice.word_choice import ChoiceOptions
from approx.practice.word_filters import Filters, known_values, shapes_typed
from approx.practice.word_goals import read_goals
from approx.problems import Problem


@dataclass(frozen=True, slots=True)
class WordWishes:
    """Filters and goals as typed; several values of one field in one text have commas between. `exclude`: words in small letters.

    `own_kinds`: an own list may bring categories that the bank has not.
    """

    category: Sequence[str] = ()
    pos: Sequence[str] = ()
    shape: Sequence[str] = ()
    sound: Sequence[str] = ()
    new_sound: Sequence[str] = ()
    goal: Sequence[str] = ()
    exclude: frozenset[str] = frozenset()
    picturable: bool = False
    most_new: int = 1
    own_kinds: bool = False


def read_wishes(wishes: WordWishes, language: str) -> tuple[ChoiceOptions, list[Problem]]:
    """Options with filters and goals set, all else as it is by default; problems name what is none of the known values."""
    bank = load_bank(language)
    problems: list[Problem] = []
    categories, found = known_values(wishes.category, dict.fromkeys(word.category for word in bank), "--category")
    if wishes.own_kinds:
        categories = tuple(_parts(wishes.category))
        found = ()
    problems += found
    parts, found = known_values(wishes.pos, dict.fromkeys(word.part_of_speech for word in bank), "--pos")
    problems += found
    shapes, found = shapes_typed(wishes.shape)
    problems += found
    sounds, found = read_goals(wishes.sound, language, "--sound")
    problems += found
    new_sounds, found = read_goals(wishes.new_sound, language, "--new-sound")
    problems += found
    goals, found = read_goals(wishes.goal, language)
    problems += found
    filters = Filters(
        categories, parts, shapes, sounds, new_sounds, wishes.exclude, wishes.picturable, wishes.most_new
    )  # fmt: skip
    return ChoiceOptions(filters=filters, goals=goals), problems


def _parts(typed: Iterable[str]) -> Iterable[str]:
    return (part.strip().lower() for text in typed for part in text.split(",") if part.strip())
