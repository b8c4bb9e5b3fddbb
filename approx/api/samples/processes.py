"""What changes in a sample, on how many opportunities, in which words.

Distinct pairs are explained once; of a token two numbers are kept: its row, and which pair it was. So a file may have a
million rows. Groups and tokens are made when they are asked for.
"""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain, compress
from operator import or_
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, ClassVar, NamedTuple

from approx.api.options import (
    accents_named,
    checked_age,
    language_problem,
    list_problems,
    loaded_rules,
    opportunity_options,
    page_tag,
    path_problems,
    switch_problems,
)
from approx.api.result import OnProblem, OnProgress, Result, TableRows, joined_problems
from approx.api.samples.sample_input import BY, SampleSource, columns_of, look_up, table_from
from approx.api.write_table import TableKeys
from approx.processes.explain.opportunities import ActiveBy, LostR, LostSounds, OpportunityOptions, WeakSyllables
from approx.wording import worded

if TYPE_CHECKING:
    from approx.ipa.word import Word
    from approx.problems import Problem
    from approx.processes.accept.accept import Accents, AcceptedForm
    from approx.processes.explain.derivation import Derivation
    from approx.processes.explain.explained_pairs import ExplainedPair, ExplainedPairs
    from approx.processes.explain.sample_processes import GroupProcesses
    from approx.processes.rules.ruleset import RuleSet
    from approx.reports.document import Document
    from approx.samples.token import Pair
    from approx.scoring.alignment.align import FormPair, Linker, Never, PairLinks

PROCESS_CAUTION = "Counts describe this sample only; they are not a diagnosis."


