"""The form of a sheet as an address has it, and the page that it asks for: the same as `approx sheet` makes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.datastructures import QueryParams

from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild
from approx.web.forms.child_now import profile_now, stops
from approx.web.server.desk import DESK_LANGUAGES, Desk, child_path
from approx.wording import worded

if TYPE_CHECKING:
    from approx.practice.session.targets import ChildTargets
    from approx.practice.suggest.input_targets import ListRow
    from approx.reports.sheets.page_types import Page

MOST_TYPED, MOST_PICKED, MOST_CHILDREN = 4_000, 60, 12


@dataclass(frozen=True, slots=True)
class SheetForm:
    """What was asked. `asked`: a kind was chosen. `words`, `phrases`: ticked; `typed`, `typed_phrases`: as typed."""

    asked: bool
    kind: str
    words: tuple[str, ...]
    phrases: tuple[str, ...]
    typed: str
    typed_phrases: str
    language: str
    paper: str
    minutes: int | None
    goal_trials: int | None
    order: str
    seed: int
    probe: str
    date: str
    next_date: str
    number: str
    also: str
    emerging: bool
    words_language: str
    allow_rude: bool = False


def sheet_form(query: QueryParams, language: str) -> SheetForm:
    """The form; a kind, paper or order there is not counts as the first. `language`: of the pages around it."""
    from approx.api.choices import trial_orders
    from approx.reports.sheets.page_types import PAPERS
    from approx.reports.sheets.sheet_page import SHEET_KINDS

    def text(name: str) -> str:
        return query.get(name, "").strip()[:MOST_TYPED]

    def one_of(name: str, known: tuple[str, ...], usual: str) -> str:
        return text(name) if text(name) in known else usual

    def number(name: str) -> int | None:
        typed = text(name)
        return int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 6 else None

    return SheetForm(
        text("kind") in SHEET_KINDS, one_of("kind", SHEET_KINDS, "family"), _ticked(query, "word"), _ticked(query, "phrase"),
        text("typed"), text("typed_phrases"), one_of("language", tuple(DESK_LANGUAGES), language),
        one_of("paper", PAPERS, "letter"), number("minutes"), number("goal_trials"), one_of("order", trial_orders(), "blocked"),
        number("seed") or 1, text("probe"), text("date")[:40], text("next_date")[:40], text("number")[:20],
        text("also"), bool(text("emerging")), text("words_language")[:20],
        bool(text("allow_rude")),
    )  # fmt: skip


def sheet_of(desk: Desk, child: StoredChild, form: SheetForm) -> tuple[Page | None, tuple[Problem, ...]]:
    """The page and what is to be said of it."""
    from approx.api.practice.suggesting import typed_words
    from approx.reports.sheets.sheet_page import SheetRequest, sheet_page

    first, problems = _first(desk, child, form)
    found = [] if first is None else [first]
    if form.kind == "group":
        for code, _ in typed_words(form.also)[:MOST_CHILDREN]:
            other, more = _other(desk, code, form)
            problems = (*problems, *more)
            found += [] if other is None else [other]
    if stops(problems) or first is None:
        return None, problems
    wanted = SheetRequest(
        form.kind, form.minutes, form.goal_trials, form.order, form.seed,
        tuple(word for word, _ in typed_words(form.probe)), form.paper, form.language, form.date, form.next_date,
        form.number, allow_rude=form.allow_rude,
    )  # fmt: skip
    page, remarks = sheet_page(found, wanted)
    return page, (*problems, *remarks)


def with_own_pictures(desk: Desk, child: StoredChild, page: Page, inside_file: bool) -> Page:
    """The page with this child's own pictures: inside a file that carries them, or by the address where the desk has them.

    A page of several children stays as it is, so that none gets the picture of another.
    """
    from approx.reports.sheets.page_types import GroupPage
    from approx.reports.sheets.photos import inside, with_photos

    if isinstance(page, GroupPage):
        return page
    if inside_file:
        images = desk.caseload.picture_images(child.code)
        return (
            page
            if isinstance(images, Refused)
            else with_photos(page, {word: inside(each) for word, each in images.items()})
        )
    mine = desk.caseload.pictures(child.code)
    if isinstance(mine, Refused):
        return page
    home = child_path(child.code, "picture")
    return with_photos(page, {each.word.casefold(): f"{home}/{each.id}.jpg" for each in mine})


def _first(desk: Desk, child: StoredChild, form: SheetForm) -> tuple[ChildTargets | None, tuple[Problem, ...]]:
    """The child's ticked and typed words and phrases; nothing named: eight chosen for this child."""
    from approx.api.practice.sheets import child_targets
    from approx.api.practice.suggesting import typed_words

    profile = profile_now(desk, child)
    if profile is None:
        return None, (_no_sounds(child.code),)
    words = [*_rows(desk, child.code, form.words), *_as_rows(typed_words(form.typed))]
    phrases = [*_as_rows((text, "") for text in form.phrases), *_as_rows(typed_words(form.typed_phrases))]
    return child_targets(
        profile, words or None, phrases or None, seed=form.seed, kind=form.kind, language=form.words_language,
        emerging=form.emerging,
    )  # fmt: skip


def _other(desk: Desk, code: str, form: SheetForm) -> tuple[ChildTargets | None, tuple[Problem, ...]]:
    """Another child of the group with the words in work."""
    from approx.api.practice.sheets import child_targets

    child = desk.caseload.child(code)
    if isinstance(child, Refused):
        return None, child.problems
    profile, targets = profile_now(desk, child), desk.caseload.targets(child.code, "active")
    if profile is None or isinstance(targets, Refused):
        return None, (_no_sounds(child.code),)
    return child_targets(
        profile, _as_rows((each.word, each.adult) for each in targets), [], language=form.words_language,
        emerging=form.emerging,
    )  # fmt: skip


def _as_rows(words: Iterable[tuple[str, str]]) -> list[ListRow]:
    return [(word, ipa, 0) for word, ipa in words]


def _rows(desk: Desk, code: str, words: tuple[str, ...]) -> list[ListRow]:
    """Ticked words, with the adult form of those in work."""
    targets = desk.caseload.targets(code)
    adults = {} if isinstance(targets, Refused) else {each.word: each.adult for each in targets}
    return [(word, adults.get(word, ""), 0) for word in words]


def _ticked(query: QueryParams, name: str) -> tuple[str, ...]:
    found = (" ".join(text.split())[:200] for text in query.getlist(name)[:MOST_PICKED])
    return tuple(dict.fromkeys(text for text in found if text))


def _no_sounds(code: str) -> Problem:
    return Problem(
        "desk.no_sounds",
        worded("no sounds are entered for {code}", code=code),
        "enter the sounds of the inventory first",
    )
