"""Which column of a sheet is which: headings in any order, case and wording, doubles and strangers named and kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from approx.problems import Problem
from approx.samples.token import COLUMNS
from approx.samples.vocabulary import clean, plain, sheet_rules
from approx.wording import worded

_BEARING = frozenset({"child", "session_date", "target_word", "target_ipa", "produced_ipa", "language"})
"""Columns where a second one makes the sample doubtful; a second note does not."""

_ENOUGH_FORMS, _ENOUGH_HEADINGS = 5, 3
MOST_COLUMNS, LONGEST_HEADING, _SHOWN = 2_000, 200, 60
"""Columns, and characters in a heading; what is beyond is no heading."""


@dataclass(slots=True)
class Layout:
    """Where each column of the contract stands (from 0), which others there are, and what was decided."""

    width: int
    names: tuple[str, ...] = ()
    at: dict[str, int] = field(default_factory=dict)
    extra: dict[str, int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    renamed: list[tuple[str, str, str]] = field(default_factory=list)
    age_in_months: bool = False

    def heading(self, column: str) -> str:
        """The heading under which a column of the contract was found."""
        return self.names[self.at[column]] if column in self.at else column


def recognised(cells: Sequence[str]) -> int:
    """How many different columns of the contract these cells would head."""
    rules = sheet_rules()
    keys = [plain(cell) for cell in cells[:MOST_COLUMNS] if len(cell) <= LONGEST_HEADING]
    weak = {column for column, words in rules.weak.items() for key in keys if key in words}
    sure = {rules.headings[key] for key in keys if key in rules.headings}
    return len(sure | weak) + any(key in rules.either for key in keys)


def lay_out(header: Sequence[str], preview: Sequence[Sequence[str]], file: str) -> Layout:
    """The columns of a sheet. `preview` (some rows) decides whether "target" holds letters or IPA.

    A sheet without a column of productions gets a fatal problem and no `produced_ipa` in `at`.
    """
    return _Search([clean(cell[:LONGEST_HEADING]) for cell in header], preview, file).run()


def _listed(names: Sequence[str]) -> str:
    shown = ", ".join(name[:40] or "(blank)" for name in names[:20])
    return f"{shown}, and {len(names) - 20} more" if len(names) > 20 else shown


class _Search:
    def __init__(self, names: list[str], preview: Sequence[Sequence[str]], file: str) -> None:
        while names and not names[-1]:
            names.pop()
        self.names, self.preview, self.file = names, preview, file
        self.keys = [plain(name) for name in names]
        self.layout = Layout(len(names), tuple(names))
        self.free = list(range(len(names)))

    def run(self) -> Layout:
        rules, layout = sheet_rules(), self.layout
        for at in list(self.free):
            if self.keys[at] and self.names[at].casefold() in COLUMNS:
                self.take(self.names[at].casefold(), at)
        for at in list(self.free):
            if self.keys[at] in rules.headings:
                self.take(rules.headings[self.keys[at]], at)
        self.take_either()
        for column, words in rules.weak.items():
            self.take_weak(column, words)
        if "produced_ipa" not in layout.at:
            return self.useless()
        self.keep_others()
        layout.age_in_months = "age" in layout.at and "m" in self.keys[layout.at["age"]].removeprefix("edad")
        return layout

    def useless(self) -> Layout:
        """Without productions there is nothing to read; an empty file has been named before."""
        if self.names:
            message = worded("no column of productions; the headings are: {names}", names=_listed(self.names))
            hint = "use the heading produced_ipa; the others are child, session_date, target_word, target_ipa"
            if recognised([self.names[0], *(row[0] for row in self.preview if row)]) >= _ENOUGH_HEADINGS:
                hint = "the headings are in one column: transpose the table so that they are in one row"
            self.layout.problems.append(Problem("sample.header", message, hint, self.file, 1))
        return self.layout

    def take(self, column: str, at: int, why: str = "heading read as a column") -> None:
        if column in self.layout.at:
            return
        self.layout.at[column] = at
        self.free.remove(at)
        if self.names[at] != column:
            self.layout.renamed.append((self.names[at], column, why))

    def take_either(self) -> None:
        """A heading such as "target" is the word if the IPA has a column, the IPA if the word has; else see cells."""
        where = next((at for at in self.free if self.keys[at] in sheet_rules().either), None)
        if where is None or {"target_word", "target_ipa"} <= self.layout.at.keys():
            return
        if "target_ipa" in self.layout.at:
            self.take("target_word", where, "the IPA has a column of its own")
        elif "target_word" in self.layout.at:
            self.take("target_ipa", where, "the word has a column of its own")
        elif self.only_letters(where):
            self.take("target_word", where, "only plain letters, while other columns hold IPA: read as words")
        else:
            self.take("target_ipa", where, "read as IPA")

    def only_letters(self, at: int) -> bool:
        """True if enough different cells hold plain letters only, and some other column does not."""
        forms = {row[at] for row in self.preview if len(row) > at and row[at].strip()}
        others = "".join(cell for row in self.preview for place, cell in enumerate(row) if place != at)
        return len(forms) >= _ENOUGH_FORMS and "".join(forms).isascii() and not others.isascii()

    def take_weak(self, column: str, words: frozenset[str]) -> None:
        if column in self.layout.at:
            return
        for at, key in enumerate(self.keys):
            if key in words and at in self.free:
                self.take(column, at)
                return
        taken = self.layout.at.get("child")
        if column == "produced_ipa" and taken is not None and self.keys[taken] in words and self.may_be_forms(taken):
            # adult | child: two forms side by side, so the second heading names no code
            del self.layout.at["child"]
            self.free.append(taken)
            self.layout.renamed = [entry for entry in self.layout.renamed if entry[1] != "child"]
            self.take(column, taken, "no other column of productions")

    def may_be_forms(self, at: int) -> bool:
        """False where most cells of a column are codes with a number, or headings of a table that lies on its side."""
        cells = {row[at].strip() for row in self.preview if len(row) > at and row[at].strip()}
        coded = sum(any(char.isdigit() for char in cell) for cell in cells)
        return 2 * coded <= len(cells) and recognised(sorted(cells)) < _ENOUGH_HEADINGS

    def keep_others(self) -> None:
        rules = sheet_rules()
        for at in sorted(self.free):
            name, key = self.names[at], self.keys[at]
            column = name.casefold() if name.casefold() in COLUMNS else rules.headings.get(key, "")
            self.layout.extra[self.unused(name or f"column {at + 1}")] = at
            if column:
                read = f"'{self.layout.heading(column)}' (column {self.layout.at[column] + 1})"
                message = worded(
                    "two columns for {column}: {read} is read, '{name}' (column {at}) is only kept",
                    column=column,
                    read=read,
                    name=name,
                    at=at + 1,
                )
                hint = "rename or delete one of them"
                problem = Problem("sample.column.twice", message, hint, self.file, 1, at + 1, name, column in _BEARING)
            else:
                what = f"'{name[:_SHOWN]}'" if name else "one without a heading"
                message = worded("unknown column: {what}; kept as it is", what=what)
                problem = Problem("sample.column.unknown", message, "", self.file, 1, at + 1, name, fatal=False)
            self.layout.problems.append(problem)

    def unused(self, name: str) -> str:
        taken, number, new = {*self.layout.at, *self.layout.extra}, 2, name
        while new in taken:
            new, number = f"{name} ({number})", number + 1
        return new
