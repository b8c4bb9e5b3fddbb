"""`approx words --child FILE`: words for this child, ranked with reasons, or a set chosen together.

`approx words say`: how a word is read, and a reading of one's own remembered.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from approx.child import read_child
from approx.child.profile import Profile
from approx.cli.output import is_terminal, print_json, print_problems
from approx.ipa import read
from approx.lexicon import pronunciations
from approx.lexicon.own_words import load_own_words, own_words_path
from approx.lexicon.own_words import say as remember
from approx.practice.words.word_choice import ChoiceOptions, WordChoice, WordWishes, choose_words, read_wishes
from approx.practice.words.word_weights import orders
from approx.problems import BAD_DATA, FINE, WRONG_USE, Problem, exit_code


def say(word: str, ipa: str, language: str, as_json: bool) -> int:
    """Without IPA: list the readings. With IPA: remember it for good."""
    if not ipa:
        return _show(word, language, as_json)
    reading = read(ipa, language)
    problems = reading.problems or remember(word, reading.ipa, language)
    print_problems(problems)
    if exit_code(problems) != FINE:
        return BAD_DATA
    print(f"'{word}' is now read {reading.ipa} (kept in {own_words_path().name})", file=sys.stderr)
    return FINE


def _show(word: str, language: str, as_json: bool) -> int:
    own, problems = load_own_words(language)
    readings = pronunciations(word, language, own)
    print_problems(problems)
    if as_json:
        rows = [{"ipa": r.ipa, "read_from": r.source, "sure": r.sure, "note": r.note} for r in readings]
        print_json({"word": word, "readings": rows})
    else:
        for reading in readings:
            doubt = "" if reading.sure else ", check it"
            print(f"{reading.ipa}\t{reading.source}{doubt}" + (f"\t{reading.note}" if reading.note else ""))
    if not readings:
        print(f"cannot read '{word}'; remember it: approx words say {word} /IPA/", file=sys.stderr)
        return BAD_DATA
    return exit_code(problems)


@dataclass(frozen=True, slots=True)
class Request:
    """The command line as typed."""

    child: Path | None
    count: int = 12
    set_size: int = 0
    seed: int = 1
    known: float | None = None
    new: int = 1
    order: str = ""
    category: Sequence[str] = ()
    pos: Sequence[str] = ()
    shape: Sequence[str] = ()
    sound: Sequence[str] = ()
    new_sound: Sequence[str] = ()
    exclude: Sequence[str] = ()
    goal: Sequence[str] = ()
    own: str = ""
    picturable: bool = False
    contrast: bool = False
    language: str = ""
    emerging: bool = False
    as_json: bool = False
    as_csv: bool = False
    rules: Path | None = None


def run(request: Request) -> int:
    """Answer and print; 0 fine, 1 problems in the data, 2 wrong use."""
    wrong = _wrong_use(request)
    if wrong is not None:
        print_problems([wrong])
        return WRONG_USE
    assert request.child is not None  # checked above; tells the type checker
    profile, problems = read_child(request.child)
    if profile is None or exit_code(problems) != FINE:
        return _refused(request, problems, profile.code if profile else "")
    options, found = _options(request, profile)
    found = [*problems, *found]
    if request.rules is not None:
        from approx.processes.engine.proofs import examples_hold
        from approx.processes.rules.ruleset import load

        rules = load(request.rules)
        found += [*rules.problems, *examples_hold(rules)]
    if exit_code(found) != FINE:
        return _refused(request, found, profile.code)
    choice = choose_words(profile, options)
    _print(choice, request)
    every = list(dict.fromkeys([*found, *choice.problems]))
    print_problems(every)
    return exit_code(every)


def _wrong_use(request: Request) -> Problem | None:
    if request.child is None:
        hint = "--child FILE; `approx child new FILE` writes one to fill in; `approx words say WORD` shows how a word is read"
        return Problem("use.child", "no child file named", hint)
    names = [order.name for order in orders()]
    if request.order and request.order not in names:
        return Problem("use.order", f"'{request.order}' is no order", f"--order {' or '.join(names)}, or neither")
    if request.as_json and request.as_csv:
        return Problem("use.format", "--json and --csv are two answers", "choose one")
    return None


def _options(request: Request, profile: Profile) -> tuple[ChoiceOptions, list[Problem]]:
    exclude, more = _excluded(request.exclude)
    wishes = WordWishes(
        request.category, request.pos, request.shape, request.sound, request.new_sound, request.goal, exclude,
        request.picturable, request.new, request.own != "",
    )  # fmt: skip
    options, problems = read_wishes(wishes, request.language or profile.language)
    options = replace(
        options, count=request.count, set_size=request.set_size, seed=request.seed, order=request.order, own=request.own,
        in_inventory=request.known, contrast=request.contrast, language=request.language, emerging=request.emerging, rules=request.rules,
    )  # fmt: skip
    return options, [*problems, *more]


def _excluded(typed: Sequence[str]) -> tuple[frozenset[str], tuple[Problem, ...]]:
    """Words to leave out: words with commas between, or the name of a list."""
    out: set[str] = set()
    problems: list[Problem] = []
    for entry in typed:
        if Path(entry).is_file() or entry == "-":
            from approx.practice.suggest.input_targets import read_words

            rows, found = read_words(entry)
            out |= {word.lower() for word, _, _ in rows}
            problems += found
        elif "." in entry and "," not in entry:
            problems.append(
                Problem("words.file", f"no such list: '{entry}'", "check the name, or give words with commas", entry)
            )
        else:
            out |= {word.strip().lower() for word in entry.split(",") if word.strip()}
    return frozenset(out), tuple(problems)


def _refused(request: Request, problems: Sequence[Problem], code: str) -> int:
    """Nothing was chosen: the problems, as JSON too where JSON was asked for."""
    if request.as_json:
        print_json(
            {"child": code, "signature": "", "problems": [problem.as_json() for problem in problems], "words": []}
        )
    print_problems(problems)
    return BAD_DATA


def _print(choice: WordChoice, request: Request) -> None:
    if request.as_json:
        from approx.reports.tables.words import choice_json

        print_json(choice_json(choice))
    elif request.as_csv:
        from approx.reports.tables.words import WORD_COLUMNS, choice_rows
        from approx.samples.files.write import write_csv

        sys.stdout.flush()
        write_csv(sys.stdout.buffer, WORD_COLUMNS, choice_rows(choice))
    elif not choice.bank_size:
        return
    elif is_terminal():
        from rich.console import Console

        from approx.reports.text.words import choice_table

        Console().print(choice_table(choice))
    else:
        from approx.reports.text.words import choice_lines

        print("\n".join(choice_lines(choice)))
