"""Phrases: what a child can say of one today, with forms, why, ladder, clashes, and a form chosen with a reason; and ideas for
phrases, frames with one open place and grammar steps, of which ticked ones go on a sheet.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response

from approx.child.profile import PRONOUNS, Profile
from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild
from approx.web.forms.child_now import languages_for, number_typed, profile_now, stops, with_record, without_lines
from approx.web.server.desk import Desk, Texts, child_path, go
from approx.web.server.posted import Posted
from approx.wording import worded

if TYPE_CHECKING:
    from approx.practice.phrases.phrase_types import PhraseAnswer
    from approx.practice.suggest.answer import Answer

LONGEST_PHRASE = 300
WHAT = ("phrases", "frames", "grammar")
_NUMBERS = {"count": 10, "seed": 0, "length": 0}
"""Fields for numbers, each with what stands there at first."""
MOST_TYPED = 4_000


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
        profile = with_record(stored.text, choices, child)
        answer = _answer(profile, emerging, short, typed[:LONGEST_PHRASE])
    return shown | {
        "has_profile": stored is not None,
        "answer": answer,
        "seen": {choice.word.casefold(): choice for choice in choices},
        "practised": {target.word.casefold() for target in targets},
        "speech": child.languages[0],
        "too_long": len(typed) > LONGEST_PHRASE,
    }


def _answer(profile: Profile, emerging: bool, short: bool, phrase: str) -> Answer:
    """The answer for the profile with the forms chosen since it was made."""
    from approx.api.practice.suggesting import suggest

    return suggest(phrase, profile, emerging=emerging, short=short)


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
    answer, problems = (None, ()) if later else _ideas(profile, asked, speech)
    problems = without_lines(problems)
    if query.get("part"):
        return desk.page(request, "_phrases", child=child, answer=answer, speech=speech, part_problems=problems)
    return desk.page(
        request, "phrases", 422 if stops(problems) else 200, child=child, typed=typed, profile=profile, answer=answer,
        problems=problems, what=WHAT, tongues=[(tag, tag) for tag in tongues], speech=speech, later=later,
        **_choices(speech, desk.texts(request)),
    )  # fmt: skip


def _ideas(profile: Profile, typed: dict[str, Any], speech: str) -> tuple[PhraseAnswer | None, tuple[Problem, ...]]:
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


def _choices(language: str, say: Texts) -> dict[str, Any]:
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
