"""The sounds in hand, set by tapping a table of sounds by place and manner, and saved as a profile."""

from __future__ import annotations

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response

from approx.child.profile import STATUSES, VARIETIES, Profile
from approx.records.rows import Child, Conflict, Refused, StoredProfile
from approx.web.desk import Desk, child_path, go
from approx.web.posted import Posted
from approx.web.profile_form import (
    charts,
    clusters_line,
    common_start,
    profile_of,
    profile_toml,
    shape_taps,
    untested,
    vowel_taps,
    with_taps,
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
    return _page(desk, request, child, profile, clusters_line(profile), stored.version if stored else 0)


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
    return _page(desk, request, child, profile, ", ".join(clusters), version, saved)


def _begun(child: Child, stored: StoredProfile | None) -> Profile:
    return profile_of(stored.text) if stored else untested(child.code, child.age, child.languages[0])


def _page(
    desk: Desk, request: Request, child: Child, profile: Profile, clusters: str, version: int,
    refused: Refused | None = None,
) -> Response:  # fmt: skip
    return desk.page(
        request, "sounds", 422 if refused else 200, child=child, charts=charts(profile), vowels=vowel_taps(profile),
        shapes=shape_taps(profile), clusters=clusters, max_syllables=profile.max_syllables, variety=profile.variety,
        varieties=VARIETIES, statuses=STATUSES, version=version, most=MOST_SYLLABLES,
        problems=refused.problems if refused else (),
    )  # fmt: skip
