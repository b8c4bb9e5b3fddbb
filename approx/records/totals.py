"""Counts of a session's tries, by help level and by target. Pure arithmetic, nothing is read or stored."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from approx.records.help_levels import help_ids
from approx.records.rows import Tally, TargetTotals, Totals, Trial


def counted(trials: Sequence[Trial]) -> Totals:
    """All there is to count of some tries, which stand in order. Targets come in the order of their first try.

    A target whose form changed within the session stands once for each form.
    """
    aims = dict.fromkeys((trial.target_id, trial.form) for trial in trials)
    by_target = []
    for target_id, form in aims:
        mine = [trial for trial in trials if (trial.target_id, trial.form) == (target_id, form)]
        by_target.append(TargetTotals(target_id, mine[0].word, form, tally(mine), by_help(mine)))
    return Totals(tally(trials), by_help(trials), tuple(by_target), trials[-1] if trials else None)


def tally(trials: Iterable[Trial]) -> Tally:
    """How the tries came out."""
    results = [trial.result for trial in trials]
    return Tally(results.count(2), results.count(1), results.count(0))


def by_help(trials: Sequence[Trial]) -> tuple[tuple[str, Tally], ...]:
    """The tally of each help level, also of those not used, most help first."""
    return tuple((level, tally(trial for trial in trials if trial.help == level)) for level in help_ids())
