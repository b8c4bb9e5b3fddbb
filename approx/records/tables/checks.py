"""What may stand in each column: one rule a kind of column, used for what is typed and for what is imported alike.

A rule takes a value and gives the value to store, or raises ValueError with (message, hint). Codes stand in place of names: what a
code may be, and a remark on one, or on a free text, that looks like a name. How much help a try was given and how it came out
are the two lists of `rules/cue_levels.toml`.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from typing import Any, get_args

from approx.datafiles import read_toml, rules_path
from approx.problems import Problem
from approx.records.database.refusals import RefusalError
from approx.records.database.rows import GoalState, PhaseKind, TargetState
from approx.records.tables.images import stored_image
from approx.wording import enumerated, worded

LONGEST_CODE = 40
_CODE = re.compile(r"\w(?:[\w .\-]*\w)?")
_NO_FILE = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\..*)?", re.IGNORECASE)  # names one system keeps to itself
_WORD = re.compile(r"[A-ZÀ-ÖØ-Þ][a-zà-öø-ÿ]{2,}")
_TWO_NAMES = re.compile(r"(?<![.!?:] )(?<!^)\b([A-ZÀ-Þ][a-zà-ÿ]{2,} [A-ZÀ-Þ][a-zà-ÿ]{2,})\b")


def code_problem(code: str) -> Problem | None:
    """Why a text cannot be a code; None if it can. A code is also the name of a file, so it has no slash."""
    hint = "letters, digits, spaces, dots and hyphens, such as K07"
    if not code:
        return Problem("records.code", "a child needs a code", hint)
    if len(code) > LONGEST_CODE:
        return Problem(
            "records.code", worded("the code has more than {longest_code} characters", longest_code=LONGEST_CODE), hint
        )
    if not _CODE.fullmatch(code) or ".." in code or _NO_FILE.fullmatch(code):
        return Problem("records.code", worded("{code} cannot be a code", code=repr(code)), hint, symbol=code)
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
        return (
            Problem("records.name", worded("'{code}' looks like a name", code=code), hint, symbol=code, fatal=False),
        )
    return ()


def name_remarks(text: str) -> tuple[Problem, ...]:
    """A remark for each pair of capitalised words inside a sentence: it may be somebody's name."""
    found = dict.fromkeys(_TWO_NAMES.findall(text))
    hint = "keep names out of the records"
    return tuple(
        Problem("records.name", worded("'{pair}' may be a name", pair=pair), hint, symbol=pair, fatal=False)
        for pair in found
    )


@dataclass(frozen=True, slots=True)
class CueLevel:
    """`id` is what is stored, `number` the digit for a paper grid (0 no help), `labels` by primary language tag."""

    id: str
    number: int
    labels: dict[str, str]
    says: str
    source: str

    def label(self, language: str = "en") -> str:
        """The label in a language, in English where there is none."""
        return self.labels.get(language.split("-", maxsplit=1)[0], self.labels["en"])


@dataclass(frozen=True, slots=True)
class TrialResult:
    """`score` is what is stored: 2 the form aimed at was reached, 1 one part off, 0 not."""

    score: int
    id: str
    labels: dict[str, str]
    source: str

    def label(self, language: str = "en") -> str:
        """The label in a language, in English where there is none."""
        return self.labels.get(language.split("-", maxsplit=1)[0], self.labels["en"])


@cache
def cue_levels() -> tuple[CueLevel, ...]:
    """All levels, most help first; the last one is no help."""
    return tuple(
        CueLevel(entry["id"], entry["number"], _labels(entry), entry["says"], entry["source"])
        for entry in _tables()["level"]
    )


@cache
def trial_results() -> tuple[TrialResult, ...]:
    """All results, best first."""
    return tuple(
        TrialResult(entry["score"], entry["id"], _labels(entry), entry["source"]) for entry in _tables()["result"]
    )


@cache
def cue_ids() -> tuple[str, ...]:
    """The ids of the levels, most help first."""
    return tuple(level.id for level in cue_levels())


@cache
def _tables() -> dict[str, Any]:
    return read_toml(rules_path("cue_levels.toml"))


def _labels(entry: dict[str, Any]) -> dict[str, str]:
    return {"en": entry["label"], "es": entry["label_es"]}


ValueCheck = Callable[[object], Any]
LONGEST, LONGEST_LINE, MOST = 100_000, 300, 1_000_000
"""Characters in a text and in a line; the highest number a count, a session or a row may have."""

_NOT_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?Z")


