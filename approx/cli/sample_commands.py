"""`approx predict`: how a child will likely say words not yet tried, by the rates of a sample.

`approx score` and `approx agree`: numbers of a sample, and of two transcribers.

`approx inventory`: what a child was heard to say, and a profile made of it.
"""

from __future__ import annotations

import sys
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from approx.child.inventory import HeardForm, Inventory, apart, inventory
from approx.child.inventory_criterion import Criterion, criteria, criterion
from approx.cli.output import print_json, print_problems, replace_file
from approx.cli.sample_input import count_input, grouped, read_input
from approx.ipa import read
from approx.ipa.word import Word
from approx.practice.suggest.input_targets import read_words
from approx.problems import BAD_DATA, WRONG_USE, Problem, exit_code
from approx.processes.accept.accents_used import Accents
from approx.samples.rows.sample import Sample
from approx.samples.token import CellChange, Token
from approx.scoring.judging.options import Options, default_options, option_names, options_with, signature
from approx.scoring.sample_score import GroupScore, score_counts, score_group

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
        from approx.cli.output import Bar, uncollected

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
        from approx.reports.tables.scores import write_scores_json

        write_scores_json(sys.stdout, scores, mark, problems, changes)
    elif as_csv:
        from approx.reports.tables.scores import SCORE_COLUMNS, score_rows
        from approx.samples.files.write import write_csv

        write_csv(sys.stdout.buffer, SCORE_COLUMNS, score_rows(scores, mark))
    else:
        from approx.reports.tables.scores import score_lines

        print("\n".join(score_lines(scores, mark, changes)))
    if xlsx is not None and sample is not None:
        from approx.reports.tables.scores import SCORE_COLUMNS, score_rows
        from approx.samples.files.write import sample_table, write_xlsx

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
    from approx.cli.output import replace_file
    from approx.processes.explain.explain import Explainer
    from approx.processes.explain.opportunities import default_options as default_opportunities
    from approx.processes.explain.sample_processes import explain_sample, pairs_of
    from approx.processes.rules.ruleset import load
    from approx.reports.documents.sample_page import SamplePart, sample_page

    rules, chances = load(), default_opportunities()
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
    from approx.scoring.judging.options import option_notes

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
    from approx.reports.tables.agreement import agreement_json, agreement_lines
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
        from approx.reports.tables.inventory import inventory_json

        groups_json = [labels | inventory_json(each) for labels, _, each in found]
        print_json({"groups": groups_json, "problems": [problem.as_json() for problem in problems]})
    else:
        from approx.reports.tables.inventory import inventory_lines

        for labels, _, each in found:
            print("\n".join(inventory_lines(each, ", ".join(f"{k} {v}" for k, v in labels.items() if v))))
    if write is not None:
        problems += _write(found, write, force)
    print_problems(problems)
    return exit_code(problems)


def said(tokens: list[Token]) -> list[HeardForm]:
    """All that was said, with or without gloss; a phrase in one cell as its words."""
    out: list[HeardForm] = []
    for token in tokens:
        if token.produced is not None and token.kind != "omitted":
            one = HeardForm(token.target_word, token.produced, token.target)
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


def run(file: str, words: str, language: str, top: int, probe: int, rules: Path | None, as_json: bool) -> int:
    """Likely forms of each word with probabilities that add up, and the words that would teach most."""
    from approx.processes.explain.explain import Explainer, explain_accepted
    from approx.processes.predict.predict import Predictor, probe_next, rates
    from approx.processes.rules.ruleset import load

    sample = read_input(file, language)
    problems = list(sample.problems)
    rows, more = read_words(words)
    problems += more
    counted = [t for t in sample.tokens if t.counted and t.target is not None and t.produced is not None]
    if not counted or not rows:
        print_problems(problems or [Problem("predict.none", "no token to learn from", "see `approx score`", file)])
        return BAD_DATA
    tag = language or counted[0].language
    ruleset = load(rules)
    explainer = Explainer(ruleset, tag)
    right = Accents(())
    told = [
        explain_accepted(explainer, t.target, t.produced, right, t.target_word)[0]
        for t in counted
        if t.target and t.produced and t.language == tag
    ]
    found = rates(told, ruleset, tag)
    targets = _targets(rows, tag, words, problems)
    predictor = Predictor(found, ruleset, tag)
    predictions = [(word, predictor.predict(target, top)) for word, target in targets]
    probes = probe_next(found, targets, ruleset, probe, tag) if probe else ()
    if as_json:
        print_json(
            {
                "child": ", ".join(dict.fromkeys(t.child for t in counted)),
                "tokens": len(told),
                "problems": [problem.as_json() for problem in problems],
                "words": [
                    {
                        "word": word,
                        "target": each.target.ipa,
                        "forms": [{"ipa": form.ipa, "p": round(form.p, 6)} for form in each.forms],
                        "other": round(each.other, 6),
                    }
                    for word, each in predictions
                ],
                "probe_next": [each.word for each in probes],
            }
        )
    else:
        print(f"from {len(told)} tokens; small samples predict loosely")
        for word, each in predictions:
            forms = "  ".join(f"{form.ipa} {form.p:.0%}" for form in each.forms)
            print(f"{word} {each.target.ipa}: {forms}  other {each.other:.0%}")
        if probes:
            print("most worth trying next: " + ", ".join(each.word for each in probes))
    print_problems(problems)
    return exit_code(problems)


def _targets(rows: list[tuple[str, str, int]], tag: str, file: str, problems: list[Problem]) -> list[tuple[str, Word]]:
    from approx.lexicon import pronunciations

    out: list[tuple[str, Word]] = []
    for word, ipa, line in rows:
        readings = pronunciations(word, tag) if not ipa else ()
        form = ipa or (readings[0].ipa if readings else "")
        reading = read(form, tag) if form else None
        if reading is None or reading.problems or len(reading.words) != 1:
            hint = "write it as IPA in the column target_ipa"
            problems.append(Problem("lexicon.unknown", f"cannot read '{word}'", hint, file, line, symbol=word))
        else:
            out.append((word, reading.words[0]))
    return out