@dataclass(slots=True)
class TokenGroup:
    """Tokens that agree in the columns asked for, and in language: which pair stood in which row; what was left out."""

    labels: dict[str, str]
    language: str
    rows: array[int] = field(default_factory=lambda: array("I"))
    pairs: array[int] = field(default_factory=lambda: array("I"))
    left_out: list[tuple[int, str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class CountedSample:
    """The groups of a sample; `pairs` of a group are places in the list of distinct pairs."""

    groups: list[TokenGroup]
    problems: tuple[Problem, ...]
    file: str


class ExplainedToken(NamedTuple):
    """One token: its row, what was said in it, and the reading taken for it in its group."""

    row: int
    pair: ExplainedPair
    reading: Derivation


@dataclass(frozen=True)
class Processes(Result):
    """Counts of each process in each group. `options`: when a process counts as active; in the signature too."""

    problems: tuple[Problem, ...] = ()
    signature: str = ""
    options: OpportunityOptions = field(default_factory=OpportunityOptions)
    sample: CountedSample | None = field(default=None, repr=False, compare=False)
    explained: ExplainedPairs | None = field(default=None, repr=False, compare=False)
    accepted: dict[int, AcceptedForm] = field(default_factory=dict, repr=False, compare=False)
    word_lists: bool = True
    """False: counts alone are shown, without the words and tokens behind them."""

    def _summary(self) -> Iterable[tuple[str, object]]:
        yield "groups", len(self.sample.groups) if self.sample else 0
        yield from super()._summary()

    @cached_property
    def groups(self) -> tuple[GroupProcesses, ...]:
        """All groups, held from then on."""
        return tuple(self.each_group())

    def each_group(self) -> Iterator[GroupProcesses]:
        """The groups one by one, none of them held."""
        return (found for found, _, _ in self._each())

    def each_token(self) -> Iterator[ExplainedToken]:
        """Every counted token, group by group, in order of rows."""
        pairs = self._pairs
        for _, group, chosen in self._each():
            for row, number in zip(group.rows, group.pairs):
                pair = pairs[number]
                yield ExplainedToken(row, pair, chosen.get(number) or pair.readings[0])

    is_table: ClassVar[bool] = True
    table_note: ClassVar[str] = PROCESS_CAUTION
    table_keys: ClassVar[TableKeys] = TableKeys(("child", "session_date", "group", "signature"), ("kind", "process"))

    def to_dict(self) -> dict[str, Any]:
        """What `approx processes --json` prints."""
        from approx.reports.tables.processes import group_json, token_json

        return {
            **self._head(),
            "groups": [group_json(each, self.options) for each in self.groups],
            "tokens": [token_json(*token) for token in self.each_token()] if self.word_lists else [],
        }

    def _head(self) -> dict[str, Any]:
        return {"signature": self.signature, "problems": [problem.as_json() for problem in self.problems]}

    def write_json(self, out: IO[str]) -> None:
        """What `--json` prints, written as it is made: groups and tokens of a long sample are never held together."""
        from approx.reports.tables.processes import TokenTexts, group_text
        from approx.reports.tables.streamed_json import write_json

        kept: list[tuple[TokenGroup, dict[int, Derivation]]] = []

        def groups() -> Iterator[str]:
            for found, group, chosen in self._each():
                if self.word_lists:
                    kept.append((group, chosen))
                yield group_text(found, self.options)

        made = TokenTexts(self._pairs)
        tokens = (made.json(group.rows, group.pairs, chosen) for group, chosen in kept)
        write_json(out, self._head(), {"groups": groups(), "tokens": chain.from_iterable(tokens)})

    def to_table(self) -> TableRows:
        """A row a process of a group, and one for each form that was accepted as right."""
        from approx.reports.tables.processes import PROCESS_COLUMNS, process_rows

        return PROCESS_COLUMNS, process_rows(self.each_group(), self.options, self.signature)

    def lines(self) -> list[str]:
        """Each group: counts beside every percentage, words beside every claim."""
        return list(self.each_line())

    def each_line(self, tokens: bool = False) -> Iterator[str]:
        """The lines that a terminal shows, one by one; `tokens`: with a line for each token after its group."""
        from approx.reports.tables.processes import TokenTexts, group_lines

        made = TokenTexts(self._pairs)
        if self.sample is None or not self.sample.groups:
            return
        for found, group, chosen in self._each():
            yield from group_lines(found, self.options, self.sample.file)
            if tokens:
                yield from made.lines(group.rows, group.pairs, chosen)
        yield PROCESS_CAUTION
        yield f"signature: {self.signature}"

    def document(self, language: str = "en", age: str = "") -> Document | None:
        """The report to print; None where there is no sample. `language`: of the page, en or es, with a region or that of the
        sample. `age`: of the child, as "4;5"."""
        from approx.reports.documents.processes_document import processes_document
        from approx.reports.regions import with_region

        language, age, groups = page_tag(language), checked_age(age), self.groups
        if not groups:
            return None
        return processes_document(groups, self.options, self.signature, with_region(language, groups[0].language), age)

    @property
    def _pairs(self) -> ExplainedPairs:
        from approx.processes.explain.explained_pairs import ExplainedPairs

        return self.explained or ExplainedPairs()

    def _each(self) -> Iterator[tuple[GroupProcesses, TokenGroup, dict[int, Derivation]]]:
        """Each group with its tokens, and the readings taken where they are not the first, by number of the pair."""
        from approx.processes.explain.sample_processes import GroupProcesses, ProcessCounter

        pairs = self._pairs
        counter = ProcessCounter(pairs, self.options)
        for group in self.sample.groups if self.sample else ():
            said = Counter(group.pairs)
            chosen, tallies = counter.count(said)
            for tally in tallies.values() if not self.word_lists else ():
                tally.words.clear()
                tally.not_in.clear()
            missing = _unexplained(pairs, group, chosen)
            forms: Counter[AcceptedForm] = Counter()
            for number in self.accepted.keys() & said.keys():
                forms[self.accepted[number]] += said[number]
            shown = dict(sorted(forms.items()))
            found = GroupProcesses(
                group.labels, group.language, len(group.rows), tallies, missing, tuple(group.left_out), shown
            )
            yield found, group, chosen


def _unexplained(
    pairs: ExplainedPairs, group: TokenGroup, chosen: Mapping[int, Derivation]
) -> tuple[tuple[str, str, int], ...]:
    """Adult sounds whose change no rule reaches: (word, sound, row)."""
    failing = map(pairs.counted.failing.__getitem__, map(pairs.readings.__getitem__, group.pairs))
    asked = map(or_, failing, map(chosen.__contains__, group.pairs))
    out: list[tuple[str, str, int]] = []
    for row, number in compress(zip(group.rows, group.pairs), asked):
        reading = chosen.get(number) or pairs.readings_of(number)[0]
        form = pairs.forms[number]
        word, phones = pairs.glosses[form], pairs.adults[form].target.phones
        out += [(word, phones[at], row) for at in reading.unexplained]
    return tuple(out)


def processes(
    sample: SampleSource,
    *,
    by: str | Iterable[str] = BY,
    language: str = "en-US",
    accents: str | Iterable[str] = (),
    rules: str | Path | None = None,
    lost_sounds: LostSounds = "count",
    weak_syllables: WeakSyllables = "all",
    least_opportunities: int = 4,
    active_percent: float = 20.0,
    frequent_percent: float = 40.0,
    criterion: ActiveBy = "percent",
    instances: int = 5,
    lost_r: LostR = "deletion",
    word_lists: bool = True,
    on_problem: OnProblem = "keep",
    on_progress: OnProgress | None = None,
) -> Processes:
    """Processes in a sample: occurrences, opportunities and words, and what no rule explains.

    Args:
        sample: a file, (adult form, production) pairs in IPA, or a data frame; as in `score`.
        by: columns to group by; "" for one group.
        language: language tag of rows that do not name one.
        accents: dialects or accents (files of `rules/accents/`) whose forms count as correct.
        rules: a folder of your own rule files.
        lost_sounds: whether omitted sounds "count" as opportunities or are to "drop" out.
        weak_syllables: weak syllables that count as opportunities: "all", or "pretonic and medial".
        least_opportunities: minimum number of opportunities before a process is judged.
        active_percent: a process is active from this percentage of its opportunities.
        frequent_percent: a process is frequent from this percentage.
        criterion: judge processes by "percent" or by "instances".
        instances: number of instances that make a process active with criterion="instances".
        lost_r: what to call an omitted postvocalic r: "deletion" or "vocalization".
        word_lists: False for counts alone, without the words and tokens behind them; useful with a million rows.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.
        on_progress: called with what is counted, how many are done, and out of how many.

    >>> import approx
    >>> fronting = approx.processes("samples/m12.csv").groups[0].tallies["velar fronting"]
    >>> fronting.occurrences, fronting.chances, list(fronting.words)[:2]
    (10, 10, ['cup', 'egg'])
    """
    names, unknown = accents_named(accents)
    options, wrong = opportunity_options(
        lost_sounds=lost_sounds, weak_syllables=weak_syllables, least_opportunities=least_opportunities, active_percent=active_percent,
        frequent_percent=frequent_percent, criterion=criterion, instances=instances, lost_r=lost_r,
    )  # fmt: skip
    wrong += [
        *language_problem(language),
        *unknown,
        *list_problems(by=by),
        *switch_problems(word_lists=word_lists),
        *path_problems(rules=rules),
    ]
    if wrong:
        return Processes(tuple(wrong), "", options).kept(on_problem)
    from approx.processes.accept.accept import Accents
    from approx.processes.explain.opportunities import counting_hash
    from approx.version import __version__

    counted, pairs = _counted(sample, language or "en-US", columns_of(by))
    ruleset, faults = loaded_rules(rules)
    accepted = Accents(names)
    explained, forms, left = _explained(pairs, ruleset, accepted, options.lost_r, on_progress)
    rules_used = f"counted:{counting_hash()}|rules:{ruleset.hash}"
    mark = f"processes|accents:{'+'.join(names) or 'none'}|{options.signature}|{rules_used}|v:{__version__}"
    problems = joined_problems(counted.problems, faults, accepted.problems.values(), not_looked_into(left))
    return Processes(problems, mark, options, counted, explained, forms, word_lists).kept(on_problem)


def not_looked_into(number: int) -> list[Problem]:
    """That pairs which share little with each other were too many to look into, if they were."""
    from approx.problems import Problem

    if not number:
        return []
    message = worded(
        "{number} different {number:production shares|productions share} less than a third of {number:its|their} sounds with the adult form, like many before",
        number=f"{number:,}",
    )
    hint = "they are listed as unexplained; check that the columns are right"
    return [Problem("processes.strange", message, hint)]


def _counted(source: SampleSource, language: str, by: Sequence[str]) -> tuple[CountedSample, list[Pair]]:
    """One pass over a sample: its groups, and its distinct pairs. Memory grows with the distinct pairs, and by two numbers a token."""
    from approx.samples.rows.reader import EXPLAINED
    from approx.samples.rows.sample import grouped_rows, open_reader
    from approx.samples.token import COUNTED

    table = table_from(source)
    reader = open_reader(table, language, look_up=look_up, bounds=EXPLAINED)
    numbers: dict[Pair, int] = {}
    groups: dict[tuple[tuple[str, ...], str], TokenGroup] = {}
    last: tuple[str, ...] | None = None
    group = TokenGroup({}, "")
    for row, key, pairs in grouped_rows(reader, by):
        for pair in pairs:
            if key is not last or pair.language != group.language:  # rows of a group mostly follow each other
                last = key
                found = groups.get((key, pair.language))
                if found is None:
                    found = groups[key, pair.language] = TokenGroup(dict(zip(by, key)), pair.language)
                group = found
            if pair.kind not in COUNTED:
                group.left_out.append((row, pair.reason or pair.kind))
                continue
            group.rows.append(row)
            group.pairs.append(numbers.setdefault(pair, len(numbers)))
    several = Counter(key for key, _ in groups)
    for (key, tag), group in groups.items():
        if several[key] > 1:
            group.labels["language"] = tag
    return CountedSample(list(groups.values()), reader.log.problems(), table.file), list(numbers)


def _explained(
    pairs: list[Pair], ruleset: RuleSet, accepted: Accents, lost_r: LostR, on_progress: OnProgress | None
) -> tuple[ExplainedPairs, dict[int, AcceptedForm], int]:
    """Each distinct pair explained, against the accepted adult form that is nearest to what was said; what was
    accepted, by the number of the pair; and how many pairs were too strange to be looked into. The list of pairs is emptied."""
    from approx.ipa.word import Word
    from approx.processes.accept.accept import accepted_form
    from approx.processes.explain.explain import Explainer
    from approx.processes.explain.explain_many import explain_each
    from approx.processes.explain.explained_pairs import ExplainedPairs
    from approx.scoring.bulk import linker_for

    by_language: dict[str, tuple[array[int], list[tuple[Word, Word, str]]]] = {}
    out = ExplainedPairs(len(pairs))
    for number, pair in enumerate(pairs):
        of_language = by_language.get(pair.language)
        if of_language is None:
            of_language = by_language[pair.language] = array("I"), []
        of_language[0].append(number)
        of_language[1].append(_asked(pair))
    pairs.clear()  # of a million rows a quarter of a million, and so each list below
    forms: dict[int, AcceptedForm] = {}
    left = 0
    for tag in list(by_language):
        numbers, asked = by_language.pop(tag)
        linker = linker_for(len(asked))
        nearest = accepted.accepted_of_many(asked, tag, linker)
        for number, (target, _, word), found in zip(numbers, asked, nearest):
            if found.changes and (form := accepted_form(word or target.ipa, found)):
                forms[number] = form
        words, targets, productions = (
            [w for _, _, w in asked],
            [found.word for found in nearest],
            [p for _, p, _ in asked],
        )
        del asked, nearest
        explainer = Explainer(ruleset, tag, lost_r)
        order, readings = array("I"), array("I")
        for at, found_readings in explain_each(explainer, targets, productions, _told(linker, len(words), on_progress)):
            order.append(at)
            readings.append(out.counted.number(found_readings))
        left += explainer.strange.left
        del explainer
        nothing = Word((), (), ())
        for at, place in zip(order, readings):
            out.put(numbers[at], words[at], targets[at], productions[at], place, tag)
            productions[at] = nothing  # of what was said only its text is needed from here on
    out.complete()
    return out, forms, left


def _asked(pair: Pair) -> tuple[Word, Word, str]:
    if pair.target is None or pair.produced is None:
        raise ValueError("a counted pair has an adult form and a production")
    return pair.target, pair.produced, pair.target_word


def _told(linker: Linker, pairs: int, on_progress: OnProgress | None) -> Linker:
    """The linker, which tells how far it is."""
    if on_progress is None:
        return linker
    done = 0

    def link(forms: Sequence[FormPair], *, never: Sequence[Never] = ()) -> Sequence[PairLinks]:
        nonlocal done
        if not never:  # else they were here before
            on_progress("different pairs explained", done, pairs)
            done += len(forms)
        return linker(forms, never=never)

    return link
