"""Texts that a spreadsheet would take for a formula, a date or a number: guarded on the way out, freed on the way in.

The guard is one apostrophe before the text, the sign by which spreadsheets know a text (common practice, no source).
A text that is itself such an apostrophe and a guarded text gets one more, so `unguarded(guarded(x)) == x` for any x.
"""

from __future__ import annotations

import re

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
