"""`approx processes`: what changes in a sample, on how many chances."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

from approx.cli.long_files import uncollected
from approx.cli.output import print_problems
from approx.cli.process_input import CountedSample, Group, count_tokens, hear_all
from approx.problems import BAD_DATA, Problem, exit_code
from approx.processes.accents_used import Accents
from approx.processes.accept import AcceptedForm
from approx.processes.chances import ChanceOptions
from approx.processes.derivation import Derivation
from approx.processes.ruleset import load
from approx.processes.sample_processes import Heard, count_group
from approx.reports.process_data import GroupProcesses, group_json, group_lines
from approx.reports.process_tokens import TokenTexts, spread, write_json

Chosen = dict[Heard, Derivation]


@uncollected()
def processes(
    file: str,
    language: str,
    by: str,
    options: ChanceOptions,
    rules: Path | None,
    tokens: bool,
    as_json: bool,
    accents: list[str],
    as_csv: bool = False,
) -> int:
    """Explain every counted token, by child and session unless other columns are named."""
    from approx import __version__

    names = tuple(dict.fromkeys(name.strip() for name in by.split(",") if name.strip()))
    sample = count_tokens(file, language, names)
    ruleset, accepted = load(rules), Accents(accents)
    problems: list[Problem] = [*sample.problems, *ruleset.problems]
    if not sample.groups:
        print_problems(problems)
        return BAD_DATA
    heard, forms = hear_all(sample, ruleset, accepted)
    problems += accepted.problems.values()
    signature = (
        f"processes|accents:{'+'.join(accents) or 'none'}|{options.signature}|rules:{ruleset.hash}|v:{__version__}"
    )
    taken: list[Chosen] = []
    found = _groups(sample, heard, forms, options, taken)
    texts = TokenTexts()
    if as_json:
        data = {"signature": signature, "problems": [problem.as_json() for problem in problems]}
        told = (_told(group, heard, chosen, texts.json) for group, chosen in zip(sample.groups, taken))
        groups = (spread(group_json(each, options)) for each in found)
        write_json(sys.stdout, data, {"groups": groups, "tokens": chain.from_iterable(told)})
    elif as_csv:
        from approx.reports.process_data import PROCESS_COLUMNS, process_rows
        from approx.scoring.sample_write import write_csv

        write_csv(sys.stdout.buffer, PROCESS_COLUMNS, process_rows(found, options, signature))
    else:
        for each, group in zip(found, sample.groups):
            print("\n".join(group_lines(each, options, file)))
            if tokens:
                sys.stdout.writelines(f"{line}\n" for line in _told(group, heard, taken[-1], texts.line))
        print(f"Counts describe this sample only; they are not a diagnosis.\nsignature: {signature}")
    print_problems(problems)
    sys.stdout.flush()
    return exit_code(problems)


def _groups(
    sample: CountedSample,
    heard: list[Heard],
    forms: dict[int, AcceptedForm],
    options: ChanceOptions,
    taken: list[Chosen],
) -> Iterator[GroupProcesses]:
    """What is shown of each group, made when it is asked for; the readings taken where they are not the first go to
    `taken`."""
    for group in sample.groups:
        said = Counter(group.pairs)
        chosen, tallies = count_group({heard[number]: often for number, often in said.items()}, options)
        taken.append(chosen)
        failed = {number: sounds for number in said if (sounds := _failed(heard[number], chosen))}
        rows = zip(group.rows, group.pairs)
        missing = [(heard[number].word, sound, row) for row, number in rows for sound in failed.get(number, ())]
        accepted: Counter[AcceptedForm] = Counter()
        for number in forms.keys() & said.keys():
            accepted[forms[number]] += said[number]
        shown = dict(sorted(accepted.items()))
        yield GroupProcesses(
            group.labels, group.language, len(group.rows), tallies, tuple(missing), tuple(group.left_out), shown
        )


def _failed(heard: Heard, chosen: Chosen) -> list[str]:
    """Adult sounds whose change no rule reaches."""
    reading = chosen.get(heard, heard.readings[0])
    return [heard.target.phones[t] for t in reading.unexplained]


def _told(group: Group, heard: list[Heard], chosen: Chosen, write: TokenTexts.Writer) -> Iterator[str]:
    """Every token of a group in order of rows."""
    for row, number in zip(group.rows, group.pairs):
        each = heard[number]
        yield write(row, each, chosen.get(each, each.readings[0]))
