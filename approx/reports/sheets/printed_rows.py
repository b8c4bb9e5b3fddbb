"""Targets as the pages print them: sizes by length, rungs and the rung above in the page's language, plain spelling only."""

from __future__ import annotations

import re
from collections.abc import Sequence

from approx.practice.session.targets import PracticeTarget
from approx.reports.sheets.page_types import MOST_TARGETS, Row
from approx.reports.sheets.wording import said, wording

_SIZES = ((7, "big"), (11, "mid"), (14, "small"))
"""Letters up to which a text is set in each size, so that it is not cut; longer ones are set tiny and may be."""

PLAIN = re.compile(r"[A-Za-zÀ-ÖØ-öø-ÿ '’·~ⁿ-]*")
"""What a family can read: letters of the alphabet and the few signs of plain spelling."""


def size_of(text: str) -> str:
    """big, mid, small or tiny: by the longest part that should not be cut, and a little by the whole."""
    longest = max((len(part) for part in text.split()), default=0)
    measure = max(longest, len(text) // 2)
    fitting = next((size for most, size in _SIZES if measure <= most), "tiny")
    return "small" if fitting == "tiny" and longest <= _SIZES[-1][0] else fitting


def is_plain(spelled: str) -> bool:
    """Whether a spelling holds no phonetic symbol."""
    return PLAIN.fullmatch(spelled) is not None


def rows(targets: Sequence[PracticeTarget], language: str) -> tuple[Row, ...]:
    """Every target as a printed row, numbered from 1."""
    return tuple(_row(target, number, language) for number, target in enumerate(targets, 1))


def sheets(targets: Sequence[PracticeTarget], language: str) -> tuple[tuple[Row, ...], ...]:
    """Rows in sheets of at most eight."""
    every = rows(targets, language)
    return tuple(every[start : start + MOST_TARGETS] for start in range(0, len(every), MOST_TARGETS))


def help_key(language: str) -> tuple[tuple[str, str], ...]:
    """The scale of help, from none to most."""
    return tuple(wording(language)["help"].items())


def _row(target: PracticeTarget, number: int, language: str) -> Row:
    shown = target.today_spelled or said(language, "page", "nothing")
    # what a rung adds is told in English by the ladder; on other pages the form alone says it
    adds = target.adds if language == "en" and target.next_ipa else ""
    return Row(
        number, target.word, size_of(target.word), target.adult_ipa, shown, size_of(shown), target.today_ipa,
        _rung(target, language), target.next_spelled, target.next_ipa, adds, target.help, target.in_hand,
        "" if target.sure else said(language, "page", "check"), target.language,
    )  # fmt: skip


def _rung(target: PracticeTarget, language: str) -> str:
    if target.is_phrase:
        return said(language, "page", "phrase")
    if not target.rung:
        return ""
    if target.rung == target.rungs:
        return said(language, "page", "top")
    return said(language, "page", "rung", (("rung", str(target.rung)), ("rungs", str(target.rungs))))
