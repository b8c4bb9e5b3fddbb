"""The sounds in hand, set by tapping a table of sounds by place and manner, and saved as a profile.

One child: what is known, what is in hand, the forms chosen, and the ways to everything else.
"""

from __future__ import annotations

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response

from approx.child.profile import STATUSES, VARIETIES, Profile
from approx.records.database.rows import Child, Conflict, Refused, StoredProfile
from approx.web.forms.profile_form import (  # fmt: skip
    accents_chosen,
    accents_for,
    charts,
    clusters_line,
    common_start,
    in_hand,
    profile_of,
    profile_toml,
    shape_taps,
    untested,
    vowel_taps,
    with_taps,
)
from approx.web.pages.caseload_pages import CHILD_LANGUAGES, languages_of
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted


def child(desk: Desk, request: Request) -> Response:
    """The child's own page."""
    found = desk.caseload.child(request.path_params["code"])
    return desk.refused(request, found) if isinstance(found, Refused) else _page(desk, request, found)


def save_facts(desk: Desk, request: Request, form: Posted) -> Response:
    """Age, languages, varieties, note. A change made meanwhile in another window is shown, not lost."""
    found = desk.caseload.child(request.path_params["code"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    changed = replace(
        found, version=form.number("version") or 0, age=form.text("age").replace(":", ";"),
        age_on=found.age_on if form.text("age") == found.age else "", birth_month=form.text("birth_month"),
        languages=languages_of(form, found.languages),
        accents=tuple(accents_chosen(form.every("accents"), found)), note=form.raw("note"),
    )  # fmt: skip
    saved = desk.caseload.save_child(changed)
    if isinstance(saved, Conflict) and isinstance(saved.current, Child):
        return _page(desk, request, replace(changed, version=saved.current.version), saved, saved.current)
    if isinstance(saved, Refused):
        return _page(desk, request, changed, saved)
    return go(child_path(saved.code), "saved")


def ask_delete(desk: Desk, request: Request) -> Response:
    """A question before a child is put away."""
    found = desk.caseload.child(request.path_params["code"])
    if isinstance(found, Refused):
        return desk.refused(request, found)
    return desk.page(request, "delete", child=found)


def delete(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a child away, which can be undone for a day; or for good, with the code typed once more."""
    code = request.path_params["code"]
    if not form.ticked("for_good"):
        away = desk.caseload.delete_child(code)
        return desk.refused(request, away, 409) if isinstance(away, Refused) else go("/", "deleted", away.token)
    found = desk.caseload.child(code)
    if isinstance(found, Refused):
        return desk.refused(request, found)
    if form.text("again") != found.code:
        return desk.page(request, "delete", 422, child=found, other_code=True)
    erased = desk.caseload.delete_child_for_good(code)
    return desk.refused(request, erased, 409) if isinstance(erased, Refused) else go("/", "erased")


def _page(
    desk: Desk, request: Request, shown: Child, refused: Refused | None = None, now: Child | None = None
) -> Response:
    """`shown` fills the form; `now` is what another window has saved meanwhile, to be seen beside it."""
    code = request.path_params["code"]
    stored, choices = desk.caseload.profile(code), desk.caseload.choices(code)
    targets, samples = desk.caseload.targets(code), desk.caseload.samples(code)
    sessions, history = desk.caseload.sessions(code), desk.caseload.profile_history(code)
    for answer in (stored, choices, targets, samples, sessions, history):
        if isinstance(answer, Refused):
            return desk.refused(request, answer)
    assert not isinstance(stored, Refused)  # told to the type checker: the loop above has looked
    return desk.page(
        request, "child", 422 if refused else 200, child=shown, now=now, stored=stored, choices=choices, targets=targets,
        samples=samples, sessions=sessions, history=history, child_languages=CHILD_LANGUAGES,
        accents=accents_for(shown), have=in_hand(profile_of(stored.text)) if stored else [],
        problems=(*(refused.problems if refused else ()), *shown.remarks),
    )  # fmt: skip


MOST_SYLLABLES = 9


def sounds(desk: Desk, request: Request) -> Response:
    """The table as it stands, or one to begin with."""
    code = request.path_params["code"]
    child, stored = desk.caseload.child(code), desk.caseload.profile(code)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if isinstance(stored, Refused):
        return desk.refused(request, stored)
    profile = _begun(child, stored)
    if stored is None and request.query_params.get("start") == "common":
        profile = common_start(child.code, child.languages[0])
    return _sounds_page(desk, request, child, profile, clusters_line(profile), stored.version if stored else 0)


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """Save the table as the child's profile, unless it was saved meanwhile in another window."""
    code = request.path_params["code"]
    child, stored = desk.caseload.child(code), desk.caseload.profile(code)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if isinstance(stored, Refused):
        return desk.refused(request, stored)
    version = form.number("version") or 0
    profile, clusters = with_taps(_begun(child, stored), form)
    profile = replace(profile, code=child.code, age=child.age or profile.age)
    source = desk.texts(request)("sounds.source")
    saved = desk.caseload.save_profile(code, profile_toml(profile, clusters), version, source)
    if not isinstance(saved, Refused):
        return go(child_path(child.code), "sounds_saved")
    if isinstance(saved, Conflict) and isinstance(saved.current, StoredProfile):
        version = saved.current.version  # what was tapped stays; to save it now is to decide against the other
    return _sounds_page(desk, request, child, profile, ", ".join(clusters), version, saved)


def _begun(child: Child, stored: StoredProfile | None) -> Profile:
    return profile_of(stored.text) if stored else untested(child.code, child.age, child.languages[0])


def _sounds_page(
    desk: Desk, request: Request, child: Child, profile: Profile, clusters: str, version: int,
    refused: Refused | None = None,
) -> Response:  # fmt: skip
    return desk.page(
        request, "sounds", 422 if refused else 200, child=child, charts=charts(profile), vowels=vowel_taps(profile),
        shapes=shape_taps(profile), clusters=clusters, max_syllables=profile.max_syllables, variety=profile.variety,
        varieties=VARIETIES, statuses=STATUSES, version=version, most=MOST_SYLLABLES,
        problems=refused.problems if refused else (),
    )  # fmt: skip
