"""What a page needs of one child to work words out: the profile with the forms chosen since and the child's accents."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from starlette.datastructures import QueryParams

from approx.child.profile import Profile
from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild, StoredChoice
from approx.web.forms.profile_form import profile_of
from approx.web.server.desk import Desk


def profile_now(desk: Desk, child: StoredChild) -> Profile | None:
    """The child's profile; the forms chosen last win. None before any sounds were entered."""
    stored, choices = desk.caseload.profile(child.code), desk.caseload.choices(child.code)
    if stored is None or isinstance(stored, Refused) or isinstance(choices, Refused):
        return None
    return with_record(stored.text, choices, child)


def with_record(text: str, choices: Iterable[StoredChoice], child: StoredChild) -> Profile:
    """A profile with what else the caseload knows of the child: the forms chosen last, and the accents that count as right."""
    profile = profile_of(text)
    chosen = {each.word.lower(): each.ipa for each in choices}
    accent = tuple(dict.fromkeys((*profile.accent, *child.accents)))
    return replace(profile, chosen={**profile.chosen, **chosen}, accent=accent)


def languages_for(child: StoredChild, profile: Profile) -> tuple[str, ...]:
    """Languages that words can be asked in: that of the profile, then the child's others."""
    return tuple(dict.fromkeys((profile.language, *child.languages)))


def number_typed(query: QueryParams, name: str, usual: object) -> object:
    """What stands in a field for a number, as a number where it is one: whether it fits, the function that is asked says.
    `usual`: where nothing stands there."""
    from approx.api.options import typed_number

    text = query.get(name, "").strip()
    return typed_number(text) if text else usual


def without_lines(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems of a field without the lines of a file."""
    return tuple(replace(each, line=None) for each in problems)


def stops(problems: Sequence[Problem]) -> bool:
    """True where one of them is fatal."""
    return any(problem.fatal for problem in problems)
