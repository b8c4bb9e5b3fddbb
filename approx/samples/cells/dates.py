"""Dates, ages and what spreadsheets make of numbers: read where there is one reading, named where there is not."""

from __future__ import annotations

import re
from datetime import date, timedelta

from approx.problems import Problem
from approx.samples.vocabulary import briefly, sheet_rules
from approx.wording import worded

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ](\d{1,2}:\d\d(?::\d\d)?)(?:\.\d+)?Z?)?")
_COMPACT = re.compile(r"(?:19|20)(\d\d)(\d\d)(\d\d)")
_NUMBERS = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d\d)")
_DAY_MONTH = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[-/. ]+(?:de )?([^\W\d_]{3,10})\.?,?[-/. ]+(?:de )?(\d{4}|\d\d)")
_MONTH_DAY = re.compile(r"([^\W\d_]{3,10})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})")
_SERIAL = re.compile(r"\d{5}(?:\.0+)?")
_FIRST_SERIAL, _LAST_SERIAL = (
    20_000,
    80_000,
)  # the years 1954 to 2119; day 1 is 1900-01-01, with Excel's 29 February 1900

_SHORT_DATE = re.compile(r"(?:(\d{1,2})[- ]([^\W\d_]{3})|([^\W\d_]{3})[- ](\d{2}))")
_TIME = re.compile(r"\d{1,2}:\d\d(?::\d\d(?:\.\d+)?)?(?: ?[AaPp]\.?[Mm]\.?)?")
_SCORE = re.compile(r"\d+ ?[/∕–-] ?\d+")
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)? ?%?")
_ESCAPED_BYTE = re.compile(r"\\x[0-9a-f]{2}")  # what `sample_encoding` makes of a byte that does not fit
_CODED = re.compile(r"&(?:#\d{2,7}|#[xX][0-9A-Fa-f]{2,6}|[A-Za-z]{3,8});|\\u[0-9A-Fa-f]{4}")
_FIRST_YEAR, _LAST_YEAR = 1900, 2200
_ERROR = re.compile(r"#(?:NAME\?|REF!|VALUE!|N/A|DIV/0!|NUM!|NULL!|SPILL!|#+)")

_WRITE_ISO = "write year-month-day, such as 2026-03-02"

_YEARS_MONTHS = re.compile(r"(\d{1,2})\s*;\s*(\d{1,2})(?:[.;](\d{1,2}))?")
_MONTHS = re.compile(r"(\d{1,3})\s*(?:m|mo|mos|mths?|months?|mes|meses)\.?")
_YEARS = re.compile(
    r"(\d{1,2})\s*(?:y|yrs?|years?|a|años?)\.?[,;]?\s*(?:(?:and|y)\s*)?(?:(\d{1,2})\s*(?:m|mo|mos|months?|mes|meses)\.?)?"
)


def read_date(text: str, day_first: bool | None = None) -> tuple[str, str, Problem | None]:
    """ISO date (with the time where one is written), why it was changed ("" if it was not), and what is wrong.

    `03/04/2026` has two readings: it is refused unless `day_first` says which. A text that is no date at all
    ("session 3") is kept as a label, with a remark.
    """
    if found := _ISO.fullmatch(text):
        year, month, day = (int(part) for part in found.groups()[:3])
        time = found[4] or ""
        return _checked(text, year, month, day, "" if time.strip("0:") == "" else f"T{time}")
    if found := _COMPACT.fullmatch(text):
        return _checked(text, int(text[:4]), int(found[2]), int(found[3]))
    if _SERIAL.fullmatch(text) and _FIRST_SERIAL <= int(text[:5]) <= _LAST_SERIAL:
        day_one = date(1899, 12, 30)
        return (day_one + timedelta(days=int(text[:5]))).isoformat(), "day number of a spreadsheet", None
    if found := _DAY_MONTH.fullmatch(text):
        return _named(text, found[2], found[1], found[3])
    if found := _MONTH_DAY.fullmatch(text):
        return _named(text, found[1], found[2], found[3])
    if found := _NUMBERS.fullmatch(text):
        return _three_numbers(text, found, day_first)
    if _SHORT_DATE.fullmatch(text) or _TIME.fullmatch(text):
        return (
            text,
            "",
            Problem("sample.date", worded("'{text}' is not a complete date", text=text), _WRITE_ISO, symbol=text),
        )
    return (
        text,
        "",
        Problem(
            "sample.label",
            worded("'{text}' is not a date; kept as a label", text=briefly(text)),
            symbol=briefly(text),
            fatal=False,
        ),
    )


