"""Samples: pasted from a spreadsheet, uploaded or typed; each with its analysis, from which a profile can be taken."""

from __future__ import annotations

import csv
from dataclasses import replace
from io import StringIO
from typing import TypedDict

from starlette.requests import Request
from starlette.responses import Response

from approx.api.samples.converting import convert
from approx.api.samples.sample_input import look_up
from approx.child.profile import Profile
from approx.ipa.language import language
from approx.problems import Problem
from approx.records.database.rows import Conflict, Refused, SampleInfo, SampleRow, StoredChild, StoredSample
from approx.records.tables.checks import today
from approx.web.forms.new_sounds import accepted, dated, differences, own_new
from approx.web.forms.profile_form import profile_of, profile_toml, untested_profile
from approx.web.forms.sample_columns import (
    CHOICES,
    LookedAt,
    cells_of,
    chosen_columns,
    file_cells,
    looked_at,
    same_rows,
)
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted
from approx.wording import Worded, worded

ROWS, SHOWN, MOST_COMPARED, TEMPLATE_ROWS = 12, 8, 20, 30
HEADINGS = {"": None, "word": ("target_word", "produced_ipa"), "both": ("target_word", "target_ipa", "produced_ipa")}
"""What stands in the columns of a pasted list: its own heading, or one of these."""

_MARKS = ("ˈ", "ˌ", ".", "∅", "ʔ", "ɾ", "β", "ɸ", "x", "ɬ", "s̪", "ɣ", "ʲ", "ʰ", "̃", "ː")


class _About(TypedDict):
    """What is said of a sample beside its rows."""

    date: str
    title: str
    note: str


PRINTED = ("analysis", "evaluation")
"""What there is of a sample as a file."""


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
        if form.ticked("looked"):
            return _columns_page(desk, request, child, form, kept)
        return _page(desk, request, child, form, kept)
    return go(f"/sample/{kept.info.id}", "sample_saved")


def look(desk: Desk, request: Request, form: Posted) -> Response:
    """What a pasted or uploaded table seems to hold, before it is kept: columns, first rows, and whether it is there already."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    file = form.file("file")
    cells = file_cells(file[1], file[0]) if file is not None else cells_of(form.raw("pasted"))
    if isinstance(cells, Refused):
        return _page(desk, request, child, form, _named(cells, "file"))
    if not cells:
        hint = "paste rows, choose a file, or type some words below"
        return _page(desk, request, child, form, Refused((Problem("sample.empty", "nothing was entered", hint),)))
    return _columns_page(desk, request, child, form, None, looked_at(cells), file[0] if file else "")


def template(desk: Desk, request: Request) -> Response:
    """A table to fill in, with the columns of a sample and this child's code."""
    child = desk.caseload.child(request.path_params["code"])
    if isinstance(child, Refused):
        return desk.refused(request, child)
    names = ("child", "session_date", "target_word", "target_ipa", "produced_ipa", "context", "note")
    rows = "".join(f"{child.code},{today()},,,,,\r\n" for _ in range(TEMPLATE_ROWS))
    headers = {"content-disposition": 'attachment; filename="sample.csv"'}
    return Response(f"\ufeff{','.join(names)}\r\n{rows}", media_type="text/csv; charset=utf-8", headers=headers)


def _columns_page(
    desk: Desk, request: Request, child: StoredChild, form: Posted, refused: Refused | None = None, found: LookedAt | None = None,
    file: str = "",
) -> Response:  # fmt: skip
    if found is None:  # sent back: the cells and meanings as they were sent
        rows = _pasted_cells(form)
        found = LookedAt(tuple(map(tuple, rows)), form.ticked("headed"), tuple(form.every("column")))
    body = found.rows[1:] if found.headed else found.rows
    return desk.page(
        request, "sample_columns", 422 if refused else 200, child=child, columns=found.columns, first=found.rows[:SHOWN],
        headed=found.headed, count=len(body), text=found.as_text(), choices=CHOICES, like=_like(desk, child, found),
        kept={name: form.raw(name) for name in ("date", "title", "note")}, file_name=file or form.text("file_name"),
        problems=refused.problems if refused else (),
    )  # fmt: skip


