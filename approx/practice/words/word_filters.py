"""Which words are listed at all: category, part of speech, shape, sound, what is new, exclusions.

When nothing is left, the filter that emptied the list is named, with what would be there without it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from approx.child.demands import Demand
from approx.practice.words.word_bank import BankWord, NewElement
from approx.practice.words.word_goals import WordGoal
from approx.problems import Problem
from approx.wording import enumerated, worded


@dataclass(frozen=True, slots=True)
class Candidate:
    """A bank word with what it asks beyond the child's profile, before any ranking."""

    bank: BankWord
    missing: tuple[Demand, ...]
    things: tuple[NewElement, ...]


Test = Callable[[Candidate], bool]


@dataclass(frozen=True, slots=True)
class Filters:
    """What the clinician asked for; empty fields ask for nothing. Listing entries of one field: any of them.

    `most_new`: new things a word may ask for at most. `exclude`: words in small letters.
    """

    categories: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    shapes: tuple[str, ...] = ()
    sounds: tuple[WordGoal, ...] = ()
    new_sounds: tuple[WordGoal, ...] = ()
    exclude: frozenset[str] = frozenset()
    picturable: bool = False
    most_new: int = 1

    def tests(self) -> Iterator[tuple[str, Test]]:
        """(option as typed, whether a word passes) for each filter in use; the limit on new things last."""
        if self.categories:
            yield f"--category {','.join(self.categories)}", lambda c: c.bank.category in self.categories
        if self.parts:
            yield f"--pos {','.join(self.parts)}", lambda c: c.bank.part_of_speech in self.parts
        if self.shapes:
            plain = {shape.replace(".", "") for shape in self.shapes if "." not in shape}
            cut = {shape for shape in self.shapes if "." in shape}
            yield (
                f"--shape {','.join(self.shapes)}",
                lambda c: c.bank.shape in cut or c.bank.shape.replace(".", "") in plain,
            )
        if self.sounds:
            named = ",".join(goal.text for goal in self.sounds)
            yield f"--sound {named}", lambda c: any(goal.works_on(c.bank) for goal in self.sounds)
        if self.picturable:
            yield "--picturable", lambda c: c.bank.picturable
        if self.exclude:
            yield "--exclude", lambda c: c.bank.word.lower() not in self.exclude
        if self.new_sounds:
            named = ",".join(goal.text for goal in self.new_sounds)
            yield (
                f"--new-sound {named}",
                lambda c: any(
                    goal.asked_by(key for thing in c.things for key in thing.keys) for goal in self.new_sounds
                ),
            )
        yield f"--new {self.most_new}", lambda c: len(c.things) <= self.most_new

    def keep(self, candidates: Iterable[Candidate]) -> list[Candidate]:
        """The words that pass every filter, in the order they came."""
        checks = [test for _, test in self.tests()]
        return [candidate for candidate in candidates if all(test(candidate) for test in checks)]


NO_FILTERS = Filters()
"""Every word that asks for at most one new thing."""


def why_empty(candidates: Sequence[Candidate], filters: Filters) -> Problem:
    """Which filter emptied the list and the nearest thing there is, for filters that leave nothing."""
    if not candidates:
        return Problem("words.empty-bank", "there is no word to choose from", "give your own list: --own FILE")
    tests = list(filters.tests())
    left: list[Candidate] = list(candidates)
    culprit, before = tests[-1][0], len(left)
    for name, test in tests:
        kept = [candidate for candidate in left if test(candidate)]
        if not kept:
            culprit, before = name, len(left)
            break
        left = kept
    rest = [[test for name, test in tests if name != skipped] for skipped, _ in tests]
    without = [(name, _passing(candidates, checks)) for (name, _), checks in zip(tests, rest, strict=True)]
    found = dict(without)[culprit]
    if culprit.startswith("--new "):
        return _too_much_new(left, filters.most_new)
    hints = [worded("without it: {words}", words=_some(_words(found)))] if found else []
    others = [(name, kept) for name, kept in without if kept and name != culprit][:2]
    hints += [worded("without {name}: {words}", name=name, words=_some(_words(kept))) for name, kept in others]
    apart = "several filters exclude each other: drop them one at a time"
    hint = enumerated("; ", hints) if hints else apart
    return Problem(
        "words.none",
        worded("{culprit} leaves none of {before} {before:word|words}", culprit=culprit, before=before),
        hint,
        symbol=culprit,
    )


