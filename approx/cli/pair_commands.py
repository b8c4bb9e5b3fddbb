"""`approx explain` and `approx align`: one pair of forms."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from approx.cli.output import print_json, print_problems
from approx.ipa import Word, read
from approx.problems import BAD_DATA, Problem, exit_code
from approx.samples.cells.forms import joined


def explain(
    target: str,
    produced: str,
    language: str,
    notation: str,
    rules: Path | None,
    as_json: bool,
    accents: Sequence[str] = (),
) -> int:
    """The derivation of one pair, from the accepted adult form that is nearest to what was said."""
    pair, problems = read_pair(target, produced, language, notation)
    if pair is None:
        print_problems(problems)
        return BAD_DATA
    from approx.processes.accept.accents_used import Accents
    from approx.processes.explain.explain import Explainer, explain_accepted
    from approx.processes.rules.ruleset import load
    from approx.reports.tables.processes import explanation_json, explanation_lines

    ruleset = load(rules)
    accepted = Accents(accents)
    found, form = explain_accepted(Explainer(ruleset, language), *pair, accepted)
    problems = (*problems, *accepted.problems.values())
    if as_json:
        print_json(explanation_json(found, form))
    else:
        print("\n".join(explanation_lines(found, form)))
    print_problems([*problems, *ruleset.problems])
    return exit_code([*problems, *ruleset.problems])


def align(target: str, produced: str, language: str, notation: str, as_json: bool) -> int:
    """The links of one pair."""
    pair, problems = read_pair(target, produced, language, notation)
    if pair is None:
        print_problems(problems)
        return BAD_DATA
    from approx.scoring.alignment.align import align as link
    from approx.scoring.alignment.align import two_vowels

    alignment = link(pair[0], two_vowels(*pair))
    if as_json:
        print_json(alignment.as_json())
    else:
        for i, j in alignment.links:
            adult = "+" if i is None else alignment.target[i]
            child = "-" if j is None else alignment.produced[j]
            print(f"{adult}\t{child}")
    print_problems(problems)
    return exit_code(problems)


def read_pair(
    target: str, produced: str, language: str, notation: str
) -> tuple[tuple[Word, Word] | None, tuple[Problem, ...]]:
    """Both forms; a word left off whole (0, ∅, -) is a form without sounds."""
    problems: list[Problem] = []
    words: list[Word] = []
    for name, typed in (("target", target), ("production", produced)):
        reading = read(typed, language, notation)
        problems += [problem.at(name) for problem in reading.problems]
        if reading.omitted and name == "production":
            words.append(Word((), (), ()))
        elif reading.words:
            words.append(joined(reading.words, typed.split()))
        else:
            problems.append(
                Problem("pair.empty", f"the {name} '{typed}' holds no sound", "write IPA, such as spun", name)
            )
    fatal = any(problem.fatal for problem in problems)
    return (None if fatal or len(words) != 2 else (words[0], words[1])), tuple(problems)
