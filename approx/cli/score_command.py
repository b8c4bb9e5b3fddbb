"""`approx score` and `approx agree`: numbers of a sample, and of two transcribers."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from approx.cli.output import print_json, print_problems
from approx.cli.sample_input import count_input, grouped, read_input
from approx.problems import BAD_DATA, WRONG_USE, Problem, exit_code
from approx.processes.accents_used import Accents
from approx.scoring.options import Options, default_options, option_names, options_with, signature
from approx.scoring.sample import Sample
from approx.scoring.sample_score import GroupScore, score_counts, score_group
from approx.scoring.sample_token import CellChange, Token

LONG = 20_000
"""Rows from which on a person is told how far it is."""


def score(
    file: str,
    language: str,
    by: str,
    settings: list[str],
    as_json: bool,
    as_csv: bool,
    xlsx: Path | None,
    page: Path | None,
    accents: list[str],
) -> int:
    """Every measure per group with n, interval, band, caution and signature."""
    options, problems = read_settings(settings)
    if problems:
        print_problems(problems)
        return WRONG_USE
    options = replace(options, accents=tuple(sorted({*options.accents, *accents})))
    accepted = Accents(options.accents)
    sample: Sample | None = None
    if page is None and xlsx is None and options.repeats == "every":
        from approx.cli.long_files import Bar, uncollected

        bar = Bar("groups scored")
        with uncollected():
            found = count_input(file, language, by)
            long = found.rows > LONG
            scores = score_counts(found, options, accepted.others, False, told=bar.count if long else None)
        bar.clear()
        changes, problems = found.changes, list(found.problems)
    else:
        sample = read_input(file, language)
        groups, problems = grouped(sample, by)
        problems = [*sample.problems, *problems]
        scores = [score_group(labels, members, options, accepted.others) for labels, members in by_language(groups)]
        changes = sample.changes
    problems += accepted.problems.values()
    if not scores:
        print_problems(problems)
        return BAD_DATA
    mark = signature(options)
    if as_json:
        from approx.reports.score_data import scores_json

        print_json(scores_json(scores, mark, problems, changes))
    elif as_csv:
        import sys

        from approx.reports.score_data import SCORE_COLUMNS, score_rows
        from approx.scoring.sample_write import write_csv

        write_csv(sys.stdout.buffer, SCORE_COLUMNS, score_rows(scores, mark))
    else:
        from approx.reports.score_data import score_lines

        print("\n".join(score_lines(scores, mark, changes)))
    if xlsx is not None and sample is not None:
        from approx.reports.score_data import SCORE_COLUMNS, score_rows
        from approx.scoring.sample_write import sample_table, write_xlsx

        tables = {"scores": (SCORE_COLUMNS, score_rows(scores, mark)), "sample": sample_table(sample)}
        problems += write_xlsx(xlsx, tables)
    if page is not None:
        problems += _page(page, by_language(groups), scores, changes, mark, accepted)
    print_problems(problems)
    return exit_code(problems)


def _page(
    path: Path,
    groups: list[tuple[dict[str, str], list[Token]]],
    scores: list[GroupScore],
    changes: tuple[CellChange, ...],
    mark: str,
    accepted: Accents,
) -> list[Problem]:
    """The printable page, whole or not at all."""
    from approx.child.inventory import inventory
    from approx.cli.inventory_command import said
    from approx.cli.output import replace_file
    from approx.processes.chances import default_options as default_chances
    from approx.processes.explain import Explainer
    from approx.processes.ruleset import load
    from approx.processes.sample_processes import explain_sample, pairs_of
    from approx.reports.sample_page import SamplePart, sample_page

    rules, chances = load(), default_chances()
    parts = []
    for (_, members), score_of in zip(groups, scores):
        tag = members[0].language
        found = explain_sample(Explainer(rules, tag), pairs_of(members, accepted).get(tag, ()), chances)
        parts.append(SamplePart(score_of, found, inventory(said(members), None, tag)))
    problem = replace_file(path, sample_page(parts, changes, chances, mark))
    return [problem] if problem else []


def by_language(groups: list[tuple[dict[str, str], list[Token]]]) -> list[tuple[dict[str, str], list[Token]]]:
    """Groups of one language each: two languages are never scored in one number."""
    out: list[tuple[dict[str, str], list[Token]]] = []
    for labels, members in groups:
        parts: dict[str, list[Token]] = {}
        for token in members:
            parts.setdefault(token.language, []).append(token)
        for tag, part in parts.items():
            out.append((labels | ({"language": tag} if len(parts) > 1 else {}), part))
    return out


def read_settings(settings: list[str]) -> tuple[Options, list[Problem]]:
    """`name=value` pairs as measure options; every fault is named."""
    defaults = default_options()
    kinds = {field.name: getattr(defaults, field.name) for field in fields(Options)}
    changes: dict[str, Any] = {}
    problems: list[Problem] = []
    for setting in settings:
        name, equals, text = setting.partition("=")
        name = name.strip().replace("-", "_")
        if not equals or name not in kinds:
            hint = "name=value with one of: " + ", ".join(option_names())
            problems.append(Problem("use.set", f"'{setting}' is not an option", hint))
            continue
        value, hint = _value(text.strip(), kinds[name], name)
        if hint:
            problems.append(Problem("use.set", f"'{text}' does not fit {name}", hint))
        else:
            changes[name] = value
    return options_with(**changes), problems


def _value(text: str, usual: object, name: str) -> tuple[Any, str]:
    """The text as the option's kind, or a hint."""
    from approx.scoring.options import option_notes

    if isinstance(usual, bool):
        known = {"yes": True, "true": True, "no": False, "false": False}
        return (known[text.lower()], "") if text.lower() in known else (None, "yes or no")
    if isinstance(usual, (int, float)):
        try:
            number = type(usual)(text)
        except ValueError:
            return None, "a number"
        return (number, "") if 0 <= number <= 1_000_000 else (None, "a number from 0")
    if isinstance(usual, tuple):
        return tuple(part for part in text.split("+") if part), ""
    choices = option_notes(name).get("choices", [])
    return (text, "") if not choices or text in choices else (None, "one of " + ", ".join(map(str, choices)))


