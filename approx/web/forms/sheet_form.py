"""The form of a sheet as an address has it, and the page that `approx sheet` makes of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from starlette.datastructures import QueryParams

from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild
from approx.web.forms.child_now import profile_now
from approx.web.server.desk import Desk, child_path
from approx.wording import worded

if TYPE_CHECKING:
    from approx.child.profile import Profile
    from approx.practice.suggest.input_targets import ListRow
    from approx.reports.sheets.page_types import Page

MOST_TYPED = 4_000
_NUMBERS = ("minutes", "goal_trials", "seed")
_AS_TYPED = (
    *_NUMBERS, "order", "paper", "language", "date", "next_date", "number", "words_language", "emerging", "allow_rude",
)  # fmt: skip
"""Fields that `sheet` takes by the same name."""


@dataclass(frozen=True, slots=True)
class SheetForm:
    """What was asked, as it was typed. `asked`: a kind was chosen. `words`, `phrases`: ticked; `typed`, `typed_phrases`: typed.
    `minutes`, `goal_trials`, `seed`: the text that stands in the field."""

    asked: bool
    kind: str
    words: tuple[str, ...]
    phrases: tuple[str, ...]
    typed: str
    typed_phrases: str
    language: str
    paper: str
    minutes: str
    goal_trials: str
    order: str
    seed: str
    probe: str
    date: str
    next_date: str
    number: str
    also: str
    emerging: bool
    words_language: str
    allow_rude: bool = False


def sheet_form(query: QueryParams, language: str) -> SheetForm:
    """The form. `language`: of the pages around it, in which a page is made unless another is chosen."""

    def text(name: str, usual: str = "") -> str:
        return query.get(name, "").strip()[:MOST_TYPED] or usual

    return SheetForm(
        bool(text("kind")), text("kind", "family"), _ticked(query, "word"), _ticked(query, "phrase"), text("typed"),
        text("typed_phrases"), text("language", language), text("paper", "letter"), text("minutes"), text("goal_trials"),
        text("order", "blocked"), text("seed", "1"), text("probe"), text("date"), text("next_date"), text("number"),
        text("also"), bool(text("emerging")), text("words_language"), bool(text("allow_rude")),
    )  # fmt: skip


def sheet_of(desk: Desk, child: StoredChild, form: SheetForm) -> tuple[Page | None, tuple[Problem, ...]]:
    """The page that `approx sheet` makes of the same wishes, and what is to be said of it."""
    from approx.api.options import typed_number
    from approx.api.practice.sheets import sheet
    from approx.api.practice.suggesting import typed_words

    profile = profile_now(desk, child)
    if profile is None:
        return None, (_no_sounds(child.code),)
    own = [*_rows(desk, child.code, form.words), *_as_rows(typed_words(form.typed))]
    phrases = [*_as_rows((text, "") for text in form.phrases), *_as_rows(typed_words(form.typed_phrases))]
    profiles, words, problems = [profile], [own or None], list[Problem]()
    for code, _ in typed_words(form.also) if form.kind == "group" else ():
        other = _other(desk, code)
        if isinstance(other, Refused):
            problems += other.problems
        else:
            profiles.append(other[0])
            words.append(other[1])
    typed: dict[str, Any] = {name: getattr(form, name) for name in _AS_TYPED}
    typed |= {name: typed_number(typed[name]) if typed[name] else None for name in _NUMBERS} | {"page": form.kind}
    answer = sheet(
        children=profiles,
        words=words,
        phrases=phrases or None,
        probe=_as_rows(typed_words(form.probe)) or None,
        **typed,
    )
    return None if problems else answer.page, (*problems, *answer.problems)


def with_own_pictures(desk: Desk, child: StoredChild, page: Page, inside_file: bool) -> Page:
    """The page with this child's own pictures: inside a file that carries them, or by the address where the desk has them.

    A page of several children stays as it is, so that none gets the picture of another.
    """
    from approx.reports.sheets.page_types import GroupPage, inside, with_photos

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


def _other(desk: Desk, code: str) -> tuple[Profile, list[ListRow]] | Refused:
    """Another child of the group with the words in work."""
    child = desk.caseload.child(code)
    if isinstance(child, Refused):
        return child
    profile, targets = profile_now(desk, child), desk.caseload.targets(child.code, "active")
    if profile is None or isinstance(targets, Refused):
        return Refused((_no_sounds(child.code),))
    return profile, _as_rows((each.word, each.adult) for each in targets)


def _as_rows(words: Iterable[tuple[str, str]]) -> list[ListRow]:
    return [(word, ipa, 0) for word, ipa in words]


def _rows(desk: Desk, code: str, words: tuple[str, ...]) -> list[ListRow]:
    """Ticked words, with the adult form of those in work."""
    targets = desk.caseload.targets(code)
    adults = {} if isinstance(targets, Refused) else {each.word: each.adult for each in targets}
    return [(word, adults.get(word, ""), 0) for word in words]


def _ticked(query: QueryParams, name: str) -> tuple[str, ...]:
    found = (" ".join(text.split())[:200] for text in query.getlist(name))
    return tuple(dict.fromkeys(text for text in found if text))


def _no_sounds(code: str) -> Problem:
    return Problem(
        "desk.no_sounds",
        worded("no sounds are entered for {code}", code=code),
        "enter the sounds of the inventory first",
    )
