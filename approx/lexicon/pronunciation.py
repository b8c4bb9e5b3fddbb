"""One reading of one word, with where it came from."""

from __future__ import annotations

from dataclasses import dataclass

SOURCES = (
    "own words",
    "weak form",
    "strong form",
    "word list",
    "name list",
    "dictionary",
    "word form",
    "compound",
    "reader",
    "spelling rules",
    "typed",
    "spanish rules",
    "epitran",
)
"""Every value `Pronunciation.source` can have, the surest of the English chain first."""


@dataclass(frozen=True, slots=True)
class Pronunciation:
    """How a word is said.

    `ipa` has stress marks only in words of two or more syllables. `source` is one of `SOURCES`.
    `sure` is False where the reading was worked out and should be checked by a person; `note` then says how.
    """

    ipa: str
    source: str
    sure: bool
    note: str = ""