def today() -> str:
    """The day on this computer, ISO."""
    return date.today().isoformat()


def now() -> str:
    """The time now, ISO, UTC."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def text(value: object) -> str:
    """Any text without control characters; line ends and tabs stay."""
    if not isinstance(value, str):
        raise ValueError("must be text", "")
    if not value.isprintable() and _NOT_TEXT.search(value):  # the first is quick, and true for most
        raise ValueError("has a character that is not a letter, sign or space", "type it again")
    if len(value) > LONGEST:
        raise ValueError(worded("has more than {longest} characters", longest=f"{LONGEST:,}"), "shorten it")
    return value


def line(value: object) -> str:
    """A short text in one line, blanks around it taken off."""
    found = text(value).strip()
    if len(found) > LONGEST_LINE or (not found.isprintable() and ("\n" in found or "\r" in found)):
        raise ValueError(
            worded("must be one line of at most {longest_line} characters", longest_line=LONGEST_LINE),
            "put the rest in the note",
        )
    return found


def needed(value: object) -> str:
    """A line that is not empty."""
    found = line(value)
    if not found:
        raise ValueError("is empty", "fill it in")
    return found


def code(value: object) -> str:
    """A child's code."""
    found = clean_code(text(value))
    problem = code_problem(found)
    if problem:
        raise ValueError(problem.message, problem.hint)
    return found


def day(value: object) -> str:
    """A day as 2026-03-02, or ""."""
    found = line(value)
    try:
        if found and date.fromisoformat(found).isoformat() != found:
            raise ValueError
    except ValueError:
        raise ValueError(
            worded("'{text}' is not a date", text=found), "write year-month-day, such as 2026-03-02"
        ) from None
    return found


def known_day(value: object) -> str:
    """A day that is not left open."""
    return day(needed(value))


def month(value: object) -> str:
    """A month as 2023-05, or ""."""
    found = line(value)
    if found and not re.fullmatch(r"\d{4}-(0[1-9]|1[0-2])", found):
        raise ValueError(
            worded("'{found}' is not a month", found=found), "write year-month, such as 2023-05; the day is not kept"
        )
    return found


def age(value: object) -> str:
    """Years;months, or ""."""
    found = line(value)
    if found and not re.fullmatch(r"\d{1,2};(\d|1[01])", found):
        raise ValueError(worded("'{found}' is not an age", found=found), "write years;months, such as 3;2")
    return found


def moment(value: object) -> str:
    """A moment in UTC, or ""."""
    found = line(value)
    if found and not _MOMENT.fullmatch(found):
        raise ValueError("is not a moment in UTC", "such as 2026-03-02T14:05:09Z")
    return found


def file_name(value: object) -> str:
    """The name of a file without its folder: a folder can tell who the child is."""
    return re.split(r"[\\/]", line(value))[-1]


def number(low: int = 0, high: int = MOST, null: bool = False) -> ValueCheck:
    """A rule for whole numbers; None where `null`."""

    def rule(value: object) -> int | None:
        if null and value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError("must be a whole number", "")
        if not low <= value <= high:
            raise ValueError(worded("must be from {low} to {high}", low=low, high=f"{high:,}"), "")
        return value

    return rule


def one_of(*words: str) -> ValueCheck:
    """A rule for a text out of a list."""

    def rule(value: object) -> str:
        if value not in words:
            raise ValueError(
                "is not one of the choices",
                worded("choose {choices}", choices=enumerated(", ", (word or "nothing" for word in words))),
            )
        return str(value)

    return rule


def json_list(kind: Callable[[Any], bool], what: str) -> ValueCheck:
    """A rule for a list, given as a list or as JSON text; stored as JSON text."""

    def rule(value: object) -> str:
        try:
            items = json.loads(value) if isinstance(value, str) else value
        except (ValueError, RecursionError):
            items = None
        if not isinstance(items, (list, tuple)) or not all(map(kind, items)):
            raise ValueError(worded("must be a list of {what}", what=what), "")
        for item in items:
            text(item if isinstance(item, str) else item[0])
        return text(json.dumps(list(items), ensure_ascii=False))

    return rule


def tags(value: object) -> str:
    """Language tags with blanks between, at least one."""
    found = line(value).split()
    for tag in found:
        if not re.fullmatch(r"[A-Za-z]{2,3}([-_][A-Za-z0-9]{2,8})*", tag):
            raise ValueError(worded("'{tag}' is not a language tag", tag=tag), "such as en-US or es-MX")
    if not found:
        raise ValueError("is empty", "such as en-US")
    return " ".join(dict.fromkeys(found))


