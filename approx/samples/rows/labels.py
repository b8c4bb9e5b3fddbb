"""The columns beside the forms: child, session, context, attempt and the rest, each distinct cell read once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from approx.problems import Problem
from approx.samples.cells.dates import read_age, read_date, turned_into
from approx.samples.columns.headers import Layout
from approx.samples.files.write import unguarded
from approx.samples.token import FormNote, Log
from approx.samples.vocabulary import UNSEEN, briefly, clean, plain, sheet_rules, visible
from approx.wording import worded

FREE_TEXT = ("note",)
_EXPECTED_EVERYWHERE = ("child", "session_date")
_DATE_WORDS = ("date", "day", "birth", "dob", "fecha", "nacim")
_LONGEST_DATE = 24
_BLANKS = re.compile(r"\s+")


@dataclass(slots=True)
class _Label:
    value: str
    column: str
    note: FormNote | None
    problem: Problem | None
    first: int
    uses: int = 0


@dataclass(slots=True)
class _Turned:
    """What a spreadsheet made of cells of a column that is only kept: the first of them, and how many."""

    what: str
    text: str
    first: int
    uses: int = 0


class Labels:
    """Reads cells of any column but the forms. A doubtful one is told once, with the number of its rows."""

    def __init__(self, layout: Layout, log: Log, guarded: bool, day_first: bool | None = None) -> None:
        self.layout, self.log, self.guarded, self.day_first = layout, log, guarded, day_first
        self._known: dict[tuple[int, str], _Label] = {}
        self._turned: dict[int, _Turned] = {}

    def value(self, column: str, cells: Sequence[str], row: int) -> str:
        """The cell as it is used: dates in ISO form, ages in months, contexts by name. "" without such a column."""
        place = self.layout.at.get(column, self.layout.extra.get(column, -1))
        if place < 0:
            return ""
        typed = cells[place]
        if column in FREE_TEXT or column in self.layout.extra:
            text = self._text(typed)
            if 0 < len(text) < _LONGEST_DATE and (what := turned_into(text)) and not self._for_dates(place):
                self._turned.setdefault(place, _Turned(what, text, row)).uses += 1
            return text
        label = self._known.get((place, typed))
        if label is None:
            label = self._known[place, typed] = self._new(column, typed, row)
        label.uses += 1
        return label.value

    def used(self, column: str, cells: Sequence[str], times: int) -> None:
        """Count a cell that was read before so many times more."""
        label = self._known.get((place := self.layout.at.get(column, -1), cells[place]))
        if label is not None:
            label.uses += times

    def _for_dates(self, place: int) -> bool:
        """True if a column is headed as one of dates."""
        return any(word in plain(self.layout.names[place]) for word in _DATE_WORDS)

    def finish(self) -> None:
        """Tell the log what was changed or doubtful."""
        for (place, _), label in self._known.items():
            if label.note:
                self.log.change(label.column, label.note, label.first, label.uses)
            if label.problem:
                heading = self.layout.heading(label.column)
                often = worded(" ({uses} rows, this is the first)", uses=label.uses) if label.uses > 1 else ""
                message = worded("{column}: {what}{often}", column=heading, what=label.problem.message, often=often)
                self.log.wrong(replace(label.problem, message=message, line=label.first, column=place + 1))
        for place, turned in self._turned.items():
            message = worded(
                "{names}: '{text}' is {what} ({uses} such {uses:cell|cells})",
                names=self.layout.names[place],
                text=turned.text,
                what=turned.what,
                uses=turned.uses,
            )
            hint = "format the column as text before typing"
            self.log.wrong(Problem("sample.mangled", message, hint, "", turned.first, place + 1, turned.text, False))
        for column in _EXPECTED_EVERYWHERE:
            mine = [label for label in self._known.values() if label.column == column]
            empty = [label for label in mine if not label.value]
            if empty and len(empty) < len(mine):
                first, rows = min(label.first for label in empty), sum(label.uses for label in empty)
                message = worded(
                    "{heading} is empty in {rows} {rows:row, which forms|rows, which form} a group of {rows:its|their} own",
                    heading=self.layout.heading(column),
                    rows=rows,
                )
                hint = "fill the cells down"
                self.log.wrong(Problem("sample.empty_cell", message, hint, line=first, fatal=False))

    def _text(self, typed: str) -> str:
        return clean(unguarded(typed) if self.guarded else typed)

    def _new(self, column: str, typed: str, row: int) -> _Label:
        text = self._text(typed)
        value = text
        note: FormNote | None = None
        problem: Problem | None = None
        if not text:
            pass
        elif column == "session_date":
            value, why, problem = read_date(text, self.day_first)
            note = (text, value, why) if why else None
        elif column == "age":
            months, problem = read_age(text, self.layout.age_in_months)
            value = "" if months is None else str(months)
        elif column == "attempt":
            if not text.isdecimal() or int(text) < 1 or len(text) > 4:
                hint = "number the attempts 1, 2, 3"
                problem = Problem(
                    "sample.attempt",
                    worded("'{text}' is not a number", text=briefly(text)),
                    hint,
                    symbol=briefly(text),
                    fatal=False,
                )
                value = ""
        else:
            value = _BLANKS.sub(" ", text)
            if column == "context" and (name := sheet_rules().contexts.get(plain(text))):
                note, value = (text, name, "word for a context") if name != text else None, name
            if what := turned_into(text):
                hint = "format the column as text before typing"
                problem = Problem(
                    "sample.mangled", worded("'{text}' is {what}", text=text, what=what), hint, symbol=text, fatal=False
                )
        return _Label(value, column, note or (UNSEEN if visible(typed) != typed else None), problem, row)
