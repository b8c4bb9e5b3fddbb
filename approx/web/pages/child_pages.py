"""One child: what is known, the forms chosen, the ways to everything else, and the page on which the inventory is tapped.

The page shows sounds by place and manner; what is tapped is saved as a profile.
"""

from __future__ import annotations

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response

from approx.child.profile import STATUSES, VARIETIES, Profile
from approx.ipa.language import language
from approx.records.database.rows import Conflict, Refused, StoredChild, StoredProfile
from approx.records.tables.checks import today
from approx.web.forms.profile_form import (  # fmt: skip
    TypedLines,
    accents_chosen,
    accents_for,
    charts,
    common_start,
    in_hand,
    profile_of,
    profile_toml,
    shape_taps,
    typed_in,
    typed_lines,
    untested_profile,
    vowel_taps,
    with_taps,
)
from approx.web.pages.caseload_pages import CHILD_LANGUAGES, languages_of, unknown_varieties
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
    unknown = unknown_varieties(form)
    saved = Refused(unknown) if unknown else desk.caseload.save_child(changed)
    if isinstance(saved, Conflict) and isinstance(saved.current, StoredChild):
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
    desk: Desk, request: Request, shown: StoredChild, refused: Refused | None = None, now: StoredChild | None = None
) -> Response:
    """`shown` fills the form; `now` is what another window has saved meanwhile, to be seen beside it."""
    code = request.path_params["code"]
    stored, choices = desk.caseload.profile(code), desk.caseload.choices(code)
    targets, sessions, probes = desk.caseload.targets(code), desk.caseload.sessions(code), desk.caseload.probes(code)
    if isinstance(stored, Refused):
        return desk.refused(request, stored)
    if isinstance(choices, Refused):
        return desk.refused(request, choices)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    if isinstance(sessions, Refused):
        return desk.refused(request, sessions)
    if isinstance(probes, Refused):
        return desk.refused(request, probes)
    profile = profile_of(stored.text) if stored else None
    steps = (
        _sounds_step(desk, code, stored is not None),
        ("words", child_path(code, "phrase"), any(each.state == "active" for each in targets)),
        ("visit", child_path(code, "sessions"), bool(sessions)),
        ("probe", child_path(code, "progress"), bool(probes)),
    )
    return desk.page(
        request, "child", 422 if refused else 200, child=shown, now=now, stored=stored, targets=targets,
        chosen={each.word.lower(): each for each in choices}, sessions=sessions, steps=steps,
        steps_left=not all(done for _, _, done in steps), established=_established(profile, shown),
        open_session=next((each for each in sessions if each.date == today()), None),
        last_probe=max(probes, key=lambda each: (each.session, each.treated), default=None),
        child_languages=CHILD_LANGUAGES, accents=accents_for(shown), have=in_hand(profile) if profile else [],
        problems=(*(refused.problems if refused else ()), *shown.remarks),
    )  # fmt: skip


def _sounds_step(desk: Desk, code: str, done: bool) -> tuple[str, str, bool]:
    """The step to an inventory: from a sample, where one waits to be looked at."""
    sample = None if done else desk.last_sample(code)
    if sample is None:
        return "sound", child_path(code, "sounds"), done
    return "sample", f"/sample/{sample.id}/sounds", done


def _established(profile: Profile | None, child: StoredChild) -> tuple[int, int]:
    """(consonants established at the start of a word, consonants of the language that can begin one)."""
    known = language(child.languages[0])
    first = dict(profile.consonants.get("initial", {})) if profile else {}
    return sum(status == "established" for status in first.values()), len({*known.consonants_at("initial"), *first})


def history(desk: Desk, request: Request) -> Response:
    """What was: inventories, forms chosen, what was deleted in the last day."""
    return _history_page(desk, request)


def _history_page(desk: Desk, request: Request, refused: Refused | None = None) -> Response:
    code = request.path_params["code"]
    child, profiles = desk.caseload.child(code), desk.caseload.profile_history(code)
    choices, gone = desk.caseload.choice_history(code), desk.caseload.deleted(code)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if isinstance(profiles, Refused):
        return desk.refused(request, profiles)
    if isinstance(choices, Refused):
        return desk.refused(request, choices)
    if isinstance(gone, Refused):
        return desk.refused(request, gone)
    return desk.page(
        request, "history", 409 if refused else 200, child=child, problems=refused.problems if refused else (), profiles=[(each, in_hand(profile_of(each.text))) for each in profiles],
        choices=tuple(reversed(choices)), gone=gone,
    )  # fmt: skip


def restore_profile(desk: Desk, request: Request, form: Posted) -> Response:
    """An older inventory saved anew, so that it is the present one; nothing of the history is lost."""
    code = request.path_params["code"]
    profiles = desk.caseload.profile_history(code)
    if isinstance(profiles, Refused):
        return desk.refused(request, profiles)
    old = next((each for each in profiles if each.version == form.number("number")), None)
    if old is None:
        return desk.page(request, "missing", 404)
    source = desk.texts(request)("history.restored", number=old.version, date=old.date)
    saved = desk.caseload.save_profile(code, old.text, form.number("version") or 0, source)
    if isinstance(saved, Refused):
        return _history_page(desk, request, saved)
    return go(child_path(code, "history"), "sounds_saved")


def delete_choice(desk: Desk, request: Request, form: Posted) -> Response:
    """Put away a form that was chosen by mistake; the one before it counts again."""
    mine = desk.caseload.choice_history(request.path_params["code"])
    return desk.put_away(request, mine, request.path_params["choice_id"], desk.caseload.delete_choice, "history")


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
    return _sounds_page(desk, request, child, profile, typed_lines(profile), stored.version if stored else 0)


def save(desk: Desk, request: Request, form: Posted) -> Response:
    """Save the table as the child's profile, unless it was saved meanwhile in another window."""
    code = request.path_params["code"]
    child, stored = desk.caseload.child(code), desk.caseload.profile(code)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if isinstance(stored, Refused):
        return desk.refused(request, stored)
    version = form.number("version") or 0
    begun = _begun(child, stored)
    typed, profile = typed_in(form, typed_lines(begun)), with_taps(begun, form)
    profile = replace(profile, code=child.code, age=child.age or profile.age)
    source = desk.texts(request)("sounds.source")
    if wrong := typed.problems():
        return _sounds_page(desk, request, child, profile, typed, version, Refused(wrong))
    saved = desk.caseload.save_profile(code, profile_toml(profile, typed), version, source)
    if not isinstance(saved, Refused):
        return go(child_path(child.code), "sounds_saved")
    if isinstance(saved, Conflict) and isinstance(saved.current, StoredProfile):
        version = saved.current.version  # what was tapped stays; to save it now is to decide against the other
    return _sounds_page(desk, request, child, profile, typed, version, saved)


def _begun(child: StoredChild, stored: StoredProfile | None) -> Profile:
    return profile_of(stored.text) if stored else untested_profile(child.code, child.age, child.languages[0])


def _sounds_page(
    desk: Desk, request: Request, child: StoredChild, profile: Profile, typed: TypedLines, version: int,
    refused: Refused | None = None,
) -> Response:  # fmt: skip
    return desk.page(
        request, "sounds", 422 if refused else 200, child=child, charts=charts(profile), vowels=vowel_taps(profile),
        shapes=shape_taps(profile), typed=typed, max_syllables=profile.max_syllables, variety=profile.variety,
        varieties=VARIETIES, statuses=STATUSES, version=version, most=MOST_SYLLABLES,
        problems=refused.problems if refused else (),
    )  # fmt: skip
