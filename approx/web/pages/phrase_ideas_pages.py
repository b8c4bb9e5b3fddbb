"""Phrases, frames with one open place, and grammar steps for a child; ticked ones go on a sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response

from approx.child.profile import PRONOUNS, Profile
from approx.problems import Problem
from approx.records.database.rows import Refused
from approx.web.forms.child_now import languages_for, profile_now, stops, whole, without_lines
from approx.web.server.desk import Desk

if TYPE_CHECKING:
    from approx.practice.phrases.phrase_types import PhraseAnswer

WHAT = ("phrases", "frames", "grammar")
LENGTHS = (0, 2, 3)
MOST, MOST_TYPED = 60, 4_000


def phrases(desk: Desk, request: Request) -> Response:
    """The form, and what answers it."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    query, profile = request.query_params, profile_now(desk, child)
    typed: dict[str, Any] = {
        name: query.get(name, "")[:MOST_TYPED]
        for name in ("what", "scene", "relation", "grammar", "order", "pronoun", "language")
    }
    typed["what"] = typed["what"] if typed["what"] in WHAT else WHAT[0]
    typed |= {
        "count": whole(query, "count", 1, MOST, 10), "seed": whole(query, "seed", 0, 9_999_999, 0),
        "length": whole(query, "length", 0, 3, 0), "emerging": bool(query.get("emerging")),
    }  # fmt: skip
    if typed["length"] not in LENGTHS:
        typed["length"] = 0
    if profile is None:
        return desk.page(request, "phrases", child=child, typed=typed, profile=None, answer=None)
    # phrases take longer to find than a page to show: the page comes first, and asks for them by itself
    later = not query
    answer, problems = (None, ()) if later else _answer(profile, typed)
    problems = without_lines(problems)
    speech = typed["language"] or profile.language
    if query.get("part"):
        return desk.page(request, "_phrases", child=child, answer=answer, speech=speech, part_problems=problems)
    return desk.page(
        request, "phrases", 422 if stops(problems) else 200, child=child, typed=typed, profile=profile, answer=answer,
        problems=problems, what=WHAT, lengths=LENGTHS, pronouns=PRONOUNS, tongues=languages_for(child, profile),
        speech=speech, later=later, **_fields(speech),
    )  # fmt: skip


def _answer(profile: Profile, typed: dict[str, Any]) -> tuple[PhraseAnswer | None, tuple[Problem, ...]]:
    """What `approx phrases` answers to the same wishes."""
    from approx.api.practice.phrase_ideas import phrases
    from approx.api.practice.suggesting import typed_words

    grammar = " ".join(typed["grammar"].split()) if typed["what"] == "grammar" else ""
    if typed["what"] == "grammar" and not grammar:
        return None, ()
    answer = phrases(
        profile,
        words=typed_words(typed["scene"]) or None,
        frames=typed["what"] == "frames",
        relation="" if grammar else typed["relation"],
        grammar=grammar,
        order=typed["order"] if grammar else "",
        count=typed["count"] if typed["what"] == "phrases" else 0,
        seed=typed["seed"],
        length=0 if grammar else typed["length"],
        language=typed["language"],
        pronoun=typed["pronoun"] if typed["pronoun"] in PRONOUNS else "",
        emerging=typed["emerging"],
    )
    return answer, answer.problems


def _fields(language: str) -> dict[str, Any]:
    """Kinds of phrases and orders of grammar that can be chosen; none in a language without them."""
    from approx.api.choices import grammar_orders, phrase_relations

    return {"relations": phrase_relations(language), "orders": grammar_orders(language)}
