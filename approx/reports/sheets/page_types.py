"""The data of each printed page: plain texts and numbers, ready for a template of any kind. Nothing here computes."""

from __future__ import annotations

from dataclasses import dataclass

PAPERS = ("a4", "letter")
MOST_TARGETS = 8
"""Targets on one session page; more go on a second."""


@dataclass(frozen=True, slots=True)
class Printing:
    """What all pages share. `language`: of the sentences. `code`: of the child, never on a family page. `date`, `next_date`,
    `number`: as typed, empty for a line to write on. `invented`: an example that no child stands behind."""

    language: str
    paper: str = "a4"
    code: str = ""
    date: str = ""
    next_date: str = ""
    number: str = ""
    invented: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One target as printed. `size`, `today_size`: big, mid, small or tiny, by length. `rung`, `above`: short texts, may be empty.

    `above_ipa` goes with `above`; `adds` says what the rung above adds. `today` is empty where nothing is sayable yet.
    """

    number: int
    word: str
    size: str
    adult_ipa: str
    today: str
    today_size: str
    today_ipa: str
    rung: str
    above: str
    above_ipa: str
    adds: str
    help: int
    in_hand: bool
    check: str
    language: str


@dataclass(frozen=True, slots=True)
class SessionPage:
    """The clinician's page. `sheets`: at most eight targets each. `help_key`: (degree, meaning)."""

    printing: Printing
    sheets: tuple[tuple[Row, ...], ...]
    summary: str
    help_key: tuple[tuple[str, str], ...]
    probes: tuple[str, ...]
    materials: tuple[str, ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class GroupChild:
    code: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class GroupPage:
    printing: Printing
    children: tuple[GroupChild, ...]
    help_key: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FamilyWord:
    """`says`: how the child says it now in plain spelling, "" where a sentence (`instead`) stands in its place."""

    word: str
    size: str
    says: str
    says_size: str
    instead: str
    language: str


@dataclass(frozen=True, slots=True)
class FamilyPage:
    """`capitals`: the sentence about capital letters, "" where no word needs it."""

    printing: Printing
    words: tuple[FamilyWord, ...]
    capitals: str


@dataclass(frozen=True, slots=True)
class Card:
    word: str
    size: str
    today: str
    language: str


@dataclass(frozen=True, slots=True)
class FrameCard:
    """A phrase with one open slot: what stands before it and after it."""

    before: str
    after: str
    size: str
    language: str


@dataclass(frozen=True, slots=True)
class CardsPage:
    printing: Printing
    cards: tuple[Card, ...]
    frames: tuple[FrameCard, ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """`model`: the word to find; on a picture strip it is only the small caption of an empty box."""

    model: str
    caption: str
    choices: tuple[str, ...]
    size: str


@dataclass(frozen=True, slots=True)
class MatchPage:
    printing: Printing
    pictures: tuple[Strip, ...]
    words: tuple[Strip, ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class ListenPage:
    """`directions`: (sentence, steps as text). `groups`: (category, its words)."""

    printing: Printing
    directions: tuple[tuple[str, str], ...]
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    mixed: tuple[str, ...]
    matches: tuple[tuple[str, tuple[str, ...]], ...]
    needs: tuple[str, ...]
    things: tuple[str, ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One stretch of a session: from when (m:ss), what, how, tries ("" where none)."""

    start: str
    what: str
    detail: str
    tries: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """`targets`: each with its tries. `facts`: (sentence, rule id, source)."""

    printing: Printing
    summary: str
    seed: str
    rows: tuple[PlanRow, ...]
    targets: tuple[tuple[Row, int], ...]
    help_key: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]
    facts: tuple[tuple[str, str, str], ...]
    words_language: str


Page = SessionPage | GroupPage | FamilyPage | CardsPage | MatchPage | ListenPage | PlanPage

TEMPLATES: dict[type, str] = {
    SessionPage: "session",
    GroupPage: "group",
    FamilyPage: "family",
    CardsPage: "cards",
    MatchPage: "match",
    ListenPage: "listen",
    PlanPage: "plan",
}
"""Name of each page's template, HTML and PDF alike."""
