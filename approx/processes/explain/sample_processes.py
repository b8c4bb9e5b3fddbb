"""Processes of a whole sample: what happened, on how many opportunities, in which words; what one token cannot decide.

A single token often has two equal readings (gun [dʌn]: velar fronting, or alveolar assimilation). Over a sample the
reading is taken that the other words bear out: assimilation only where the same sound is right, or said otherwise, in
words without a trigger (process conventions 5; measures 8.5).

Everything is worked out once for each distinct word, adult form and production, and counted as often as it occurs.

Tallies of one group: how often each process happened, on how many opportunities, in which words and not in which.

Opportunities depend on the adult form alone (and on what was left off, if asked): they are added up once for all productions
of it, so that a production costs no more than the processes in it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING

from approx.processes.accept.accept import AcceptedForm
from approx.processes.explain.adult_facts import numbered_kind
from approx.processes.explain.choose_reading import choose_readings
from approx.processes.explain.derivation import Derivation
from approx.processes.explain.explained_pairs import ExplainedPairs
from approx.processes.explain.opportunities import (
    LEAVES_OFF,
    OpportunityKind,
    OpportunityOptions,
    ProcessTally,
    counts_always,
    counts_if_seen,
    slips_share,
)

if TYPE_CHECKING:
    from approx.processes.explain.group_arrays import SampleArrays


@dataclass(frozen=True, slots=True)
class GroupProcesses:
    """The processes of one group of tokens. `labels`: the columns it was grouped by; `unexplained`: (word, target sound, row);
    `left_out`: (row, reason)."""

    labels: dict[str, str]
    language: str
    tokens: int = 0
    tallies: dict[str, ProcessTally] = field(default_factory=dict)
    unexplained: tuple[tuple[str, str, int], ...] = ()
    left_out: tuple[tuple[int, str], ...] = ()
    accepted: Mapping[AcceptedForm, int] = field(default_factory=dict)
    """Other adult forms that were accepted as right, and how often."""


@dataclass(slots=True)
class _Said:
    """One adult form in the group: opportunities by number of their kind, how often it was said, and the kinds of which it
    could have shown one and was never without."""

    chances: Mapping[int, int]
    often: int
    always: set[int]


class ProcessCounter:
    """Counts groups of the pairs of one sample, all of which are there."""

    def __init__(self, pairs: ExplainedPairs, options: OpportunityOptions) -> None:
        self.pairs, self.options = pairs, options

    def count(self, times: Mapping[int, int]) -> tuple[dict[int, Derivation], dict[str, ProcessTally]]:
        """For one group, how often each pair was said: the reading taken where it is not the first, and the tally of each
        process."""
        pairs, options = self.pairs, self.options
        group = self._arrays.group(times) if pairs.in_arrays(len(times)) else None
        chosen = choose_readings(pairs, times, group.added if group else None)
        others = {number: pairs.rules_of(number, reading) for number, reading in chosen.items()}
        if group and options.lost_sounds != "drop":
            tallies = group.tallies(others, options)
        else:
            tallies = _one_by_one(pairs, times, chosen, others, options)
        return chosen, _by_process({numbered_kind(number): tally for number, tally in tallies.items()}, options)

    @cached_property
    def _arrays(self) -> SampleArrays:
        from approx.processes.explain.group_arrays import SampleArrays

        return SampleArrays(self.pairs)


def _one_by_one(
    pairs: ExplainedPairs,
    times: Mapping[int, int],
    chosen: Mapping[int, Derivation],
    others: Mapping[int, Sequence[int]],
    options: OpportunityOptions,
) -> dict[int, ProcessTally]:
    """The tally of each kind of opportunity. `others`: rules of the readings that are not the first."""
    forms: Iterable[int] = map(pairs.forms.__getitem__, times)
    many, gone = len(pairs.words), [frozenset[int]()]
    if options.lost_sounds == "drop":
        known: dict[frozenset[int], int] = {gone[0]: 0}
        lost = [known.setdefault(_lost(chosen.get(n) or pairs.readings_of(n)[0]), len(known)) for n in times]
        gone = list(known)
        forms = [form + many * number for form, number in zip(forms, lost)]
    every = pairs.numbered.rules.all
    tallies: defaultdict[int, ProcessTally] = defaultdict(ProcessTally)
    used: defaultdict[int, int] = defaultdict(int)
    said: dict[int, _Said] = {}
    for number, form, often in zip(times, forms, times.values()):
        word, happened = pairs.words[form % many], list[int]()
        for rule in others[number] if number in others else pairs.rules(number):
            used[rule] += often
            kind, _ = every[rule]
            happened.append(kind)
            tallies[kind].words[word] = None
        found = said.get(form)
        if found is None:
            could = pairs.adults[form % many].opportunities(options, gone[form // many])
            found = said[form] = _Said(could, often, set())
            for kind, places in could.items():
                tally = tallies[kind]
                if places and kind in happened:
                    found.always.add(kind)
                elif places:
                    tally.not_in[word] = None
        else:
            found.often += often
            if found.always:
                for kind in found.always.difference(happened):
                    tallies[kind].not_in[word] = None
                found.always.intersection_update(happened)
        for kind in happened if len(happened) < 2 else dict.fromkeys(happened):
            # a change the description did not foresee is an opportunity all the same: never more uses than opportunities
            more = happened.count(kind) - found.chances.get(kind, 0)
            if more > 0:
                tallies[kind].chances += often * more
    for rule, often in used.items():
        kind, name = every[rule]
        tallies[kind].occurrences += often
        tallies[kind].rules[name] += often
    for form_said in said.values():
        for kind, places in form_said.chances.items():
            tallies[kind].chances += places * form_said.often
    return tallies


def _by_process(found: Mapping[OpportunityKind, ProcessTally], options: OpportunityOptions) -> dict[str, ProcessTally]:
    """One tally a process: of its kinds of opportunities those in which the change was seen, and the one without a name; where it
    was in none, all but those that count only where it was. A few slips on such a kind beside another are no reason to measure
    the child on all of it."""
    out: dict[str, ProcessTally] = {}
    of_process: dict[str, list[OpportunityKind]] = {}
    for kind in found:
        of_process.setdefault(kind[0], []).append(kind)
    for process, kinds in of_process.items():
        usual = [kind for kind in kinds if not counts_if_seen(kind)]
        seen = [kind for kind in kinds if found[kind].occurrences]
        counted = [kind for kind in kinds if kind in seen or counts_always(kind)] if seen else usual
        often = sum(found[kind].occurrences for kind in seen)
        if len(counted) == 1:
            out[process] = found[counted[0]]
        elif counted:
            whole = out[process] = ProcessTally()
            for kind in counted:
                rare = (
                    found[kind].occurrences <= slips_share() * often
                    and (found[kind].percent or 0.0) < options.active_percent
                )
                slips = rare and counts_if_seen(kind)
                whole.add(_instances_alone(found[kind]) if slips else found[kind])
    return out


def _instances_alone(tally: ProcessTally) -> ProcessTally:
    """Each instance as an opportunity of its own."""
    return replace(tally, chances=tally.occurrences, not_in={})


def _lost(reading: Derivation) -> frozenset[int]:
    """Adult sounds that were left off in the reading taken."""
    gone: set[int] = set()
    for use in reading.uses:
        if use.process.endswith(LEAVES_OFF):
            gone.update(use.targets)
    return frozenset(gone)
