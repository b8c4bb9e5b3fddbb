"""Tallies of one group: how often each process happened, on how many chances, in which words and not in which.

Chances depend on the adult form alone (and on what was left off, if asked): they are added up once for all productions
of it, so that a production costs no more than the processes in it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from approx.processes.borne_out import Heard, borne_out
from approx.processes.chances import LEAVES_OFF, ChanceOptions, chances_left, number_of_chances
from approx.processes.derivation import Derivation
from approx.processes.tally import Tally


@dataclass(slots=True)
class _Said:
    """One adult form in the group: chances of each process, how often it was said, and in which processes that could
    have happened it was never without."""

    chances: Mapping[str, int]
    often: int
    always: set[str]


def count_group(times: Mapping[Heard, int], options: ChanceOptions) -> tuple[dict[Heard, Derivation], dict[str, Tally]]:
    """For one group, how often each was said: the reading taken where it is not the first, and the tally of each process."""
    chosen = borne_out(times)
    tallies: dict[str, Tally] = defaultdict(Tally)
    # by identity, which is quicker to look up; a form that is held twice is only added up in two parts
    forms: dict[tuple[str, int, frozenset[int]], _Said] = {}
    dropping, which, gone = options.lost_sounds == "drop", options.weak_syllables, frozenset[int]()
    for heard, often in times.items():
        target, word = heard.target, heard.shown
        happened: dict[str, int] = {}
        reading = chosen.get(heard, heard.readings[0])
        for use in reading.uses:
            process = use.process
            happened[process] = happened.get(process, 0) + 1
            tallies[process].rules[use.rule] += often
        if dropping:
            gone = _lost(reading)
        key = word, id(target), gone
        form = forms.get(key)
        if form is None:
            chances = chances_left(target, gone, which) if gone else number_of_chances(target, which)
            form = forms[key] = _Said(chances, often, set())
            for process, places in chances.items():
                tally = tallies[process]
                if places and process in happened:
                    form.always.add(process)
                elif places:
                    tally.not_in[word] = None
        else:
            form.often += often
            if form.always:
                for process in form.always - happened.keys():
                    tallies[process].not_in[word] = None
                form.always &= happened.keys()
        for process, uses in happened.items():
            tally = tallies[process]
            tally.occurrences += often * uses
            tally.words[word] = None
            # a change the description did not foresee is a chance all the same: never more uses than chances
            tally.chances += often * max(uses - form.chances.get(process, 0), 0)
    for form in forms.values():
        for process, places in form.chances.items():
            tallies[process].chances += places * form.often
    return chosen, dict(tallies)


def _lost(reading: Derivation) -> frozenset[int]:
    """Adult sounds that were left off in the reading taken."""
    gone: set[int] = set()
    for use in reading.uses:
        if use.process.endswith(LEAVES_OFF):
            gone.update(use.targets)
    return frozenset(gone)
