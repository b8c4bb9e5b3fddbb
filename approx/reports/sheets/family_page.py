"""The page for the family: plain words, big letters, one idea a line; no phonetic symbol and no code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.practice.session.targets import PracticeTarget
from approx.problems import Problem
from approx.reports.sheets.page_types import FamilyPage, FamilyWord, Printing
from approx.reports.sheets.printed_rows import is_plain, size_of
from approx.reports.sheets.wording import said

MOST_WORDS = 8
"""More words than this are not for one week at home (common practice: three to six, no source)."""


def family_page(targets: Sequence[PracticeTarget], printing: Printing) -> tuple[FamilyPage, tuple[Problem, ...]]:
    """The page and what to know about it. The child's code is taken off."""
    words = tuple(_word(target, printing.language) for target in targets)
    marked = any(word.says != word.says.lower() for word in words)
    capitals = said(printing.language, "family", "capitals") if marked else ""
    problems = []
    for target in targets:
        if target.today_spelled and not is_plain(target.today_spelled):
            message = f"no plain spelling for a sound in today's form of '{target.word}'"
            hint = "the page asks the family to hear it from you"
            problems.append(Problem("family.spelling", message, hint, symbol=target.word, fatal=False))
    if len(targets) > MOST_WORDS:
        message = f"{len(targets)} words are many for one week at home"
        problems.append(Problem("family.many", message, "three to six are usual", fatal=False))
    return FamilyPage(replace(printing, code=""), words, capitals), tuple(problems)


def _word(target: PracticeTarget, language: str) -> FamilyWord:
    says, key = target.today_spelled, ""
    if not says:
        key = "listen"
    elif not is_plain(says):
        key = "ask"
    elif target.in_hand:
        key = "full"
    if key:
        says = ""
    instead = said(language, "family", key) if key else ""
    return FamilyWord(target.word, size_of(target.word), says, size_of(says), instead, target.language)
