"""Rows out as CSV, XLSX, JSON Lines or Parquet, and a sample as a CLDF word list, so that nothing typed is lost; texts that a
spreadsheet would change are guarded, and freed on the way in.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain
from pathlib import Path
from typing import IO, Any

from approx.problems import Problem
from approx.samples.token import COLUMNS, Sample, Token

WrittenValue = str | int | float | None
WrittenRows = Iterable[Sequence[WrittenValue]]

MOST_ROWS, LONGEST_TEXT, LONGEST_NAME, MOST_EXACT = 1_048_576, 32_767, 31, 10**15
"""What a sheet, a cell and a sheet's name can hold, and from where on numbers lose digits (limits of spreadsheets)."""

_NOT_IN_NAMES = str.maketrans(dict.fromkeys("[]:*?/\\", " "))
FORMS = "forms.csv"
"""The table of a CLDF data set that is a sample again."""
LEFT_OFF = "∅"
"""The form of a word that was left off, in CLDF."""


def write_csv(
    target: Path | IO[bytes], header: Sequence[str], rows: WrittenRows, *, guard: bool = True, separator: str = ","
) -> None:
    """Write a table as CSV: UTF-8, lines ended as spreadsheets do.

    guard: for spreadsheets, with the mark of UTF-8 and an apostrophe before texts that they would change; without it the
    table is plain, for other programs. None is an empty cell. Raises OSError.
    """
    if isinstance(target, Path):
        with target.open("wb") as stream:
            write_csv(stream, header, rows, guard=guard, separator=separator)
        return
    out = io.TextIOWrapper(target, "utf-8-sig" if guard else "utf-8", newline="", write_through=True)
    try:
        writer = csv.writer(out, delimiter=separator, lineterminator="\r\n" if guard else "\n")
        for row in chain([header], rows):
            writer.writerow([guarded(value) if guard and isinstance(value, str) else value for value in row])
    finally:
        out.detach()


def write_xlsx(
    target: Path | IO[bytes], tables: Mapping[str, tuple[Sequence[str], WrittenRows]]
) -> tuple[Problem, ...]:
    """Write a workbook, one sheet a table: {name: (header, rows)}. Returns a problem for all that did not fit.

    Texts stay texts, numbers are numbers, the first row stands still when scrolling. Raises OSError.
    """
    try:
        from xlsxwriter import Workbook
    except ImportError:
        hint = "install XlsxWriter and openpyxl, or write CSV"
        return (Problem("sample.sheets", "writing XLSX needs XlsxWriter", hint),)
    problems: list[Problem] = []
    book = Workbook(
        str(target) if isinstance(target, Path) else target,
        {
            "constant_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "nan_inf_to_errors": True,
        },
    )
    bold = book.add_format({"bold": True})
    taken: set[str] = set()
    for name, (header, rows) in tables.items():
        sheet = book.add_worksheet(_sheet_name(name, taken))
        sheet.freeze_panes(1, 0)
        for number, row in enumerate(chain([header], rows), 1):
            if number > MOST_ROWS:
                message = f"the sheet '{name}' is full; the rows from {number} on are not in it"
                problems.append(Problem("sample.full", message, "write CSV instead", line=number))
                break
            for place, value in enumerate(row):
                text = value if isinstance(value, str) else str(value) if abs(value or 0) >= MOST_EXACT else None
                if text is not None:
                    if len(text) > LONGEST_TEXT:
                        message = f"a text of {len(text)} characters is cut to {LONGEST_TEXT}"
                        problems.append(
                            Problem("sample.long", message, "write CSV instead", line=number, column=place + 1)
                        )
                    sheet.write_string(number - 1, place, text[:LONGEST_TEXT], bold if number == 1 else None)
                elif value is not None:
                    sheet.write_number(number - 1, place, value)
    book.close()
    return tuple(problems)


def _sheet_name(name: str, taken: set[str]) -> str:
    """A name a workbook accepts, and no second time the same; case makes no difference there."""
    plain = " ".join(name.translate(_NOT_IN_NAMES).split()).strip("'")[:LONGEST_NAME] or "sheet"
    if plain.casefold() == "history":  # a name that is reserved
        plain = "history of the child"
    new, number = plain, 2
    while new.casefold() in taken:
        mark = f" {number}"
        new, number = plain[: LONGEST_NAME - len(mark)] + mark, number + 1
    taken.add(new.casefold())
    return new


def sample_table(sample: Sample) -> tuple[tuple[str, ...], list[tuple[WrittenValue, ...]]]:
    """A sample as heading and rows in the contract's columns, with its other columns after them.

    One row for each row that was read: attempts that shared a cell share it again, and forms go out as they were typed.
    """
    header = (*COLUMNS, *sample.extra_columns)
    seen: set[int] = set()
    rows = []
    for token in sample.tokens:
        if token.row not in seen:
            seen.add(token.row)
            rows.append((*_cells(token), *sample.extra.get(token.row, ())))
    return header, rows


def _cells(token: Token) -> Iterator[WrittenValue]:
    names = {"target_ipa": "typed_target", "produced_ipa": "typed_produced"}
    for column in COLUMNS:
        value = getattr(token, names.get(column, column))
        yield f"{value // 12};{value % 12}" if column == "age" and value is not None else value


_MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_CHANGED = (
    r"[=+\-@\t\r].*"  # a formula; a tab or a line end hides one
    r"|\d{1,4}[/:\-]\d{1,4}(?:[/:\-]\d{1,4})?"  # a date or a time
    rf"|{_MONTH}[-/ ]?\d{{1,4}}|\d{{1,2}}[-/ ]?{_MONTH}(?:[-/ ]\d{{2,4}})?"  # a date in words
    r"|\d+(?:\.\d+)?e\+?\d+|0\d+|\d{12,}"  # a power of ten, leading zeros, more digits than are kept
)
_OUT = re.compile(rf"'*(?:{_CHANGED})", re.IGNORECASE | re.DOTALL)
_IN = re.compile(rf"'+(?:{_CHANGED})", re.IGNORECASE | re.DOTALL)
_WHOLE_DATE = re.compile(r"\d{4}-\d\d-\d\d")


def guarded(text: str) -> str:
    """The text, with an apostrophe before it if a spreadsheet would change it. A whole ISO date stays as it is."""
    return f"'{text}" if _OUT.fullmatch(text) and not _WHOLE_DATE.fullmatch(text) else text


def unguarded(text: str) -> str:
    """The text without its guard."""
    return text[1:] if text[:1] == "'" and _IN.fullmatch(text) else text


def write_json_lines(out: IO[str], header: Sequence[str], rows: WrittenRows) -> None:
    """One object a line, a key a column; texts and numbers as they are, null for nothing. Raises OSError."""
    text = json.JSONEncoder(ensure_ascii=False).encode
    for row in rows:
        out.write(text(dict(zip(header, row, strict=True))) + "\n")


def parquet_bytes(columns: Mapping[str, Sequence[WrittenValue]]) -> bytes:
    """A Parquet file of columns by name, each of one kind. ImportError where pyarrow is not installed."""
    import pyarrow
    from pyarrow import parquet

    # a column without a single value would have no kind, which few readers take
    arrays = {
        name: pyarrow.array(values, type=None if any(value is not None for value in values) else pyarrow.string())
        for name, values in columns.items()
    }
    out = io.BytesIO()
    parquet.write_table(pyarrow.table(arrays), out)
    return out.getvalue()


def json_lines_text(header: Sequence[str], rows: Iterable[Sequence[WrittenValue]]) -> str:
    """The text that `write_json_lines` writes."""
    out = io.StringIO()
    write_json_lines(out, header, rows)
    return out.getvalue()


def write_cldf(folder: Path, sample: Sample) -> tuple[Problem, ...]:
    """Write a sample as a CLDF word list (Cross-Linguistic Data Formats, Forkel et al. 2018, Sci Data 5:180205, from memory): a form
    a production. The folder is made where it is missing.

    `Form` is the production as it was read, `Segments` its sounds, `Language_ID` the tag of its language, `Parameter_ID` the
    word aimed at. The columns of a sample stand beside them under their own names and as they were typed, so that `forms.csv`
    is a sample again. A row without a production has no form and is left out, with a remark. ImportError where pycldf (extra
    `cldf`) is not installed; OSError as writing raises it.
    """
    from pycldf import Wordlist

    folder.mkdir(parents=True, exist_ok=True)
    data = Wordlist.in_dir(folder)
    data.add_component("LanguageTable")
    data.add_component("ParameterTable")
    header, rows = sample_table(sample)
    own = [*header, "target_segments", "row"]
    data.add_columns("FormTable", *own)
    typed = dict(zip(dict.fromkeys(token.row for token in sample.tokens), rows, strict=True))
    words: dict[str, str] = {}
    forms: list[dict[str, Any]] = []
    silent: list[int] = []
    for token in _first_of_each_row(sample):
        form = token.typed_produced if token.produced is None else token.produced.ipa or LEFT_OFF
        if not form.strip():
            silent.append(token.row)
            continue
        word = token.target_word or (token.target.ipa if token.target else "") or "(no gloss)"
        cells = {name: "" if cell is None else str(cell) for name, cell in zip(header, typed[token.row], strict=True)}
        forms.append(
            {
                "ID": str(token.row),
                "Language_ID": token.language,
                "Parameter_ID": words.setdefault(word, f"w{len(words) + 1}"),
                "Form": form,
                "Segments": list(token.produced.phones) if token.produced else [],
                "target_segments": " ".join(token.target.phones) if token.target else "",
                "row": str(token.row),
                **cells,
            }
        )
    tags = dict.fromkeys(form["Language_ID"] for form in forms)
    data.write(
        FormTable=forms,
        LanguageTable=[{"ID": tag, "Name": tag} for tag in tags],
        ParameterTable=[{"ID": number, "Name": word} for word, number in words.items()],
    )
    said = ", ".join(map(str, silent[:10])) + (f" and {len(silent) - 10} more" if len(silent) > 10 else "")
    message = f"{len(silent)} rows without a production are not in the data set: {said}"
    return (Problem("cldf.silent", message, "a form needs a form", str(folder), fatal=False),) if silent else ()


def _first_of_each_row(sample: Sample) -> list[Token]:
    """One token a row; several attempts in one cell stand in one row again."""
    first: dict[int, Token] = {}
    for token in sample.tokens:
        first.setdefault(token.row, token)
    return list(first.values())
