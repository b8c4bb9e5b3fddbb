"""What the caseload knows of one session, as facts of a note."""

from __future__ import annotations

from collections.abc import Sequence

from approx.records.help_levels import help_levels
from approx.records.rows import Probe, Session, Tally, TargetTotals, Totals
from approx.reports.report_types import NoteFacts, TriedTarget, Tries


def note_facts(
    session: Session,
    totals: Totals,
    before: tuple[Session, Totals] | None = None,
    probes: Sequence[Probe] = (),
    language: str = "en",
) -> NoteFacts:
    """Facts of a session. `before`: the session before with its counts; of `probes`, those of this session are told."""
    labels = {level.id: level.label(language) for level in help_levels()}
    here = [(probe.word_set, probe.right, probe.out_of) for probe in probes if probe.session == session.number]
    some = totals.all.trials > 0
    return NoteFacts(
        session.child, session.date, session.number, session.minutes, observed=session.note,
        targets=tuple(map(_target, totals.by_target)), total=_tries(totals.all) if some else None,
        alone=_tries(totals.without_help) if some else None,
        helps=tuple((labels.get(name, name), _tries(tally)) for name, tally in totals.by_help
            if tally.trials and name != "none"),  # without help: told by `alone`
        before=tuple(map(_target, before[1].by_target)) if before else (), before_date=before[0].date if before else "",
        probes=tuple(here),
    )  # fmt: skip


def _target(each: TargetTotals) -> TriedTarget:
    return TriedTarget(each.word, each.form, _tries(each.all), _tries(each.by_help[-1][1]) if each.by_help else None)


def _tries(tally: Tally) -> Tries:
    return Tries(tally.reached, tally.near, tally.missed)
