"""`approx processes`: what changes in a sample, on how many chances.

A sample counted for its processes: distinct pairs by group, and which row held which, in a few bytes a row.
"""

from __future__ import annotations

import sys
from array import array
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path

from approx.cli.output import Bar, opened, print_problems, uncollected
from approx.cli.sample_input import look_up
from approx.ipa.word import Word
from approx.problems import BAD_DATA, Problem, exit_code
from approx.processes.accept.accents_used import Accents
from approx.processes.accept.accept import AcceptedForm, accepted_form
from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explain import Explainer, Forms
from approx.processes.explain.opportunities import OpportunityOptions
from approx.processes.explain.sample_processes import ExplainedPair, count_group, hear
from approx.processes.rules.ruleset import RuleSet, load
from approx.reports.tables.processes import GroupProcesses, TokenTexts, group_json, group_lines, spread
from approx.reports.tables.streamed_json import write_json
from approx.samples.rows.sample import COUNTED, Pair, grouped, open_reader
from approx.scoring.alignment.align import Link

_FEW = 3000
"""Pairs up to which aligning them one by one is over sooner than what aligns many is loaded."""


@dataclass(slots=True)
class Group:
    """Tokens that agree in the columns asked for, and in language: which pair stood in which row; what was left out."""

    labels: dict[str, str]
    language: str
    rows: array[int] = field(default_factory=lambda: array("I"))
    pairs: array[int] = field(default_factory=lambda: array("I"))
    left_out: list[tuple[int, str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class CountedSample:
    """The distinct pairs of a file, and its groups; `pairs` of a group are places in this list."""

    pairs: list[Pair]
    groups: list[Group]
    problems: tuple[Problem, ...]


def count_tokens(file: str, language: str, by: Sequence[str]) -> CountedSample:
    """One pass over FILE ("-" is stdin). Memory grows with the distinct pairs, and by two numbers a token."""
    reader = open_reader(opened(file), language or "en-US", look_up=look_up)
    numbers: dict[Pair, int] = {}
    groups: dict[tuple[tuple[str, ...], str], Group] = {}
    for row, key, pairs in grouped(reader, by):
        for pair in pairs:
            group = groups.get((key, pair.language))
            if group is None:
                group = groups[key, pair.language] = Group(dict(zip(by, key)), pair.language)
            if pair.kind not in COUNTED:
                group.left_out.append((row, pair.reason or pair.kind))
                continue
            group.rows.append(row)
            group.pairs.append(numbers.setdefault(pair, len(numbers)))
    several = Counter(key for key, _ in groups)
    for (key, tag), group in groups.items():
        if several[key] > 1:
            group.labels["language"] = tag
    return CountedSample(list(numbers), list(groups.values()), reader.log.problems())


def hear_all(
    sample: CountedSample, ruleset: RuleSet, accepted: Accents
) -> tuple[list[ExplainedPair], dict[int, AcceptedForm]]:
    """Each distinct pair explained, against the accepted adult form that is nearest to what was said; and what was
    accepted, by the number of the pair."""
    by_language: dict[str, list[int]] = {}
    for number, pair in enumerate(sample.pairs):
        by_language.setdefault(pair.language, []).append(number)
    out: dict[int, ExplainedPair] = {}
    forms: dict[int, AcceptedForm] = {}
    for tag, numbers in by_language.items():
        kinds: list[tuple[str, Word, Word]] = []
        for number in numbers:
            pair = sample.pairs[number]
            target, produced = pair.target, pair.produced
            if target is None or produced is None:
                raise ValueError("a counted pair has an adult form and a production")
            nearest = accepted.accepted(target, produced, tag, pair.target_word)
            if form := accepted_form(pair.target_word or target.ipa, nearest):
                forms[number] = form
            kinds.append((pair.target_word, nearest.word, produced))
        out.update(zip(numbers, hear(Explainer(ruleset, tag), kinds, _Linker(len(kinds)))))
    return [out[number] for number in range(len(sample.pairs))], forms


class _Linker:
    """Aligns many pairs at once, and tells a person who waits how far it is."""

    def __init__(self, number: int) -> None:
        self.number, self.done = number, 0
        self.bar = Bar("different pairs explained", number)

    def __call__(self, forms: Sequence[Forms]) -> Sequence[Sequence[Link]]:
        if self.number <= _FEW:
            from approx.processes.explain.explain import one_by_one

            return one_by_one(forms)
        from approx.scoring.alignment.costs import prepare
        from approx.scoring.bulk.fast_align import Forms as Row
        from approx.scoring.bulk.fast_align import links_many

        self.bar.move(self.done)
        self.done += len(forms)
        if self.done >= self.number:
            self.bar.clear()
        meant = {id(one): one for one, _ in forms}
        ready = {number: prepare(one) for number, one in meant.items()}
        return links_many(Row([ready[id(one)] for one, _ in forms]), Row([prepare(other) for _, other in forms]))


Chosen = dict[ExplainedPair, Derivation]


@uncollected()
def processes(
    file: str,
    language: str,
    by: str,
    options: OpportunityOptions,
    rules: Path | None,
    tokens: bool,
    as_json: bool,
    accents: list[str],
    as_csv: bool = False,
) -> int:
    """Explain every counted token, by child and session unless other columns are named."""
    from approx.version import __version__

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
        from approx.reports.tables.processes import PROCESS_COLUMNS, process_rows
        from approx.samples.files.write import write_csv

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
    heard: list[ExplainedPair],
    forms: dict[int, AcceptedForm],
    options: OpportunityOptions,
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


def _failed(heard: ExplainedPair, chosen: Chosen) -> list[str]:
    """Adult sounds whose change no rule reaches."""
    reading = chosen.get(heard, heard.readings[0])
    return [heard.target.phones[t] for t in reading.unexplained]


def _told(group: Group, heard: list[ExplainedPair], chosen: Chosen, write: TokenTexts.Writer) -> Iterator[str]:
    """Every token of a group in order of rows."""
    for row, number in zip(group.rows, group.pairs):
        each = heard[number]
        yield write(row, each, chosen.get(each, each.readings[0]))
