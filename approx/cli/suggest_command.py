"""`approx suggest`: a phrase or a list, for one child."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from approx.child import read_child
from approx.cli.output import is_terminal, print_json, print_problems
from approx.practice.suggest.answer import Answer
from approx.practice.suggest.suggest import Options, Suggester
from approx.problems import BAD_DATA, FINE, WRONG_USE, Problem, exit_code

SHOWN_PROGRESS = 500
"""Lists longer than this report progress on stderr."""


@dataclass(frozen=True, slots=True)
class Request:
    """The command line as typed."""

    phrase: str | None
    child: Path | None
    words: str | None
    top: int
    language: str
    emerging: bool
    short: bool
    as_json: bool
    as_csv: bool
    rules: Path | None
    notation: str = "ipa"


def run(request: Request) -> int:
    """Answer and print; 0 fine, 1 problems in the data, 2 wrong use."""
    wrong = _wrong_use(request)
    if wrong is not None:
        print_problems([wrong])
        return WRONG_USE
    assert request.child is not None  # checked above; tells the type checker
    profile, problems = read_child(request.child)
    if profile is None or exit_code(problems) != FINE:
        return _refused(request, list(problems), profile.code if profile else "")
    options = Options(request.top, request.language, request.emerging, request.short, request.rules, request.notation)
    suggester = Suggester(profile, options)
    found = [*problems, *suggester.rules.problems]
    if request.rules is not None:
        from approx.processes.engine.proofs import examples_hold

        found += examples_hold(suggester.rules)
    if exit_code(found) != FINE:
        return _refused(request, found, profile.code)
    if request.words is not None:
        answer = _list(suggester, request.words, found)
    else:
        text = sys.stdin.buffer.read().decode("utf-8-sig", "replace") if request.phrase == "-" else request.phrase or ""
        if "\ufffd" in text or "\0" in text:
            found.append(
                Problem("suggest.encoding", "the phrase is not UTF-8 text", "save or type it as UTF-8", "stdin")
            )
        answer = suggester.phrase(" ".join(text.split()))
    _print(answer, request)
    print_problems([*found, *answer.problems])
    return exit_code([*found, *answer.problems])


def _refused(request: Request, problems: list[Problem], code: str) -> int:
    """Nothing was answered: the problems, as JSON too where JSON was asked for."""
    if request.as_json:
        data = {"child": code, "signature": "", "problems": [problem.as_json() for problem in problems], "words": []}
        print_json(data)
    print_problems(problems)
    return BAD_DATA


def _wrong_use(request: Request) -> Problem | None:
    if request.child is None:
        hint = "--child FILE; `approx child new FILE` writes one to fill in"
        return Problem("use.child", "no child file named", hint)
    if (request.phrase is None) is (request.words is None):
        return Problem("use.phrase", "give a phrase or a list (--words FILE), one of the two", "approx suggest --help")
    if request.as_json and request.as_csv:
        return Problem("use.format", "--json and --csv are two answers", "choose one")
    if request.notation not in ("ipa", "x-sampa"):
        return Problem("use.notation", f"'{request.notation}' is not a notation", "ipa or x-sampa")
    return None


def _list(suggester: Suggester, name: str, found: list[Problem]) -> Answer:
    from approx.practice.suggest.input_targets import read_words

    rows, problems = read_words(name)
    found += problems
    if len(rows) > SHOWN_PROGRESS:
        print(f"{len(rows)} words ...", file=sys.stderr)
    return suggester.list(rows, "stdin" if name == "-" else name)


def _print(answer: Answer, request: Request) -> None:
    if request.as_json:
        from approx.reports.tables.suggestions import answer_json

        print_json(answer_json(answer))
    elif request.as_csv:
        import csv

        from approx.reports.tables.suggestions import CSV_COLUMNS, answer_rows

        writer = csv.DictWriter(sys.stdout, CSV_COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(answer_rows(answer))
    elif not answer.words:
        return
    elif is_terminal():
        from rich.console import Console

        from approx.reports.text.suggestions import answer_table

        Console().print(answer_table(answer))
    else:
        from approx.reports.text.suggestions import answer_lines

        print("\n".join(answer_lines(answer)))
