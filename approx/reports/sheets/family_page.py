"""The pages for the people around the child: for the family plain words, big letters, one idea a line, no phonetic symbol and
no code; to a teacher a letter of one page, which words, what they may sound like, what to say and what to praise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.practice.session.targets import PracticeTarget
from approx.problems import Problem
from approx.reports.report_words import said
from approx.reports.sheets.page_types import FamilyPage, FamilyWord, LetterPage, Printing
from approx.reports.sheets.printed_rows import evenly, is_plain, picture_of, reads_as_adult, size_of, smaller_of
from approx.wording import worded

MOST_FAMILY_WORDS = 6
"""Words on one page; more go on a second (common practice: three to six words for one week at home, no source)."""

_MOST_OTHERS = 2
"""Words that one form is heard as: so many are told."""


def family_page(targets: Sequence[PracticeTarget], printing: Printing) -> tuple[FamilyPage, tuple[Problem, ...]]:
    """The page and what to know about it. The child's code is taken off."""
    words = words_for_family(targets, printing.language)
    marked = any(word.says != word.says.lower() for word in words)
    capitals = said(printing.language, "family", "capitals") if marked else ""
    problems = []
    for target in targets:
        if target.today_spelled and not is_plain(target.today_spelled):
            message = worded("no plain spelling for a sound in today's form of '{word}'", word=target.word)
            hint = "the page asks the family to hear it from you"
            problems.append(Problem("family.spelling", message, hint, symbol=target.word, fatal=False))
    if len(targets) > MOST_FAMILY_WORDS:
        message = worded(
            "{targets} words are a lot for one week at home: printed on {value} {value:page|pages}",
            targets=len(targets),
            value=-(-len(targets) // MOST_FAMILY_WORDS),
        )
        problems.append(Problem("family.many", message, "three to six are usual", fatal=False))
    alike = tuple(said_like(part, printing.language) for part in evenly(targets, MOST_FAMILY_WORDS))
    return FamilyPage(replace(printing, code=""), evenly(words, MOST_FAMILY_WORDS), capitals, alike), tuple(problems)


def said_like(targets: Sequence[PracticeTarget], language: str) -> str:
    """The sentence that tells which words sound like others today (two = shoe = boo); "" where none does."""
    groups: list[list[str]] = []
    for target in targets:
        words = [target.word, *target.alike[:_MOST_OTHERS]]
        if len(words) == 1 or not target.today_spelled or reads_as_adult(target):
            continue
        group = next((group for group in groups if not set(words).isdisjoint(group)), None)
        if group is None:
            groups.append(words)
        else:
            group += [word for word in words if word not in group]
    told = ", ".join(" = ".join(group) for group in groups)
    return said(language, "page", "alike_now", (("words", told),)) if told else ""


def words_for_family(targets: Sequence[PracticeTarget], language: str, page: str = "family") -> tuple[FamilyWord, ...]:
    """Each word as people outside the clinic read it: the adult word, and the child's form in plain spelling. `page`: whose
    sentences stand where there is no form, family or letter."""
    return tuple(_word(target, language, page) for target in targets)


def _word(target: PracticeTarget, language: str, page: str) -> FamilyWord:
    says, key = target.today_spelled, ""
    if not says:
        key = "listen"
    elif not is_plain(says):
        key = "ask"
    elif reads_as_adult(target):
        key = "full"
    if key:
        says = ""
    instead = said(language, page, key) if key else ""
    size = size_of(target.word)
    return FamilyWord(
        target.word, size, says, smaller_of(size, size_of(says)), instead, target.language, picture_of(target)
    )  # fmt: skip


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