def _like(desk: Desk, child: StoredChild, found: LookedAt) -> SampleInfo | None:
    """A kept sample that has nearly all of these rows already."""
    chosen = chosen_columns(found.rows, found.headed, found.columns)
    there = desk.caseload.samples(child.code)
    if isinstance(chosen, Refused) or isinstance(there, Refused):
        return None
    for info in there[:MOST_COMPARED]:
        stored = desk.caseload.sample(info.id)
        if not isinstance(stored, Refused) and same_rows(*chosen, stored):
            return info
    return None


def _pasted_cells(form: Posted) -> list[list[str]]:
    return [
        row for row in csv.reader(StringIO(form.raw("pasted")), delimiter="\t") if any(cell.strip() for cell in row)
    ]


def _named(refused: Refused, field: str) -> Refused:
    """A refusal whose problems are shown beside one field of the form."""
    return Refused(tuple(replace(each, code=f"sample.{field}") for each in refused.problems))


def analysis(desk: Desk, request: Request) -> Response:
    """The page of one sample: sounds by position, processes, and below them measures and what was typed."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    from approx.web.forms.printed_file import document_part
    from approx.web.forms.sample_analysis import analysis as scored
    from approx.web.forms.sample_analysis import shown_parts

    found = scored(stored, child)
    body = document_part(found.document(desk.texts(request).language))
    return desk.page(
        request,
        "sample",
        child=child,
        sample=stored,
        body=body,
        parts=shown_parts(found),
        problems=found.problems,
    )


def document(desk: Desk, request: Request) -> Response:
    """The analysis, or the section of an evaluation report, as a file to edit or to send."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    from approx.reports.documents.documents import joined_documents
    from approx.web.forms.printed_file import FILE_TYPES, document_file
    from approx.web.forms.sample_analysis import analysis as scored

    what, kind = request.path_params["what"], request.path_params["kind"]
    found, tongue = scored(stored, child), desk.texts(request).language
    if kind not in FILE_TYPES or what not in PRINTED or not found.groups:
        return desk.page(request, "missing", 404)
    made = found.document(tongue) if what == "analysis" else joined_documents(found.evaluations(tongue))
    return desk.page(request, "missing", 404) if made is None else document_file(made, kind, what)


def rows(desk: Desk, request: Request) -> Response:
    """Every cell as it was typed, to be changed; a column for notes where there is none, to mark a row."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    return _rows_page(desk, request, child, stored)


def save_rows(desk: Desk, request: Request, form: Posted) -> Response:
    """The sample with its cells changed and rows left out that were ticked; read again by today's rules."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    header, cells = tuple(form.every("header")), form.every("cell")
    width, out = max(1, len(header)), set(form.every("out"))
    wanted = [cells[at : at + width] for at in range(0, len(cells), width)]
    kept = [row for at, row in enumerate(wanted) if str(at) not in out and any(cell.strip() for cell in row)]
    info = replace(
        stored.info,
        version=form.number("version") or 0,
        title=form.text("title"),
        date=form.text("date") or stored.info.date,
    )
    changed = replace(
        stored, info=info, header=header, rows=tuple(SampleRow(at, tuple(row)) for at, row in enumerate(kept, 2))
    )
    saved = desk.caseload.save_sample(changed, look_up=look_up)
    if isinstance(saved, Refused):
        shown = replace(changed, rows=tuple(SampleRow(at, tuple(row)) for at, row in enumerate(wanted, 2)))
        if isinstance(saved, Conflict):
            shown = replace(shown, info=replace(info, version=stored.info.version))
        return _rows_page(desk, request, child, shown, saved)
    return go(f"/sample/{saved.info.id}", "saved")


def _rows_page(
    desk: Desk, request: Request, child: StoredChild, shown: StoredSample, refused: Refused | None = None
) -> Response:
    header = shown.header if "note" in shown.header else (*shown.header, "note")
    width = len(header)
    cells = [(*row, *[""] * (width - len(row)))[:width] for row in shown.cells()]
    return desk.page(
        request, "sample_rows", 422 if refused else 200, child=child, sample=shown, header=header, rows=cells,
        choices=CHOICES, problems=refused.problems if refused else (),
    )  # fmt: skip


def sounds(desk: Desk, request: Request) -> Response:
    """What was heard in this sample beside the inventory, each difference to be accepted."""
    return _sounds(desk, request)


