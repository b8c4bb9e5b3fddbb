"""The listening side of a word list: directions to follow, sorting by category, words to match with pictures and words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations
from random import Random

from approx.lexicon.spelling import base_language
from approx.practice.listening.frames import (
    LISTENING_LANGUAGES,
    ListedWord,
    ListeningFrame,
    fits,
    frame_sentence,
    listening_frames,
    thing,
)
from approx.problems import Problem
from approx.wording import worded

MOST_DIRECTION_WORDS = 40
"""Directions are built from so many words at most: enough for any page, and all pairs of them can be looked at."""


@dataclass(frozen=True, slots=True)
class Direction:
    """A sentence the adult says and the child acts out. `words`: those of the list in it; `steps`: things to do."""

    text: str
    words: tuple[str, ...]
    steps: int
    frame: str
    needs: str


@dataclass(frozen=True, slots=True)
class MatchStrip:
    """One word to find among a few. `kind`: "picture" (the word stands as a drawing) or "word"."""

    kind: str
    model: str
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Listening:
    """Games from one list. `groups`: (category, its words), at least two words each; `mixed`: all of those words, shuffled.

    `needs`: things that sentences name beside the words. `strips`: to match. Words no game could use are in the problems.
    """

    language: str
    seed: int
    directions: tuple[Direction, ...]
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    mixed: tuple[str, ...]
    strips: tuple[MatchStrip, ...]
    needs: tuple[str, ...]


def listening(
    words: Sequence[str],
    language: str,
    seed: int = 0,
    most: int = 10,
    choices: int = 4,
    alike: Sequence[tuple[str, str]] = (),
) -> tuple[Listening, tuple[Problem, ...]]:
    """Games from the words of a list. `most`: directions; `choices`: words on a strip. The same seed gives the same games.

    `alike`: pairs of words that this child says alike; of a strip with one of them the other is a choice too.
    """
    if base_language(language) not in LISTENING_LANGUAGES:
        message = worded("no listening games in '{language}'", language=language)
        return Listening(language, seed, (), (), (), (), ()), (
            Problem("listening.language", message, ", ".join(LISTENING_LANGUAGES)),
        )
    listed = tuple(dict.fromkeys(word.strip() for word in words if word.strip()))
    found = {word: thing(word, language) for word in listed}
    known = [each for each in found.values() if each is not None]
    problems = _remarks(listed, [word for word, each in found.items() if each is None])
    told = directions(known, language, seed, most)
    if known and not told:
        hint = "add things that can be handed over, or people"
        problems.append(Problem("listening.directions", "no sentence can be built from these words", hint, fatal=False))
    groups = sorting(known)
    if len(groups) < 2:
        hint = "add words: two categories with two words each are needed"
        problems.append(Problem("listening.sorting", "too few categories to sort by", hint, fatal=False))
        groups = ()
    strips = matching(listed, known, seed, choices, alike)
    if listed and len(listed) < 2:
        problems.append(
            Problem("listening.matching", "one word cannot be matched", "give two words or more", fatal=False)
        )
    mixed = [word for _, members in groups for word in members]
    Random(seed).shuffle(mixed)
    needs = tuple(dict.fromkeys(each.needs for each in told if each.needs))
    return Listening(language, seed, told, groups, tuple(mixed), strips, needs), tuple(problems)


def _remarks(listed: Sequence[str], unknown: Sequence[str]) -> list[Problem]:
    if not listed:
        return [Problem("listening.empty", "the list of words is empty", 'give some: --words "mud, hat"')]
    if not unknown:
        return []
    hint = "they are used for matching only; give words of rules/lexicon for the rest"
    names = ", ".join(unknown)
    return [
        Problem(
            "listening.unknown",
            worded("not in the word bank, so without a category: {names}", names=names),
            hint,
            fatal=False,
        )
    ]


def directions(words: Sequence[ListedWord], language: str, seed: int, most: int) -> tuple[Direction, ...]:
    """Sentences that use every frame and every word about equally often, easy ones first, none said twice."""
    chance = Random(seed)
    used = list(words)
    if len(used) > MOST_DIRECTION_WORDS:
        used = chance.sample(used, MOST_DIRECTION_WORDS)
    waiting = [(frame, fill) for frame in listening_frames(language) for fill in _fillings(frame, used, language)]
    chance.shuffle(waiting)
    frame_uses: Counter[str] = Counter()
    word_uses: Counter[str] = Counter()
    out: list[Direction] = []
    while waiting and len(out) < most:

        def worn(candidate: tuple[ListeningFrame, tuple[ListedWord, ...]]) -> tuple[int, int]:
            frame, fill = candidate
            return frame_uses[frame.id], sum(word_uses[word.word] for word in fill)

        chosen = min(waiting, key=worn)
        frame, fill = chosen
        waiting.remove(chosen)
        frame_uses[frame.id] += 1
        word_uses.update(word.word for word in fill)
        text = frame_sentence(frame, fill, language)
        out.append(Direction(text, tuple(word.word for word in fill), frame.steps, frame.id, frame.needs))
    return tuple(sorted(out, key=lambda each: (each.steps, len(each.words))))


def _fillings(frame: ListeningFrame, words: Sequence[ListedWord], language: str) -> Iterator[tuple[ListedWord, ...]]:
    """Every way to fill the slots with different words."""
    if frame.only_without and any(fits(word, frame.only_without, language) for word in words):
        return
    open_to = [{word.word for word in words if fits(word, kind, language)} for _, kind, _ in frame.slots]
    may = [word for word in words if any(word.word in names for names in open_to)]
    for fill in permutations(may, len(frame.slots)):
        if all(word.word in names for word, names in zip(fill, open_to)):
            yield fill


def sorting(words: Sequence[ListedWord]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Words by category, picturable ones and names; categories of one word are left out."""
    groups: dict[str, list[str]] = {}
    for word in words:
        if word.picturable or word.category in ("names", "people"):
            groups.setdefault("people" if word.category == "names" else word.category, []).append(word.word)
    return tuple((category, tuple(members)) for category, members in groups.items() if len(members) > 1)


def matching(
    listed: Sequence[str], known: Sequence[ListedWord], seed: int, choices: int, alike: Sequence[tuple[str, str]] = ()
) -> tuple[MatchStrip, ...]:
    """For every word that can be drawn a strip with a place for the drawing; for every word a strip with the word. Words are
    written as on the cards that are laid on them, as listed."""
    partners: dict[str, list[str]] = {}
    for one, other in alike:
        partners.setdefault(one.lower(), []).append(other)
        partners.setdefault(other.lower(), []).append(one)
    if len(listed) < 2:
        return ()
    chance = Random(seed)
    drawn = {word.word.lower() for word in known if word.picturable or word.category == "names"}
    kinds = [("picture", word) for word in listed if word.lower() in drawn] + [("word", word) for word in listed]
    return tuple(
        _strip(kind, word, listed, chance, choices - (kind == "picture"), partners.get(word.lower(), ()))
        for kind, word in kinds
    )


def _strip(
    kind: str, word: str, names: Sequence[str], chance: Random, choices: int, alike: Sequence[str] = ()
) -> MatchStrip:
    """The word among others: first those the child says alike, then any of the list."""
    near = [name for name in alike if name != word][: choices - 1]
    others = [name for name in names if name != word and name not in near]
    shown = [word, *near, *chance.sample(others, min(choices - 1 - len(near), len(others)))]
    chance.shuffle(shown)
    return MatchStrip(kind, word, tuple(shown))