def cue_level(value: object) -> str:
    """The id of a cue level, or ""."""
    return str(_help_or_none()(value))


def given_help(value: object) -> str:
    """The id of a cue level."""
    return str(_help()(value))


@cache
def _help() -> ValueCheck:
    return one_of(*cue_ids())


@cache
def _help_or_none() -> ValueCheck:
    return one_of(*cue_ids(), "")


_STRINGS = json_list(lambda item: isinstance(item, str), "texts")
_MARKED = json_list(
    lambda item: (
        isinstance(item, (list, tuple)) and len(item) == 2 and isinstance(item[0], str) and isinstance(item[1], bool)
    ),
    "words with true or false",
)
_DAYS: dict[str, ValueCheck] = {"date": known_day}
RULES: Mapping[str, Mapping[str, ValueCheck]] = {
    "children": {
        "code": code, "age": age, "age_on": day, "birth_month": month, "languages": tags, "accents": line, "note": text,
        "made": day,
    },
    "profiles": _DAYS | {"number": number(1), "text": text, "source": line},
    "samples": _DAYS | {"title": line, "file": file_name, "context": line, "transcriber": line, "note": text,
                        "header": _STRINGS},
    "sample_rows": {"row": number(2, 10 * MOST), "cells": _STRINGS, "read_target": text, "read_produced": text,
                    "kind": line},
    "choices": _DAYS | {"word": needed, "ipa": needed, "reason": text, "rung": number(1, 99, null=True),
                        "rungs": number(1, 99, null=True), "chosen_by": one_of("clinician", "tool")},
    "targets": {"word": needed, "adult": needed, "word_set": line, "help": cue_level, "since": day, "carrier": line,
                "state": one_of(*get_args(TargetState))},
    "sessions": _DAYS | {"number": number(1), "minutes": number(0, 1440, null=True), "place": line, "note": text},
    "trials": {"number": number(1), "form": line, "help": given_help, "result": number(0, 2), "at": moment,
               "key": line},
    "probes": {"session": number(1), "word_set": needed, "treated": number(0, 1), "right": number(0), "date": day,
               "out_of": number(1), "words": _MARKED, "note": text},
    "phases": {"name": needed, "first_session": number(1), "word_sets": _STRINGS, "note": text,
               "kind": one_of(*get_args(PhaseKind))},
    "goals": {"text": text, "baseline": line, "condition": line, "criterion": line, "measure": line, "due": day,
              "made": day, "state": one_of(*get_args(GoalState))},
    "notes": _DAYS | {"subjective": text, "objective": text, "assessment": text, "plan": text},
    "pictures": {"word": needed, "image": stored_image, "made": day},
}  # fmt: skip


def checked(table: str, values: Mapping[str, object]) -> dict[str, Any]:
    """The values to store in a row of a table. Raises `RefusalError` with a problem for each column at fault."""
    found, problems = faults(table, values)
    if problems:
        raise RefusalError(*problems)
    return found


def faults(table: str, values: Mapping[str, object]) -> tuple[dict[str, Any], list[Problem]]:
    """The values to store, and what is wrong with them; columns that are not known are the caller's mistake."""
    found: dict[str, Any] = {}
    problems = []
    for column, value in values.items():
        try:
            found[column] = RULES[table][column](value)
        except ValueError as error:
            problems.append(value_problem(column, error))
    return found, problems + odd_together(table, found)


def value_problem(column: str, error: ValueError) -> Problem:
    """What a rule said of a value, with the column before it."""
    message, hint = error.args
    if not message.startswith("the "):  # which names its thing itself
        message = worded("{column} {message}", column=column.replace("_", " "), message=message)
    return Problem("records.value", message, hint, symbol=column)


TOGETHER = ("probes", "choices")
"""Tables with two numbers of which one bounds the other."""


def odd_together(table: str, found: Mapping[str, Any]) -> list[Problem]:
    """What is wrong with two values of a row that are right by themselves."""
    low, high = found.get("right"), found.get("out_of")
    if low is not None and high is not None and low > high:
        return [
            Problem(
                "records.value",
                worded("{right} correct out of {out_of} is impossible", right=low, out_of=high),
                "check the two numbers",
            )
        ]
    if table == "choices" and (found.get("rung") or 1) > (found.get("rungs") or 99):
        return [Problem("records.value", "the rung is higher than the ladder", "check the two numbers")]
    return []
