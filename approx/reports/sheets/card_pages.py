"""Pages to cut apart or to listen with: word cards, frames, strips for matching, pairs that this child says alike, adult and easier forms to be judged by ear."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import TypeVar

from approx.lexicon.pictures import picture
from approx.practice.listening.frames import TYPED_SLOT
from approx.practice.listening.listening import Listening
from approx.practice.session.targets import AlikePair, PracticeTarget
from approx.problems import Problem
from approx.reports.report_words import said, wording
from approx.reports.sheets.page_types import (
    Card,
    CardsPage,
    ContrastPage,
    FrameCard,
    HeardRow,
    HearPage,
    ListenPage,
    MatchPage,
    PrintedPair,
    Printing,
    Strip,
)
from approx.reports.sheets.printed_rows import evenly, is_plain, picture_of, reads_as_adult, rows, size_of
from approx.wording import worded


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
        parts = TYPED_SLOT.split(frame.strip())
        if len(parts) != 2:
            hint = 'one open slot per frame: "more ___"'
            problems.append(
                Problem(
                    "cards.frame",
                    worded("'{frame}' is not a frame with one open slot", frame=frame),
                    hint,
                    symbol=frame,
                )
            )
        else:
            kept.append(FrameCard(parts[0], parts[1], size_of(" ".join(parts)), language))
    return CardsPage(printing, _by_page(cards, CARDS), _by_page(kept, FRAMES)), tuple(problems)


CARDS, FRAMES = 8, 4
"""Cards and frames on one page of either paper."""
PICTURE_STRIPS, WORD_STRIPS = 8, 8
"""Strips on one page of either paper."""
_Cut = TypeVar("_Cut")


def _by_page(items: Sequence[_Cut], most: int) -> tuple[tuple[_Cut, ...], ...]:
    """Page after page, each filled: what is cut apart may stand alone on the last."""
    return tuple(tuple(items[start : start + most]) for start in range(0, len(items), most))


def _shown(target: PracticeTarget) -> str:
    """Today's form in plain spelling, where it differs from the adult word and can be read by anybody."""
    plain = target.today_spelled and is_plain(target.today_spelled) and not reads_as_adult(target)
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
    matches, signs = _pointed_at(found)
    used = [word for each in found.directions for word in each.words] + [
        word for _, members in groups for word in members
    ]
    things = tuple((word, picture(word, found.language) or "") for word in dict.fromkeys(used))
    return ListenPage(printing, told, groups, found.mixed, matches, found.needs, things, signs, found.language)


def without_place(words: Sequence[str], page: ListenPage) -> tuple[Problem, ...]:
    """A remark that names the words of a list that stand nowhere on its listening page."""
    there = {word.lower() for word, _ in page.things}
    for model, choices in page.matches:
        there |= {word.lower() for word in (model, *choices)}
    left = [word for word in dict.fromkeys(words) if word.lower() not in there]
    if not left:
        return ()
    message = worded("no picture or no room on this page for: {names}", names=", ".join(left))
    hint = "`approx sheet match` has a strip for each"
    return (Problem("listening.left-out", message, hint, fatal=False),)


MOST_POINTED, BESIDE_SORTING = 6, 3
"""Rows of pictures to point to that fit on the listening page below the directions, and below directions and sorting."""


def _pointed_at(found: Listening) -> tuple[tuple[tuple[str, tuple[str, ...]], ...], tuple[tuple[str, str], ...]]:
    """The words to find, each with what the child may point to, and the pictures of those. A child who does not read points to
    pictures, so only words that have one are used, where there are three rows of them; else all words, to be laid out as cards."""
    strips = [(strip.model, strip.choices) for strip in found.strips if strip.kind == "word"]
    signs = {word: picture(word, found.language) or "" for _, choices in strips for word in choices}
    drawn = [(model, tuple(word for word in choices if signs[word])) for model, choices in strips if signs[model]]
    most = BESIDE_SORTING if found.groups else MOST_POINTED
    drawn = [(model, choices) for model, choices in drawn if len(choices) > 1][:most]
    kept = drawn if len(drawn) > 2 else strips
    used = dict.fromkeys(word for _, choices in kept for word in choices if signs[word])
    return tuple(kept), tuple((word, signs[word]) for word in used)


def _steps(steps: int, language: str) -> str:
    return (
        said(language, "listen", "one_step")
        if steps == 1
        else said(language, "listen", "steps", (("steps", str(steps)),))
    )


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
        return None, (Problem("contrast.none", "no two words are homophones for this child today", hint),)
    made = tuple(_pair(pair, language) for pair in pairs)
    sheets = tuple(made[start : start + PAIRS] for start in range(0, len(made), PAIRS))
    return ContrastPage(printing, sheets, language), ()


def _pair(pair: AlikePair, language: str) -> PrintedPair:
    one, other = (
        Card(word, size_of(word), "", language, picture(word, language) or "") for word in (pair.word, pair.other)
    )
    return PrintedPair(one, other, pair.alike_spelled if is_plain(pair.alike_spelled) else "", pair.alike)


def hear_page(
    targets: Sequence[PracticeTarget], printing: Printing, seed: int
) -> tuple[HearPage | None, tuple[Problem, ...]]:
    """The words whose form today differs from the adult's, eight at most, each with an order of its own; None without one."""
    usable = [
        target
        for target in targets
        if target.today_ipa and not reads_as_adult(target) and is_plain(target.today_spelled)
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
    message = worded("{left} {left:word does|words do} not fit on the page and {left:was|were} left out", left=left)
    told = (
        (Problem("hear.many", message, worded("{most_heard} words at most", most_heard=MOST_HEARD), fatal=False),)
        if left > 0
        else ()
    )
    return HearPage(printing, tuple(made), usable[0].language), told