def _three_numbers(text: str, found: re.Match[str], day_first: bool | None) -> tuple[str, str, Problem | None]:
    first, second, year = int(found[1]), int(found[3]), int(found[4])
    if len(found[4]) < 4:
        return (
            text,
            "",
            Problem("sample.date", worded("'{text}': which part is the year?", text=text), _WRITE_ISO, symbol=text),
        )
    if found[2] == "." or first > 12 or day_first or first == second:
        return _checked(text, year, second, first)
    if second > 12 or day_first is False:
        return _checked(text, year, first, second)
    message = worded(
        "'{text}' may be {year}-{second}-{first} or {year2}-{first2}-{second2}",
        text=text,
        year=year,
        second=f"{second:02}",
        first=f"{first:02}",
        year2=year,
        first2=f"{first:02}",
        second2=f"{second:02}",
    )
    return (
        text,
        "",
        Problem(
            "sample.date",
            message,
            worded("{write_iso}, or say whether the day comes first", write_iso=_WRITE_ISO),
            symbol=text,
        ),
    )


def _named(text: str, month: str, day: str, year: str) -> tuple[str, str, Problem | None]:
    number = month_number(month)
    if number is None:
        return (
            text,
            "",
            Problem(
                "sample.date",
                worded("'{month}' in '{text}' is not a month", month=month, text=text),
                _WRITE_ISO,
                symbol=month,
            ),
        )
    return _checked(text, int(year) + (2000 if len(year) == 2 else 0), number, int(day))


def month_number(name: str) -> int | None:
    """1 to 12 for a month's name or its first three letters, in English or Spanish."""
    return sheet_rules().months.get(name.casefold())


def _checked(text: str, year: int, month: int, day: int, time: str = "") -> tuple[str, str, Problem | None]:
    try:
        iso = date(year, month, day).isoformat() + time
        if not _FIRST_YEAR <= year <= _LAST_YEAR:
            message = worded("'{text}' is in the year {year}", text=text, year=year)
            return text, "", Problem("sample.date", message, _WRITE_ISO, symbol=text)
    except ValueError:
        return (
            text,
            "",
            Problem("sample.date", worded("'{text}' is not in the calendar", text=text), _WRITE_ISO, symbol=text),
        )
    return iso, "" if iso == text else "date written as year-month-day", None


def coded(text: str) -> str:
    """The first sign that a program wrote as a code, such as `&#652;`; "" where there is none."""
    found = _CODED.search(text)
    return found[0] if found else ""


def mangled(text: str) -> str:
    """What a spreadsheet or a hand put where a form should stand: a date, a time, a score, an error. "" for others."""
    if text == "0":
        return ""
    if text.startswith("="):
        return "a formula, which a spreadsheet makes of text that begins with ="
    if code := coded(text):
        return worded("text with a character written as a code, {code}", code=code)
    if _ESCAPED_BYTE.search(text):
        return "text with a byte that is not UTF-8, shown as \\x and its number"
    if text[:1].isdigit() or text[:1] in "+-":
        if _NUMBERS.fullmatch(text):
            return "a date"
        if _SCORE.fullmatch(text):
            return "a score, a range or a date, not a form"
        if _TIME.fullmatch(text):
            return "a time; spreadsheets turn 3:02 into a time"
        if _NUMBER.fullmatch(text):
            return "a number, not a form"
    return turned_into(text)


def turned_into(text: str) -> str:
    """What a spreadsheet made of a text in any column: a whole date, a date in short, an error. "" for others."""
    if _ISO.fullmatch(text):
        return "a date; spreadsheets turn 8/10 and 3-2 into dates"
    if _ERROR.fullmatch(text):
        return "a spreadsheet error: text that begins with - + = is taken for a formula"
    found = _SHORT_DATE.fullmatch(text)
    if found and (number := month_number(found[2] or found[3])):
        other = int(found[1] or found[4])
        ways = f"{other}/{number}, {number}/{other}, {other}-{number} or {number}-{other}"
        return worded("a date; spreadsheets turn {ways} into one", ways=ways)
    return ""


def read_age(text: str, months_column: bool = False) -> tuple[int | None, Problem | None]:
    """Age in months from `3;2`, `38 months`, `3 years 2 months`, or a plain number in a column of months."""
    if found := _YEARS_MONTHS.fullmatch(text):
        years, months = int(found[1]), int(found[2])
        if months < 12:
            return years * 12 + months, None
    elif found := _MONTHS.fullmatch(text.casefold()):
        return int(found[1]), None
    elif found := _YEARS.fullmatch(text.casefold()):
        return int(found[1]) * 12 + int(found[2] or 0), None
    elif text.isdecimal() and len(text) < 4 and (months_column or int(text) >= 24):
        return int(text), None
    what = "a time; spreadsheets turn an age with a colon into a time" if _TIME.fullmatch(text) else turned_into(text)
    what = what or "not a clear age"
    return None, Problem(
        "sample.age",
        worded("'{text}' is {what}", text=briefly(text), what=what),
        "write years;months (3;2), or '38 months'",
        symbol=text,
    )
