"""`approx inventory`: what a child was heard to say, and a profile made of it."""

from __future__ import annotations

import sys
from pathlib import Path

from approx.child.inventory import Inventory, Said, apart, inventory
from approx.child.inventory_criterion import Criterion, criteria, criterion
from approx.cli.output import print_json, print_problems, replace_file
from approx.cli.sample_input import grouped, read_input
from approx.cli.score_command import by_language
from approx.problems import BAD_DATA, WRONG_USE, Problem, exit_code
from approx.scoring.sample_token import Token


def show(file: str, language: str, by: str, rule: str, write: Path | None, force: bool, as_json: bool) -> int:
    """Print the inventory of each group; with `write`, a child file of the only (or last) one."""
    if rule and rule not in criteria():
        print_problems([Problem("use.criterion", f"no criterion '{rule}'", "one of " + ", ".join(criteria()))])
        return WRONG_USE
    sample = read_input(file, language)
    problems = list(sample.problems)
    if not sample.tokens:
        print_problems(problems)
        return BAD_DATA
    groups, wrong = grouped(sample, by)
    problems += wrong
    chosen = criterion(rule)
    found = [(labels, members, _of(members, chosen)) for labels, members in by_language(groups)]
    if as_json:
        from approx.reports.inventory_data import inventory_json

        groups_json = [labels | inventory_json(each) for labels, _, each in found]
        print_json({"groups": groups_json, "problems": [problem.as_json() for problem in problems]})
    else:
        from approx.reports.inventory_data import inventory_lines

        for labels, _, each in found:
            print("\n".join(inventory_lines(each, ", ".join(f"{k} {v}" for k, v in labels.items() if v))))
    if write is not None:
        problems += _write(found, write, force)
    print_problems(problems)
    return exit_code(problems)


def said(tokens: list[Token]) -> list[Said]:
    """All that was said, with or without gloss; a phrase in one cell as its words."""
    out: list[Said] = []
    for token in tokens:
        if token.produced is not None and token.kind != "omitted":
            one = Said(token.target_word, token.produced, token.target)
            out += apart(one, token.typed_produced, token.typed_target, token.language)
    return out


def _of(tokens: list[Token], rule: Criterion) -> Inventory:
    return inventory(said(tokens), rule, tokens[0].language)


def _write(found: list[tuple[dict[str, str], list[Token], Inventory]], path: Path, force: bool) -> list[Problem]:
    """A child file, whole or not at all; one child only, and an existing file only if asked."""
    from approx.child.write_profile import write_profile

    codes = list(dict.fromkeys(members[0].child for _, members, _ in found))
    if len(codes) > 1:
        hint = "keep one child in the file, or use --by child on a file of one child"
        return [Problem("inventory.children", f"{len(codes)} children: {', '.join(codes[:5])}", hint)]
    if path.exists() and not force:
        return [Problem("file.exists", "this file is there already", "choose another name, or add --force", str(path))]
    labels, members, each = found[-1]
    ages = {token.age for token in members if token.age is not None}
    months = ages.pop() if len(ages) == 1 else None
    age = f"{months // 12};{months % 12}" if months is not None else ""
    text = write_profile(each, codes[0] or "X01", age)
    problem = replace_file(path, text)
    if problem is not None:
        return [problem]
    which = f" from {', '.join(f'{k} {v}' for k, v in labels.items() if v)}" if len(found) > 1 else ""
    print(f"{path}: written{which}; check it line by line, then `approx child show {path}`", file=sys.stderr)
    return []
