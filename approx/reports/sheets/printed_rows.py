"""Targets as the pages print them: sizes by length, rungs and the rung above in the page's language, plain spelling only."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TypeVar

from approx.lexicon.pictures import picture
from approx.practice.session.targets import PracticeTarget
from approx.reports.report_words import said, wording
from approx.reports.sheets.page_types import MOST_TARGETS, PrintedRow

_SIZES = ((7, "big"), (11, "mid"), (14, "small"))
"""Letters up to which a text is set in each size, so that it is not cut; longer ones are set tiny and may be."""

_BY_SIZE = ("big", "mid", "small", "tiny")
_Item = TypeVar("_Item")

PLAIN = re.compile(r"[A-Za-zÀ-ÖØ-öø-ÿ '’·~ⁿ-]*")
"""What a family can read: letters of the alphabet and the few signs of plain spelling."""


def size_of(text: str) -> str:
    """big, mid, small or tiny: by the longest part that should not be cut, and a little by the whole."""
    longest = max((len(part) for part in text.split()), default=0)
    measure = max(longest, len(text) // 2)
    fitting = next((size for most, size in _SIZES if measure <= most), "tiny")
    return "small" if fitting == "tiny" and longest <= _SIZES[-1][0] else fitting


def smaller_of(one: str, other: str) -> str:
    """The smaller of two sizes. An easier form is never set in a larger size than its adult word; within one size every
    page sets it smaller and lighter."""
    return max(one, other, key=_BY_SIZE.index)


def reads_as_adult(target: PracticeTarget) -> bool:
    """Whether a family reads the adult word in today's form: it is that word, or is spelled as that word."""
    return target.in_hand or target.today_spelled.casefold() == target.word.casefold()


def picture_of(target: PracticeTarget) -> str:
    """The picture of a single word, "" where none fits."""
    return "" if target.is_phrase else picture(target.word, target.language) or ""


def evenly(items: Sequence[_Item], most: int) -> tuple[tuple[_Item, ...], ...]:
    """The items in as few parts of at most `most` as can be, the parts as equal as can be, longer ones first."""
    parts = -(-len(items) // most)
    ends = [0]
    for part in range(parts):
        ends.append(ends[-1] + len(items) // parts + (part < len(items) % parts))
    return tuple(tuple(items[start:end]) for start, end in zip(ends, ends[1:]))


def is_plain(spelled: str) -> bool:
    """Whether a spelling holds no phonetic symbol."""
    return PLAIN.fullmatch(spelled) is not None


def rows(targets: Sequence[PracticeTarget], language: str) -> tuple[PrintedRow, ...]:
    """Every target as a printed row, numbered from 1."""
    return tuple(_row(target, number, language) for number, target in enumerate(targets, 1))


def sheets(targets: Sequence[PracticeTarget], language: str) -> tuple[tuple[PrintedRow, ...], ...]:
    """Rows in sheets of at most eight, spread evenly."""
    return evenly(rows(targets, language), MOST_TARGETS)


def help_key(language: str) -> tuple[tuple[str, str], ...]:
    """The scale of help, from none to most."""
    return tuple(wording(language)["help"].items())


def _row(target: PracticeTarget, number: int, language: str) -> PrintedRow:
    shown = "" if target.in_hand else target.today_spelled
    instead = "" if shown else said(language, "page", "same" if target.in_hand else "nothing")
    # what a rung adds is told in English by the ladder; on other pages the form alone says it
    adds = target.adds if language == "en" and target.next_ipa else ""
    return PrintedRow(
        number, target.word, size_of(target.word), target.adult_ipa, shown,
        smaller_of(size_of(target.word), size_of(shown)), target.today_ipa if shown else "", instead, _rung(target, language), target.next_spelled, target.next_ipa, adds, target.help, target.in_hand,
        "" if target.sure else said(language, "page", "check"), target.language, picture_of(target),
    )  # fmt: skip


def _rung(target: PracticeTarget, language: str) -> str:
    if target.is_phrase:
        return said(language, "page", "phrase")
    if not target.rung:
        return ""
    if target.rung == target.rungs:
        return "" if target.in_hand else said(language, "page", "top")
    return said(language, "page", "rung", (("rung", str(target.rung)), ("rungs", str(target.rungs))))
