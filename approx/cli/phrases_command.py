"""`approx phrases`: phrases, frames and grammar steps for one child."""

from __future__ import annotations

import gc
import sys
from dataclasses import dataclass
from pathlib import Path

from approx.child import read_child
from approx.cli.output import print_json, print_problems
from approx.practice.phrases.phrase_types import PhraseAnswer
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.input_targets import Row, read_words
from approx.practice.suggest.suggest import Options, Suggester
from approx.problems import BAD_DATA, FINE, WRONG_USE, Problem, exit_code


@dataclass(frozen=True, slots=True)
class Command:
    """The command line as typed."""

    child: Path | None
    words: str | None = None
    frames: bool = False
    relation: str = ""
    grammar: str = ""
    order: str = ""
    count: int = 0
    seed: int = 0
    length: int = 0
    language: str = ""
    emerging: bool = False
    as_json: bool = False
    as_csv: bool = False
    rules: Path | None = None


def run(command: Command) -> int:
    """Answer and print; 0 fine, 1 problems in the data, 2 wrong use."""
    wrong = _wrong_use(command)
    if wrong is not None:
        print_problems([wrong])
        return WRONG_USE
    assert command.child is not None  # checked above; tells the type checker
    profile, problems = read_child(command.child)
    found = list(problems)
    if profile is None or exit_code(found) != FINE:
        return _refused(command, found, profile.code if profile else "")
    suggester = Suggester(profile, Options(2, command.language, command.emerging, rules=command.rules))
    gc.freeze()  # rules and tables stay for good: no need to walk them again and again
    found += suggester.rules.problems
    rows, more = scene_words(command.words)
    found += more
    if exit_code(found) != FINE:
        return _refused(command, found, profile.code)
    answer = make_phrases(suggester, _request(command, rows))
    _print(answer, command)
    print_problems([*found, *answer.problems])
    return exit_code([*found, *answer.problems])


def scene_words(typed: str | None) -> tuple[tuple[Row, ...] | None, tuple[Problem, ...]]:
    """Words of a scene: a file, stdin for "-", or words set apart by commas (by blanks where there is no comma)."""
    if typed is None:
        return None, ()
    if typed == "-" or Path(typed).suffix.lower() in (".txt", ".csv", ".tsv") or _is_file(typed):
        rows, problems = read_words(typed)
        return tuple(rows), problems
    parts = typed.replace(";", ",").split(",") if "," in typed or ";" in typed else typed.split()
    words = [part.strip() for part in parts if part.strip()]
    if not words:
        hint = "a file with a word a line, or words set apart by commas: 'Bo, dig, mud'"
        return (), (Problem("words.empty", "the list of words is empty", hint),)
    return tuple((word, "", 0) for word in words), ()


def _is_file(typed: str) -> bool:
    try:
        return Path(typed).is_file()
    except OSError:  # a list of words may be longer than a file's name can be
        return False


def _request(command: Command, rows: tuple[Row, ...] | None) -> PhraseRequest:
    file = (
        command.words
        if command.words and rows is not None and (command.words == "-" or _is_file(command.words))
        else ""
    )
    kept = PhraseRequest()
    return PhraseRequest(
        rows, "stdin" if file == "-" else file or "", command.frames, command.relation, command.grammar,
        command.order or kept.order, command.count, command.seed, command.length,
    )  # fmt: skip


def _wrong_use(command: Command) -> Problem | None:
    if command.child is None:
        return Problem(
            "use.child", "no child file named", "--child FILE; `approx child new FILE` writes one to fill in"
        )
    if command.as_json and command.as_csv:
        return Problem("use.format", "--json and --csv are two answers", "choose one")
    if command.grammar and (command.frames or command.relation or command.length):
        return Problem("use.grammar", "--grammar builds up one phrase", "leave out --frames, --relation and --length")
    if command.order and not command.grammar:
        return Problem("use.order", "--order is the order of grammar steps", 'give a phrase with --grammar "dig mud"')
    return None


def _refused(command: Command, problems: list[Problem], code: str) -> int:
    """Nothing was answered: the problems, as JSON too where JSON was asked for."""
    if command.as_json:
        from approx.reports.tables.phrases import phrases_json

        print_json(phrases_json(PhraseAnswer(code, command.language, "", problems=tuple(problems))))
    print_problems(problems)
    return BAD_DATA


def _print(answer: PhraseAnswer, command: Command) -> None:
    if command.as_json:
        from approx.reports.tables.phrases import phrases_json

        print_json(phrases_json(answer))
    elif command.as_csv:
        import csv

        from approx.reports.tables.phrases import CSV_COLUMNS, phrases_rows

        writer = csv.DictWriter(sys.stdout, CSV_COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(phrases_rows(answer))
    else:
        from approx.reports.text.phrases import phrases_lines

        lines = phrases_lines(answer)
        if lines:
            print("\n".join(lines))