def agree(one: str, other: str, language: str, as_json: bool) -> int:
    """Agreement of two transcribers: rows are matched by child, date, word and attempt, else by order."""
    from approx.reports.agreement_data import agreement_json, agreement_lines
    from approx.scoring.agreement import agreement

    samples = [read_input(name, language) for name in (one, other)]
    problems = [problem for sample in samples for problem in sample.problems]
    first, second = (dict(_keyed(sample.tokens)) for sample in samples)
    shared = [key for key in first if key in second]
    alone = [first[key] for key in first if key not in second] + [second[key] for key in second if key not in first]
    for token in alone[:50]:
        message = f"'{token.target_word}' (row {token.row}) stands in one file only"
        problems.append(Problem("agree.alone", message, "left out of agreement", fatal=False))
    pairs = [(first[key], second[key]) for key in shared]
    both = [(a, b) for a, b in pairs if a.produced is not None and b.produced is not None]
    if not both:
        problems.append(Problem("agree.none", "the two files share no transcribed token", "same words in both files"))
        print_problems(problems)
        return BAD_DATA
    found = agreement(
        [(a.produced, b.produced) for a, b in both if a.produced and b.produced],
        [a.target or b.target for a, b in both],
    )
    words = [a.target_word for a, _ in both]
    if as_json:
        print_json(agreement_json(found, words, len(alone)) | {"problems": [p.as_json() for p in problems]})
    else:
        print("\n".join(agreement_lines(found, words)))
    print_problems(problems)
    return exit_code(problems)


def _keyed(tokens: tuple[Token, ...]) -> list[tuple[tuple[str, str, str, int], Token]]:
    """Tokens by child, date, word, and the how-many-eth of that word."""
    seen: dict[tuple[str, str, str], int] = {}
    out = []
    for token in tokens:
        word = token.target_word.lower() or (token.target.ipa if token.target else "")
        key = (token.child, token.session_date, word)
        seen[key] = seen.get(key, 0) + 1
        out.append(((*key, seen[key]), token))
    return out