def accept_sounds(desk: Desk, request: Request, form: Posted) -> Response:
    """The accepted differences become part of the inventory; the one before stays in the history."""
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    now, heard, _ = _profiles(desk, stored, child)
    if heard is None:
        return _sounds(desk, request, Refused((Problem("sample.none", "nothing was heard in this sample"),)))
    merged = accepted(now, heard, form.every("accept"))
    source = desk.texts(request)("sample.source", date=stored.info.date)
    text = profile_toml(merged)
    saved = desk.caseload.save_profile(child.code, text, form.number("version") or 0, source)
    return (
        _sounds(desk, request, saved)
        if isinstance(saved, Refused)
        else go(child_path(child.code, "sounds"), "profile_taken")
    )


def _sounds(desk: Desk, request: Request, refused: Refused | None = None) -> Response:
    stored, child = _of(desk, request)
    if isinstance(child, Refused) or isinstance(stored, Refused):
        return desk.refused(request, stored if isinstance(stored, Refused) else Refused(_problems(child)))
    now, heard, version = _profiles(desk, stored, child)
    return desk.page(
        request, "sample_sounds", 409 if refused else 200, child=child, sample=stored, version=version,
        changes=differences(now, heard) if heard else (), own=own_new(now, heard) if heard else None, problems=refused.problems if refused else (),
    )  # fmt: skip


def _profiles(desk: Desk, stored: StoredSample, child: StoredChild) -> tuple[Profile, Profile | None, int]:
    """The inventory as it stands (nothing tested where there is none), that of the sample, and the number of the first."""
    from approx.web.forms.sample_analysis import profile_from

    there, text = desk.caseload.profile(child.code), profile_from(stored, child)
    kept = None if isinstance(there, Refused) else there
    now = profile_of(kept.text) if kept else untested_profile(child.code, child.age, child.languages[0])
    return now, None if text is None else dated(profile_of(text), stored.info.date), kept.version if kept else 0


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
    """How a typed form is read, as a cell of a sample is, for a page that asks while it is typed."""
    typed = request.query_params.get("form", "")[:200]
    found = convert([(None, typed)], language=request.query_params.get("language", "en-US")[:20])
    said = [token.produced.ipa for token in (found.sample.tokens if found.sample else ()) if token.produced]
    changes = found.sample.changes if found.sample else ()
    problems = [_beside_its_field(each) for each in found.problems]
    return desk.page(request, "_read", typed=typed, said=" / ".join(said), changes=changes, reading_problems=problems)


def _beside_its_field(problem: Problem) -> Problem:
    """The problem of a cell without its place and the name of its column."""
    said = problem.message
    what = said.values.get("what") if isinstance(said, Worded) and "column" in said.values else None
    return replace(problem, message=what if isinstance(what, str) else said, line=None)


def _of(desk: Desk, request: Request) -> tuple[StoredSample | Refused, StoredChild | Refused]:
    stored = desk.caseload.sample(request.path_params["sample_id"])
    return stored, stored if isinstance(stored, Refused) else desk.caseload.child(stored.info.child)


def _problems(child: StoredChild | Refused) -> tuple[Problem, ...]:
    return child.problems if isinstance(child, Refused) else ()


def _kept(desk: Desk, child: StoredChild, form: Posted) -> StoredSample | Refused:
    date, file = form.text("date"), form.file("file")
    if file is not None:
        name, data = file
        return desk.caseload.add_sample_file(
            child.code, data, name, date=date, title=form.text("title"), note=form.raw("note"), look_up=look_up
        )
    about: _About = {"date": date, "title": form.text("title"), "note": form.raw("note")}
    pasted = form.raw("pasted")
    if form.ticked("looked"):
        chosen = chosen_columns(_pasted_cells(form), form.ticked("headed"), form.every("column"))
        if isinstance(chosen, Refused):
            return chosen
        return desk.caseload.add_sample(
            child.code, chosen[0], chosen[1], look_up=look_up, file=form.text("file_name"), **about
        )
    if pasted.strip():
        heading = HEADINGS.get(form.text("heading"))
        if heading is None:
            return desk.caseload.add_sample_file(child.code, pasted.encode("utf-8"), "", look_up=look_up, **about)
        rows = _cells(pasted)
        if any(len(row) > len(heading) for row in rows):
            message = worded("a line has more than {heading} {heading:column|columns}", heading=len(heading))
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
    desk: Desk, request: Request, child: StoredChild, form: Posted | None = None, refused: Refused | None = None
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
        picker=(known.consonants, known.vowels, _MARKS), opened_rows=any(map(any, typed)) or bool(wanted), problems=refused.problems if refused else (),
    )  # fmt: skip
