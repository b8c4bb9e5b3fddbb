"""The letter to a teacher: one page, which words, what they may sound like, what to say and what to praise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.practice.session.targets import PracticeTarget
from approx.problems import Problem
from approx.reports.sheets.family_page import said_like, words_for_family
from approx.reports.sheets.page_types import LetterPage, Printing
from approx.wording import worded

MOST_LETTER_WORDS = 8


def letter_page(targets: Sequence[PracticeTarget], printing: Printing) -> tuple[LetterPage, tuple[Problem, ...]]:
    """The letter. The child's code is taken off: the writer fills in for whom it is. At most eight words fit on the page."""
    words = words_for_family(targets, printing.language, "letter")
    left = len(words) - MOST_LETTER_WORDS
    message = worded("{left} {left:word does|words do} not fit on one page and {left:was|were} left out", left=left)
    told = (
        (
            Problem(
                "letter.many", message, worded("{most_heard} words at most", most_heard=MOST_LETTER_WORDS), fatal=False
            ),
        )
        if left > 0
        else ()
    )
    example = next((word.word for word in words if word.says), words[0].word)
    tag = targets[0].language
    alike = said_like(targets[:MOST_LETTER_WORDS], printing.language)
    return LetterPage(replace(printing, code=""), words[:MOST_LETTER_WORDS], example, tag, alike), told
