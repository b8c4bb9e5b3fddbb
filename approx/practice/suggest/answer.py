"""What `suggest` answers: a word with its approximations and ladder, and a phrase made of them."""

from __future__ import annotations

from dataclasses import dataclass

from approx.ipa.word import Word
from approx.practice.suggest.articulatory_load import ArticulatoryLoad
from approx.practice.suggest.clashes import Clash
from approx.problems import Problem


@dataclass(frozen=True, slots=True)
class Change:
    """One rule used: the form before it and after it."""

    rule: str
    process: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Approximation:
    """A form to accept for now. `cost` 0 is the adult form itself; `closeness` 1 likewise, falling towards 0.

    `heard`: this child was heard to say it for the word; `heard_on`: the day, "" where none was noted.
    """

    word: Word
    spelled: str
    cost: float
    closeness: float
    steps: tuple[Change, ...]
    wcm: int
    ipc: int
    clashes: tuple[Clash, ...] = ()
    chosen: bool = False
    heard: bool = False
    heard_on: str = ""

    @property
    def ipa(self) -> str:
        return self.word.ipa


@dataclass(frozen=True, slots=True)
class Step:
    """One rung of a ladder as shown: the form, its spelling, what it adds to the rung below."""

    ipa: str
    spelled: str
    adds: str | None


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One word: the adult form to model, forms to accept today (nearest first), and the way back up.

    `adult` is None where the word could not be read. `other_readings`: further ways to say the adult word.
    """

    word: str
    adult: Word | None
    spelled: str
    read_from: str
    sure: bool
    note: str
    wcm: int
    ipc: int
    approximations: tuple[Approximation, ...]
    ladder: tuple[Step, ...]
    other_readings: tuple[str, ...] = ()
    dropped: bool = False
    """True for a small word that the telegraphic phrase leaves out."""


@dataclass(frozen=True, slots=True)
class PhraseForm:
    """One way to say the phrase today. `kind`: "full", "telegraphic" or "other". `clashes`: rude words heard in it."""

    kind: str
    ipa: str
    spelled: str
    load: ArticulatoryLoad
    clashes: tuple[Clash, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything about one phrase or list for one child."""

    phrase: str | None
    child: str
    signature: str
    words: tuple[Suggestion, ...]
    phrase_forms: tuple[PhraseForm, ...]
    problems: tuple[Problem, ...]
    adult_load: ArticulatoryLoad | None = None