def _too_much_new(left: Sequence[Candidate], most_new: int) -> Problem:
    """Every word left asks for more that is new than was allowed: the nearest ones."""
    least = min(len(candidate.things) for candidate in left)
    alike = _words([candidate for candidate in left if len(candidate.things) == least])
    nearest = next(
        candidate for candidate in left if candidate.bank.word == alike[0] and len(candidate.things) == least
    )
    asks = enumerated("; ", (thing.text for thing in nearest.things))
    allowed = (
        "nothing new"
        if most_new == 0
        else worded("at most {most_new} new {most_new:element|elements}", most_new=most_new)
    )
    hint = worded(
        "the nearest with --new {least}: {alike} ({alike2} needs {asks})",
        least=least,
        alike=_some(alike),
        alike2=alike[0],
        asks=asks,
    )
    return Problem(
        "words.none",
        worded("none of {left} {left:word|words} has {allowed}", left=len(left), allowed=allowed),
        hint,
        symbol=f"--new {most_new}",
    )


def _passing(candidates: Sequence[Candidate], checks: Sequence[Test]) -> list[Candidate]:
    return [candidate for candidate in candidates if all(test(candidate) for test in checks)]


def _words(candidates: Sequence[Candidate]) -> list[str]:
    """Their spellings, those with least that is new first, then the most useful."""
    ordered = sorted(
        candidates, key=lambda candidate: (len(candidate.things), -candidate.bank.use, candidate.bank.word)
    )
    return [candidate.bank.word for candidate in ordered]


def _some(words: Sequence[str], most: int = 5) -> str:
    names = list(dict.fromkeys(words))

    shown = ", ".join(names[:most])
    more = len(names) - most
    return worded("{words} and {count} more", words=shown, count=more) if more > 0 else shown


def known_values(
    typed: Sequence[str], known: Iterable[str], option: str
) -> tuple[tuple[str, ...], tuple[Problem, ...]]:
    """Values of a closed list as typed (commas part several; "animal" finds "animals"), unknown ones named with what is near."""
    names = {name.lower(): name for name in known}
    out: list[str] = []
    problems: list[Problem] = []
    for value in (part.strip().lower() for text in typed for part in text.split(",")):
        if not value:
            continue
        match = next((names[form] for form in (value, f"{value}s", value.removesuffix("s")) if form in names), None)
        if match is None:
            near = get_close_matches(value, names, 3, 0.5) or [name for name in names if value[:3] in name][:3]
            hint = worded("did you mean {near}? ", near=" or ".join(near)) if near else ""
            said = worded("{hint}there are: {ids}", hint=hint, ids=enumerated(", ", sorted(names)))
            message = worded("{option} cannot be {value}", option=option, value=f"'{value}'")
            problems.append(Problem(f"use.{option.strip('-')}", message, said, symbol=value))
        else:
            out.append(match)
    return tuple(dict.fromkeys(out)), tuple(problems)


def shapes_typed(typed: Sequence[str]) -> tuple[tuple[str, ...], tuple[Problem, ...]]:
    """Shapes as typed ("cvc", "CV-CVC"), in capitals with dots; what is no shape is named."""
    out: list[str] = []
    problems: list[Problem] = []
    for value in (part.strip() for text in typed for part in text.split(",")):
        shape = value.upper().replace("-", ".").strip(".")
        if value and (set(shape) - set("CV.") or "V" not in shape):
            message = worded("{option} cannot be {value}", option="--shape", value=f"'{value}'")
            problems.append(
                Problem("use.shape", message, "write C for a consonant, V for a vowel: CVC, CV.CV", symbol=value)
            )
        elif value:
            out.append(shape)
    return tuple(dict.fromkeys(out)), tuple(problems)
