"""`approx processes`: what changes in a sample, on how many chances."""

from __future__ import annotations

import sys
from pathlib import Path

from approx.cli.output import print_json, print_problems
from approx.cli.sample_input import Accents, grouped, read_input
from approx.problems import BAD_DATA, exit_code
from approx.processes.chances import ChanceOptions
from approx.processes.explain import Explainer
from approx.processes.ruleset import load
from approx.processes.sample_processes import Pair, SampleProcesses, explain_sample


def processes(
    file: str, language: str, by: str, options: ChanceOptions, rules: Path | None, tokens: bool, as_json: bool,
    accents: list[str],
) -> int:
    """Explain every counted token, by child and session unless other columns are named."""
    from approx import __version__
    from approx.reports.process_data import group_json, group_lines, token_json

    sample = read_input(file, language)
    ruleset = load(rules)
    problems = [*sample.problems, *ruleset.problems]
    if not sample.tokens:
        print_problems(problems)
        return BAD_DATA
    groups, wrong = grouped(sample, by)
    problems += wrong
    explainers: dict[str, Explainer] = {}
    accepted = Accents(accents)
    found: list[tuple[dict[str, str], SampleProcesses]] = []
    for labels, members in groups:
        by_language: dict[str, list[Pair]] = {}
        for token in members:
            if token.counted and token.target is not None and token.produced is not None:
                target = accepted.nearest(token.target, token.produced, token.language)
                pair = Pair(token.row, token.target_word, target, token.produced)
                by_language.setdefault(token.language, []).append(pair)
        for tag, pairs in by_language.items():
            explainer = explainers.setdefault(tag, Explainer(ruleset, tag))
            shown = labels | ({"language": tag} if len(by_language) > 1 else {})
            found.append((shown, explain_sample(explainer, pairs, options)))
    problems += accepted.problems.values()
    signature = f"processes|accents:{'+'.join(accents) or 'none'}|{options.signature}|rules:{ruleset.hash}|v:{__version__}"
    if as_json:
        told = [token_json(each) for _, each_group in found for each in each_group.told]
        data = {
            "signature": signature,
            "problems": [problem.as_json() for problem in problems],
            "groups": [group_json(each, options, labels) for labels, each in found],
            "tokens": told,
        }
        print_json(data)
    else:
        for labels, each in found:
            print("\n".join(group_lines(each, options, ", ".join(f"{k} {v}" for k, v in labels.items() if v) or file)))
            if tokens:
                for one in each.told:
                    names = ", ".join(one.reading.names) or "no change"
                    print(
                        f"  row {one.pair.key}\t{one.pair.word}\t{one.pair.target.ipa}\t{one.pair.produced.ipa}\t{names}"
                    )
        print(f"Counts describe this sample only; they are not a diagnosis.\nsignature: {signature}")
    print_problems(problems)
    sys.stdout.flush()
    return exit_code(problems)
