"""A phrase, and what this child can say of it today: forms, why, ladder, clashes; a form chosen, with a reason."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response

from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild, StoredChoice
from approx.web.forms.profile_form import profile_of
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted
from approx.wording import worded

if TYPE_CHECKING:
    from approx.practice.suggest.answer import Answer

LONGEST_PHRASE = 300


def phrase(desk: Desk, request: Request) -> Response:
    """The page with its field, and the answer if a phrase was sent: it works without script too."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    return desk.page(request, "phrase", child=child, **_asked(desk, request, child))


def answer_part(desk: Desk, request: Request) -> Response:
    """The answer alone, for a page that asks while the phrase is typed."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    return desk.page(request, "_answer", child=child, **_asked(desk, request, child))


def choose(desk: Desk, request: Request, form: Posted) -> Response:
    """A form chosen or overruled; with the box ticked, the word becomes one to practice. The page stays where it is."""
    code = request.path_params["code"]
    child = desk.caseload.child(code)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    refused = _chosen(desk, child, form)
    phrase, emerging, short = form.text("phrase"), form.ticked("emerging"), form.ticked("short")
    if refused is None and not form.ticked("part"):
        asked = {name: "on" for name, on in (("emerging", emerging), ("short", short)) if on}
        return go(child_path(child.code, "phrase"), "form_chosen", phrase=phrase, **asked)
    shown = _shown(desk, child, phrase, emerging, short)
    if refused is None:
        shown["chosen_now"] = form.text("word")
    else:
        shown |= {
            "wrong_word": form.text("word").casefold(), "problems": refused.problems, "kept_own": form.text("own_ipa"),
            "kept_reason": form.text("reason"),
        }  # fmt: skip
    page = "_answer" if form.ticked("part") else "phrase"
    return desk.page(request, page, 422 if refused else 200, child=child, **shown)


def _chosen(desk: Desk, child: StoredChild, form: Posted) -> Refused | None:
    """Keep the choice and, where it is wanted, the word for therapy."""
    word, adult = form.text("word"), form.text("adult")
    own, ladder = form.text("own_ipa"), form.every("ladder")
    ipa = own or form.text("ipa")
    if own and not form.text("reason"):
        problem = Problem(
            "desk.reason", worded("a form of your own for '{word}' needs a reason", word=word), "a few words will do"
        )
        return Refused((problem,))
    rung, of = (ladder.index(ipa) + 1, len(ladder)) if ipa in ladder else (None, None)
    chosen = desk.caseload.choose_form(
        child.code, word, ipa, form.text("reason"), rung=rung, of=of, seen=form.number("seen")
    )
    if isinstance(chosen, Refused):
        return chosen
    if form.ticked("practise"):
        targets = desk.caseload.targets(child.code)
        known = () if isinstance(targets, Refused) else [target.word.casefold() for target in targets]
        if word.casefold() not in known:
            added = desk.caseload.add_target(child.code, word, adult)
            if isinstance(added, Refused):
                return added
    return None


def _asked(desk: Desk, request: Request, child: StoredChild) -> dict[str, Any]:
    query = request.query_params
    return _shown(desk, child, query.get("phrase", ""), bool(query.get("emerging")), bool(query.get("short")))


def _shown(desk: Desk, child: StoredChild, phrase: str, emerging: bool, short: bool) -> dict[str, Any]:
    typed = " ".join(phrase.split())
    shown: dict[str, Any] = {"typed": typed[:LONGEST_PHRASE], "emerging": emerging, "short": short}
    stored = desk.caseload.profile(child.code)
    choices = desk.caseload.choices(child.code)
    targets = desk.caseload.targets(child.code)
    if isinstance(stored, Refused) or isinstance(choices, Refused) or isinstance(targets, Refused):
        return shown | {"has_profile": False, "answer": None, "seen": {}, "practised": (), "speech": ""}
    answer = None
    if stored is not None and typed:
        answer = _answer(stored.text, choices, emerging, short, typed[:LONGEST_PHRASE])
    return shown | {
        "has_profile": stored is not None,
        "answer": answer,
        "seen": {choice.word.casefold(): choice for choice in choices},
        "practised": {target.word.casefold() for target in targets},
        "speech": child.languages[0],
        "too_long": len(typed) > LONGEST_PHRASE,
    }


def _answer(text: str, choices: tuple[StoredChoice, ...], emerging: bool, short: bool, phrase: str) -> Answer:
    """The answer for the profile with the forms chosen since it was made."""
    from approx.api.practice.suggesting import suggest

    profile = profile_of(text)
    chosen = {choice.word.lower(): choice.ipa for choice in choices}
    return suggest(phrase, replace(profile, chosen={**profile.chosen, **chosen}), emerging=emerging, short=short)
