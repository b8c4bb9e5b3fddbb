"""Codes in place of names: what a code may be, and a remark on one, or on a free text, that looks like a name."""

from __future__ import annotations

import re
import unicodedata

from approx.problems import Problem

LONGEST_CODE = 40
_CODE = re.compile(r"\w(?:[\w .\-]*\w)?")
_NO_FILE = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\..*)?", re.IGNORECASE)  # names one system keeps to itself
_WORD = re.compile(r"[A-ZÀ-ÖØ-Þ][a-zà-öø-ÿ]{2,}")
_TWO_NAMES = re.compile(r"(?<![.!?:] )(?<!^)\b([A-ZÀ-Þ][a-zà-ÿ]{2,} [A-ZÀ-Þ][a-zà-ÿ]{2,})\b")


def code_problem(code: str) -> Problem | None:
    """Why a text cannot be a code; None if it can. A code is also the name of a file, so it has no slash."""
    hint = "letters, digits, blanks, dots and hyphens, such as K07"
    if not code:
        return Problem("records.code", "a child needs a code", hint)
    if len(code) > LONGEST_CODE:
        return Problem("records.code", f"the code has more than {LONGEST_CODE} characters", hint)
    if not _CODE.fullmatch(code) or ".." in code or _NO_FILE.fullmatch(code):
        return Problem("records.code", f"{code!r} cannot be a code", hint, symbol=code)
    return None


def clean_code(code: str) -> str:
    """The code without blanks around it, blanks inside made one, letters in one form."""
    return " ".join(unicodedata.normalize("NFC", code).split())


def code_remarks(code: str) -> tuple[Problem, ...]:
    """A remark if the code looks like a name: words of letters alone, such as two capitalised ones."""
    if any(letter.isdigit() for letter in code):
        return ()
    words = re.findall(r"[^\W\d_]+", re.sub(r"(?<=[a-zà-ÿ])(?=[A-ZÀ-Þ])", " ", code))
    long = [word for word in words if len(word) > 2]
    if len(long) > 1 or any(_WORD.fullmatch(word) for word in long):
        hint = "use a code that tells nobody who it is, such as K07"
        return (Problem("records.name", f"'{code}' looks like a name", hint, symbol=code, fatal=False),)
    return ()


def name_remarks(text: str) -> tuple[Problem, ...]:
    """A remark for each pair of capitalised words inside a sentence: it may be somebody's name."""
    found = dict.fromkeys(_TWO_NAMES.findall(text))
    hint = "keep names out of the records"
    return tuple(Problem("records.name", f"'{pair}' may be a name", hint, symbol=pair, fatal=False) for pair in found)
