"""Phrases, frames with one open place, and grammar steps for a child; ticked ones go on a sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response

from approx.child.profile import PRONOUNS, Profile
from approx.problems import Problem
from approx.records.database.rows import Refused
from approx.web.forms.child_now import languages_for, number_typed, profile_now, stops, without_lines
from approx.web.server.desk import Desk, Texts

if TYPE_CHECKING:
    from approx.practice.phrases.phrase_types import PhraseAnswer

WHAT = ("phrases", "frames", "grammar")
_NUMBERS = {"count": 10, "seed": 0, "length": 0}
"""Fields for numbers, each with what stands there at first."""
MOST_TYPED = 4_000


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
    typed["what"] = typed["what"] or WHAT[0]
    if typed["what"] not in WHAT:
        return desk.page(request, "missing", 404)
    typed |= {name: query.get(name, "").strip() or str(usual) for name, usual in _NUMBERS.items()}
    typed["emerging"] = bool(query.get("emerging"))
    if profile is None:
        return desk.page(request, "phrases", child=child, typed=typed, profile=None, answer=None)
    # phrases take longer to find than a page to show: the page comes first, and asks for them by itself
    later = not query
    asked = typed | {name: number_typed(query, name, usual) for name, usual in _NUMBERS.items()}
    tongues = languages_for(child, profile)
    speech = typed["language"] if typed["language"] in tongues else profile.language
    answer, problems = (None, ()) if later else _answer(profile, asked, speech)
    problems = without_lines(problems)
    if query.get("part"):
        return desk.page(request, "_phrases", child=child, answer=answer, speech=speech, part_problems=problems)
    return desk.page(
        request, "phrases", 422 if stops(problems) else 200, child=child, typed=typed, profile=profile, answer=answer,
        problems=problems, what=WHAT, tongues=[(tag, tag) for tag in tongues], speech=speech, later=later,
        **_fields(speech, desk.texts(request)),
    )  # fmt: skip


def _answer(profile: Profile, typed: dict[str, Any], speech: str) -> tuple[PhraseAnswer | None, tuple[Problem, ...]]:
    """What `approx phrases` answers to the same wishes. The form has fields that only one kind of answer needs: what stands
    in another's is asked for only where it is no value at all, and so refused."""
    from approx.api.options import PHRASE_LENGTHS, grammar_orders, number_problem, phrase_relations
    from approx.api.practice.phrase_ideas import phrases
    from approx.api.practice.suggesting import typed_words

    grammar = " ".join(typed["grammar"].split()) if typed["what"] == "grammar" else ""
    if typed["what"] == "grammar" and not grammar:
        return None, ()
    relations = [name for name, _ in phrase_relations(speech)]
    needless = {
        "relation": grammar and typed["relation"] in relations,
        "order": not grammar and typed["order"] in grammar_orders(speech),
        "length": grammar and typed["length"] in PHRASE_LENGTHS,
        "count": typed["what"] != "phrases" and not number_problem("phrases.count", typed["count"]),
    }
    asked = {name: typed[name] for name in ("relation", "order", "length", "count") if not needless[name]}
    answer = phrases(
        profile,
        words=typed_words(typed["scene"]) or None,
        frames=typed["what"] == "frames",
        grammar=grammar,
        seed=typed["seed"],
        language=typed["language"],
        pronoun=typed["pronoun"],
        emerging=typed["emerging"],
        **asked,
    )
    return answer, answer.problems


def _fields(language: str, say: Texts) -> dict[str, Any]:
    """What can be chosen in the form, each with its name on the page; no orders in a language without grammar."""
    from approx.api.options import PHRASE_LENGTHS, grammar_orders, phrase_relations

    relations, orders = say.section("relation"), say.section("grammar_order")
    return {
        "relations": [
            ("", say("phrases.mixed")),
            *((name, relations.get(name, name.replace("-", " "))) for name, _ in phrase_relations(language)),
        ],
        "orders": [(name, orders.get(name, name)) for name in grammar_orders(language)],
        "lengths": [(str(length), length or say("words.any")) for length in PHRASE_LENGTHS],
        "pronouns": [("", say("phrases.pronoun_own")), *((each, say(f"phrases.pronoun_{each}")) for each in PRONOUNS)],
    }
