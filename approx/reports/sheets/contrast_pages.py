"""Pages for hearing a difference: cards of pairs that this child says alike, and adult and easier forms to be judged by ear."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from approx.lexicon.pictures import picture
from approx.practice.session.targets import AlikePair, PracticeTarget
from approx.problems import Problem
from approx.reports.sheets.page_types import Card, ContrastPage, HeardRow, HearPage, Pair, Printing
from approx.reports.sheets.printed_rows import is_plain, rows, size_of

PAIRS = 4
"""Pairs of cards on one page of either paper."""
GOES = 6
"""Times each word is said on the listening list: half of them as the adult says it, half as the child does."""
MOST_HEARD = 8


def contrast_page(
    pairs: Sequence[AlikePair], language: str, printing: Printing
) -> tuple[ContrastPage | None, tuple[Problem, ...]]:
    """Cards of the pairs; None where this child says no two words of the list and the bank alike."""
    if not pairs:
        hint = "name words with a sound the child has not yet, or allow more that is new"
        return None, (Problem("contrast.none", "no two words are said alike by this child today", hint),)
    made = tuple(_pair(pair, language) for pair in pairs)
    sheets = tuple(made[start : start + PAIRS] for start in range(0, len(made), PAIRS))
    return ContrastPage(printing, sheets, language), ()


def _pair(pair: AlikePair, language: str) -> Pair:
    one, other = (
        Card(word, size_of(word), "", language, picture(word, language) or "") for word in (pair.word, pair.other)
    )
    return Pair(one, other, pair.alike_spelled if is_plain(pair.alike_spelled) else "", pair.alike)


def hear_page(
    targets: Sequence[PracticeTarget], printing: Printing, seed: int
) -> tuple[HearPage | None, tuple[Problem, ...]]:
    """The words whose form today differs from the adult's, eight at most, each with an order of its own; None without one."""
    usable = [
        target for target in targets if target.today_ipa and not target.in_hand and is_plain(target.today_spelled)
    ]
    if not usable:
        hint = "name words the child says in an easier form"
        return None, (Problem("hear.none", "no word has a form of its own today", hint),)
    chance = Random(seed)
    made = []
    for row in rows(usable[:MOST_HEARD], printing.language):
        order = [True] * (GOES // 2) + [False] * (GOES - GOES // 2)
        chance.shuffle(order)
        made.append(HeardRow(row, tuple(order)))
    left = len(usable) - len(made)
    message = f"{left} words more than fit on the page were left off"
    told = (Problem("hear.many", message, f"{MOST_HEARD} words at most", fatal=False),) if left > 0 else ()
    return HearPage(printing, tuple(made), usable[0].language), told
