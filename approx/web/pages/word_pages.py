"""Words for a child: ranked or as a set, with why each is there; ticked words become words in work or go on a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from approx.child.profile import Profile
from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild
from approx.web.forms.child_now import languages_for, number_typed, profile_now, stops, without_lines
from approx.web.server.desk import Desk, Texts, child_path
from approx.web.server.posted import Posted

if TYPE_CHECKING:
    from approx.api.practice.word_choice import ChosenWords
    from approx.practice.words.word_choice import WordChoice

_NUMBERS = {"count": 12, "set": 0, "seed": 1, "new": 1}
"""Fields for numbers, each with what stands there at first."""
_TEXTS = ("shape", "sound", "new_sound", "goal", "exclude", "own", "interest", "pos", "order", "language")
_TICKS = ("picturable", "contrast", "emerging")
MOST_TYPED = 4_000


def words(desk: Desk, request: Request) -> Response:
    """The form of wishes, and the words that answer it."""
    child = desk.caseload.child(request.path_params["code"])
    return desk.refused(request, child) if isinstance(child, Refused) else _page(desk, request, child)


def take(desk: Desk, request: Request, form: Posted) -> Response:
    """Ticked words: into work, or on to the page of sheets."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    picked = [(*each.split("\t"), "", "")[:3] for each in form.every("pick") if each.strip()]
    if not picked:
        problem = Problem("desk.none_picked", "no word was ticked", "tick the words, then choose what to do with them")
        return _page(desk, request, child, (problem,), form.text("back"))
    if form.text("do") == "sheet":
        query = urlencode([("word", word) for word, _, _ in picked])
        return RedirectResponse(f"{child_path(child.code, 'sheets')}?{query}", 303)
    known = desk.caseload.targets(child.code)
    there = set() if isinstance(known, Refused) else {target.word.casefold() for target in known}
    problems: list[Problem] = []
    for word, adult, today in picked:
        if word.casefold() not in there:
            added = desk.caseload.add_target(child.code, word, adult, form=today)
            problems += added.problems if isinstance(added, Refused) else ()
            there.add(word.casefold())
    if problems:
        return _page(desk, request, child, problems, form.text("back"))
    kept = [(name, value) for name, value in parse_qsl(form.text("back")) if name not in ("said", "undo")]
    return RedirectResponse(f"{child_path(child.code, 'words')}?{urlencode([*kept, ('said', 'words_added')])}", 303)


def _page(
    desk: Desk, request: Request, child: StoredChild, refused: tuple[Problem, ...] | list[Problem] = (), back: str | None = None
) -> Response:  # fmt: skip
    query = request.query_params if back is None else QueryParams(back)
    profile = profile_now(desk, child)
    typed: dict[str, Any] = {name: query.get(name, "")[:MOST_TYPED] for name in _TEXTS}
    typed |= {name: bool(query.get(name)) for name in _TICKS} | {"category": query.getlist("category")}
    typed |= {name: query.get(name, "").strip() or str(usual) for name, usual in _NUMBERS.items()}
    shown: dict[str, Any] = {"child": child, "typed": typed, "profile": profile, "query": str(query)}
    if profile is None:
        return desk.page(request, "words", 422 if refused else 200, **shown, choice=None, problems=refused)
    answer = _answer(profile, typed | {name: number_typed(query, name, usual) for name, usual in _NUMBERS.items()})
    choice = None if stops(answer.problems) and not answer.bank_size else answer
    texts, tongues = desk.texts(request), languages_for(child, profile)
    speech = typed["language"] if typed["language"] in tongues else profile.language
    fields = _fields(speech, texts)
    targets = desk.caseload.targets(child.code)
    practised = set() if isinstance(targets, Refused) else {target.word.casefold() for target in targets}
    problems = (*refused, *without_lines(answer.problems))
    return desk.page(
        request, "words", 422 if refused or stops(problems) else 200, **shown, choice=choice, **fields,
        sections=_sections(choice), tongues=[(tag, tag) for tag in tongues], practised=practised, problems=problems,
        speech=speech, marks=_marks(choice, profile),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class WordMarks:
    """`heard`: today's form was heard from this child; `heard_on`: when, "" where it is not known."""

    heard: bool
    heard_on: str


def _marks(choice: WordChoice | None, profile: Profile) -> dict[str, WordMarks]:
    """The marks of each word shown, by word."""
    out = {}
    for word in () if choice is None else (*choice.words, *choice.out_of_reach):
        mine = profile.heard.get(word.word.lower())
        heard = mine is not None and mine.form == word.today
        out[word.word] = WordMarks(heard, mine.date if mine and heard else "")
    return out


def _answer(profile: Profile, typed: dict[str, Any]) -> ChosenWords:
    """What `approx words` answers to the same wishes."""
    from approx.api.practice.suggesting import typed_words
    from approx.api.practice.word_choice import words

    return words(
        profile,
        count=typed["count"],
        set_size=typed["set"],
        seed=typed["seed"],
        new=typed["new"],
        order=typed["order"],
        category=typed["category"],
        pos=typed["pos"],
        shape=typed["shape"],
        sound=typed["sound"],
        new_sound=typed["new_sound"],
        exclude=[word for word, _ in typed_words(typed["exclude"])],
        goal=typed["goal"],
        own=typed_words(typed["own"]),
        interest=typed["interest"],
        picturable=typed["picturable"],
        contrast=typed["contrast"],
        language=typed["language"],
        emerging=typed["emerging"],
    )


def _fields(language: str, say: Texts) -> dict[str, Any]:
    """What can be chosen in the form, each with its name on the page."""
    from approx.api.options import word_kinds, word_orders
    from approx.reports.report_words import wording

    categories, parts = word_kinds(language)
    names, speech = wording(say.language)["categories"], say.section("speech")
    return {
        "categories": sorted((names.get(category, category), category) for category in categories),
        "parts": [("", say("words.any")), *((part, speech.get(part, part)) for part in parts)],
        "orders": [("", say("words.order_none")), *((order, say(f"words.order_{order}")) for order in word_orders())],
    }


def _sections(choice: WordChoice | None) -> list[tuple[int, int, list[Any]]]:
    """(new things, how many there are, the words shown) in order of what is new."""
    if choice is None:
        return []
    passing = dict(choice.passing)
    groups: dict[int, list[Any]] = {}
    for word in choice.words:
        groups.setdefault(len(word.things), []).append(word)
    return [(new, passing.get(new, len(found)), found) for new, found in sorted(groups.items())]
