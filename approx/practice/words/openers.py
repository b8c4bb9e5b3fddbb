"""What would open the most words for this child: the one sound, place, shape or length that most words wait for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from approx.practice.words.word_bank import NewElement
from approx.practice.words.word_filters import Candidate
from approx.wording import enumerated


@dataclass(frozen=True, slots=True)
class Opener:
    """Some new things and the words that they alone stand before, the most useful first."""

    things: tuple[NewElement, ...]
    words: tuple[str, ...]

    @property
    def text(self) -> str:
        """What it is, in words."""
        return enumerated(" and ", (thing.text for thing in self.things))


def openers(candidates: Sequence[Candidate], most: int = 5) -> tuple[Opener, ...]:
    """What opens most words, first; of the smallest number of things that opens any.

    For a child with a few sounds these are single things ("k (initial)"); where every word asks for more than one, as for
    a child with almost nothing, they are the smallest sets of things that make a word sayable.
    """
    waiting = [candidate for candidate in candidates if candidate.things]
    if not waiting:
        return ()
    least = min(len(candidate.things) for candidate in waiting)
    opened: dict[frozenset[tuple[str, ...]], tuple[tuple[NewElement, ...], dict[str, float]]] = {}
    for candidate in waiting:
        if len(candidate.things) == least:
            key = frozenset((thing.text,) for thing in candidate.things)
            things, words = opened.setdefault(key, (candidate.things, {}))
            words[candidate.bank.word] = max(candidate.bank.use, words.get(candidate.bank.word, 0.0))
    found = [
        Opener(things, tuple(sorted(words, key=lambda word: (-words[word], word)))) for things, words in opened.values()
    ]
    found.sort(key=lambda opener: (-len(opener.words), opener.text))
    return tuple(found[:most])


def number_different(candidates: Sequence[Candidate]) -> int:
    """How many different words there are: one spelling with one sound is one word."""
    return len({_name(candidate) for candidate in candidates})


def in_reach(candidates: Sequence[Candidate]) -> tuple[int, int]:
    """(different words in the inventory, different words with one new thing)."""
    counts = list({_name(candidate): len(candidate.things) for candidate in candidates}.values())
    return counts.count(0), counts.count(1)


def _name(candidate: Candidate) -> tuple[str, tuple[str, ...]]:
    return candidate.bank.word.lower(), candidate.bank.adult.phones


@dataclass(frozen=True, slots=True)
class FirstStep:
    """One thing to bring in next, and the words that it and the steps before it have opened, the most useful first."""

    thing: NewElement
    words: tuple[str, ...]


def first_steps(candidates: Sequence[Candidate], most: int = 4) -> tuple[FirstStep, ...]:
    """For a child with almost nothing: what to bring in, one thing after the other, so that words open soonest.

    Each step takes the thing that most words wait for, a word that waits for fewer things counting ten times as much.
    Common practice, no source: a clinician decides by what the child can copy.
    """
    waiting = {
        (candidate.bank.word, candidate.bank.adult.phones): (
            candidate.bank,
            {thing.text: thing for thing in candidate.things},
        )
        for candidate in candidates
        if candidate.things
    }
    left = {key: dict(things) for key, (_, things) in waiting.items()}
    out: list[FirstStep] = []
    opened: dict[str, float] = {}
    while left and len(out) < most:
        pull: dict[str, float] = {}
        for key, things in left.items():
            weight = (0.5 + waiting[key][0].use) * 10.0 ** -len(things)
            for text in things:
                pull[text] = pull.get(text, 0.0) + weight
        best = max(pull, key=lambda text: (pull[text], text))
        thing = next(things[best] for things in left.values() if best in things)
        for key in [key for key, things in left.items() if best in things]:
            del left[key][best]
            if not left[key]:
                del left[key]
                opened[key[0]] = waiting[key][0].use
        out.append(FirstStep(thing, tuple(sorted(opened, key=lambda word: (-opened[word], word)))))
    return tuple(out)
