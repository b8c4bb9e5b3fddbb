"""Pages to cut apart: word cards, frames with an empty place for a card, strips for matching; and the listening page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from approx.lexicon.pictures import picture
from approx.practice.listening.frames import SLOT
from approx.practice.listening.listening import Listening
from approx.practice.session.targets import PracticeTarget
from approx.problems import Problem
from approx.reports.sheets.page_types import (
    Card,
    CardsPage,
    FrameCard,
    ListenPage,
    MatchPage,
    Printing,
    Strip,
)
from approx.reports.sheets.printed_rows import evenly, is_plain, picture_of, size_of
from approx.reports.sheets.wording import said, wording


def cards_page(
    targets: Sequence[PracticeTarget], frames: Sequence[str], language: str, printing: Printing
) -> tuple[CardsPage, tuple[Problem, ...]]:
    """Cards of the words, and frames as typed ("more ___") in the words' language. A frame has exactly one slot."""
    cards = tuple(
        Card(target.word, size_of(target.word), _shown(target), target.language, picture_of(target))
        for target in targets
    )
    problems = []
    kept = []
    for frame in frames:
        parts = SLOT.split(frame.strip())
        if len(parts) != 2:
            hint = 'one empty place a frame: "more ___"'
            problems.append(Problem("cards.frame", f"'{frame}' is no frame with one empty place", hint, symbol=frame))
        else:
            kept.append(FrameCard(parts[0], parts[1], size_of(" ".join(parts)), language))
    return CardsPage(printing, _by_page(cards, CARDS), _by_page(kept, FRAMES)), tuple(problems)


CARDS, FRAMES = 8, 4
"""Cards and frames on one page of either paper."""
PICTURE_STRIPS, WORD_STRIPS = 6, 8
"""Strips on one page of either paper."""
_Cut = TypeVar("_Cut")


def _by_page(items: Sequence[_Cut], most: int) -> tuple[tuple[_Cut, ...], ...]:
    """Page after page, each filled: what is cut apart may stand alone on the last."""
    return tuple(tuple(items[start : start + most]) for start in range(0, len(items), most))


def _shown(target: PracticeTarget) -> str:
    """Today's form in plain spelling, where it differs from the adult word and can be read by anybody."""
    plain = target.today_spelled and is_plain(target.today_spelled) and not target.in_hand
    return target.today_spelled if plain else ""


def match_page(found: Listening, printing: Printing) -> MatchPage:
    """Strips with pictures, then strips with words, all in letters of one size."""
    language = printing.language
    pictures: list[Strip] = []
    words: list[Strip] = []
    every = [word for strip in found.strips for word in strip.choices]
    size = size_of(max(every, key=len)) if every else "big"
    for strip in found.strips:
        drawn = strip.kind == "picture"
        shown = (picture(strip.model, found.language) or "") if drawn else ""
        caption = said(language, "match", "draw", (("word", strip.model),)) if drawn and not shown else ""
        printed = Strip(strip.model, caption, strip.choices, size, shown)
        (pictures if drawn else words).append(printed)
    return MatchPage(printing, evenly(pictures, PICTURE_STRIPS), evenly(words, WORD_STRIPS), found.language)


def listen_page(found: Listening, printing: Printing) -> ListenPage:
    """Directions, sorting and words to find; with the words to have at hand as things or pictures."""
    language = printing.language
    names = wording(language)["categories"]
    told = tuple((each.text, _steps(each.steps, language)) for each in found.directions)
    groups = tuple((names.get(category, category), members) for category, members in found.groups)
    matches = tuple((strip.model, strip.choices) for strip in found.strips if strip.kind == "word")
    used = [word for each in found.directions for word in each.words] + [
        word for _, members in groups for word in members
    ]
    things = tuple((word, picture(word, found.language) or "") for word in dict.fromkeys(used))
    return ListenPage(printing, told, groups, found.mixed, matches, found.needs, things, found.language)


def _steps(steps: int, language: str) -> str:
    return (
        said(language, "listen", "one_step")
        if steps == 1
        else said(language, "listen", "steps", (("steps", str(steps)),))
    )
