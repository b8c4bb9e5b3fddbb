"""What is wrong with the text of a profile, in the words of the reader of child files."""

from __future__ import annotations

import tomllib

from approx.child import read_table
from approx.problems import Problem
from approx.records.checks import text as checked_text
from approx.records.codes import clean_code

_NOT_SET = ("child", "X01")
"""Codes of a profile that was made without one."""


def profile_problems(text: str, code: str) -> tuple[Problem, ...]:
    """Every problem and remark of a child file, with line and column; its code must be the child's."""
    try:
        checked_text(text)
        table = tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        return (Problem("child.syntax", f"not valid TOML: {error}", "a text value stands in double quotes"),)
    except (ValueError, RecursionError):
        return (Problem("child.syntax", "not a child file", "a profile is text of some lines"),)
    if not table:
        return (Problem("child.empty", "the profile says nothing of a child", "tap the sounds in hand"),)
    profile, problems = read_table(table, text)
    if profile.code not in _NOT_SET and clean_code(profile.code).casefold() != clean_code(code).casefold():
        message = f"the profile is of '{profile.code}', not of '{code}'"
        problems = (*problems, Problem("records.other_child", message, "change its line `code`", symbol=profile.code))
    return problems
