"""Samples: pasted from a spreadsheet, uploaded or typed; each with its analysis, from which a profile can be taken."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TypedDict

from starlette.requests import Request
from starlette.responses import Response

from approx.ipa import read
from approx.ipa.language import language
from approx.problems import Problem
from approx.records.database.rows import Child, Refused, StoredSample
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted

ROWS = 12
HEADINGS = {"": None, "word": ("target_word", "produced_ipa"), "both": ("target_word", "target_ipa", "produced_ipa")}
"""What stands in the columns of a pasted list: its own heading, or one of these."""

_MARKS = ("ˈ", "ˌ", ".", "∅", "ʔ", "ɾ", "β", "ɸ", "x", "ɬ", "s̪", "ɣ", "ʲ", "ʰ", "̃", "ː")


class _About(TypedDict):
    """What is said of a sample beside its rows."""

    date: str
    title: str
    note: str


def samples(desk: Desk, request: Request) -> Response:
    """The samples of a child, and three ways to enter one."""
    child = desk.caseload.child(request.path_params["code"])
    return desk.refused(request, child) if isinstance(child, Refused) else _page(desk, request, child)


def add(desk: Desk, request: Request, form: Posted) -> Response:
    """Keep a sample. Nothing typed is lost where it is refused."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    kept = _kept(desk, child, form)
    if isinstance(kept, Refused):
        return _page(desk, request, child, form, kept)
    return go(f"/sample/{kept.info.id}", "sample_saved")


def analysis(desk: Desk, request: Request) -> Response:
    """The page of one sample: what was typed and read, scores, changes, what the child has."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    from approx.web.forms.sample_analysis import analysis as analyse

    profile = desk.caseload.profile(child.code)
    found = analyse(stored, child)
    version = 0 if profile is None or isinstance(profile, Refused) else profile.version
    return desk.page(
        request, "sample", child=child, sample=stored, body=found.body, version=version, problems=found.problems
    )


def accept_profile(desk: Desk, request: Request, form: Posted) -> Response:
    """What was heard becomes the child's profile; the one before it stays in the history."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    from approx.web.forms.sample_analysis import profile_from

    text = profile_from(stored, child)
    if text is None:
        return desk.refused(request, Refused((Problem("sample.none", "nothing was heard in this sample"),)), 422)
    source = desk.texts(request)("sample.source", date=stored.info.date)
    saved = desk.caseload.save_profile(child.code, text, form.number("version") or 0, source)
    if isinstance(saved, Refused):
        return desk.refused(request, saved, 409)
    return go(child_path(child.code, "sounds"), "profile_taken")


def delete(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a sample away; it can be brought back."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    away = desk.caseload.delete_sample(stored.info.id)
    if isinstance(away, Refused):
        return desk.refused(request, away, 409)
    return go(child_path(child.code, "samples"), "deleted", away.token)


def read_part(desk: Desk, request: Request) -> Response:
    """How a typed form is read, for a page that asks while it is typed."""
    typed = request.query_params.get("form", "")[:200]
    return desk.page(request, "_read", reading=read(typed, request.query_params.get("language", "en-US")[:20]))


def _of(desk: Desk, request: Request) -> tuple[StoredSample | Refused, Child | Refused]:
    stored = desk.caseload.sample(request.path_params["sample_id"])
    return stored, stored if isinstance(stored, Refused) else desk.caseload.child(stored.info.child)


def _problems(child: Child | Refused) -> tuple[Problem, ...]:
    return child.problems if isinstance(child, Refused) else ()


def _kept(desk: Desk, child: Child, form: Posted) -> StoredSample | Refused:
    from approx.api.samples.sample_input import look_up

    date, file = form.text("date"), form.file("file")
    if file is not None:
        name, data = file
        return desk.caseload.add_sample_file(
            child.code, data, name, date=date, title=form.text("title"), note=form.raw("note"), look_up=look_up
        )
    about: _About = {"date": date, "title": form.text("title"), "note": form.raw("note")}
    pasted = form.raw("pasted")
    if pasted.strip():
        heading = HEADINGS.get(form.text("heading"))
        if heading is None:
            return desk.caseload.add_sample_file(child.code, pasted.encode("utf-8"), "", look_up=look_up, **about)
        rows = _cells(pasted)
        if any(len(row) > len(heading) for row in rows):
            message = f"a line has more than {len(heading)} columns"
            return Refused((Problem("sample.columns", message, "choose what the columns are, or keep a heading"),))
        return desk.caseload.add_sample(child.code, heading, rows, look_up=look_up, **about)
    pairs = zip(form.every("word"), form.every("said"))
    typed = [(word.strip(), said.strip()) for word, said in pairs if word.strip() or said.strip()]
    if not typed:
        return Refused((Problem("sample.empty", "nothing was entered", "paste, choose a file, or type some words"),))
    return desk.caseload.add_sample(child.code, HEADINGS["word"] or (), typed, look_up=look_up, **about)


def _cells(pasted: str) -> list[list[str]]:
    """Lines as cells: tabs as a spreadsheet pastes them, else commas or semicolons."""
    sign = next((sign for sign in "\t;," if sign in pasted), "\t")
    rows = csv.reader(StringIO(pasted), delimiter=sign)
    return [row for row in rows if any(cell.strip() for cell in row)]


def _page(
    desk: Desk, request: Request, child: Child, form: Posted | None = None, refused: Refused | None = None
) -> Response:
    there = desk.caseload.samples(child.code)
    if isinstance(there, Refused):
        return desk.refused(request, there)
    typed = list(zip(form.every("word"), form.every("said"))) if form else []
    wanted = request.query_params.get("rows", "")
    rows = min(int(wanted), 200) if wanted.isascii() and wanted.isdecimal() and len(wanted) < 4 else ROWS
    known = language(child.languages[0])
    return desk.page(
        request, "samples", 422 if refused else 200, child=child, samples=there,
        typed=typed + [("", "")] * max(0, rows - len(typed)), more=rows + ROWS,
        pasted=form.raw("pasted") if form else "", heading=form.text("heading") if form else "",
        kept={name: form.raw(name) if form else "" for name in ("date", "title", "note")},
        picker=(known.consonants, known.vowels, _MARKS), problems=refused.problems if refused else (),
    )  # fmt: skip
