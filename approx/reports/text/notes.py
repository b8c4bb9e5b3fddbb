"""A session note in four parts: what was said and seen, data, view, plan.

Facts only, those that the caseload knows of one session; the view is left to the clinician.
"""

from __future__ import annotations

from collections.abc import Sequence

from approx.records.database.rows import StoredProbe, StoredSession, StoredTally, TargetTotals, Totals
from approx.records.tables.checks import cue_levels
from approx.reports.document import Block, Bullets, Document, Heading, NoteFacts, Paragraph, Trials, TriedTarget
from approx.reports.regions import day
from approx.reports.report_words import report_words
from approx.wording import fill_pattern


def note_facts(
    session: StoredSession,
    totals: Totals,
    before: tuple[StoredSession, Totals] | None = None,
    probes: Sequence[StoredProbe] = (),
    language: str = "en",
) -> NoteFacts:
    """Facts of a session. `before`: the session before with its counts; of `probes`, those of this session are told."""
    labels = {level.id: level.label(language) for level in cue_levels()}
    here = [(probe.word_set, probe.right, probe.out_of) for probe in probes if probe.session == session.number]
    some = totals.all.trials > 0
    return NoteFacts(
        session.child, session.date, session.number, session.minutes, observed=session.note,
        targets=tuple(map(_target_of_fact, totals.by_target)), total=_trials(totals.all) if some else None,
        alone=_trials(totals.without_help) if some else None,
        helps=tuple((labels.get(name, name), _trials(tally)) for name, tally in totals.by_help
            if tally.trials and name != "none"),  # without help: told by `alone`
        before=tuple(map(_target_of_fact, before[1].by_target)) if before else (), before_date=before[0].date if before else "",
        probes=tuple(here),
    )  # fmt: skip


def _target_of_fact(each: TargetTotals) -> TriedTarget:
    return TriedTarget(each.word, each.form, _trials(each.all), _trials(each.by_help[-1][1]) if each.by_help else None)


def _trials(tally: StoredTally) -> Trials:
    return Trials(tally.reached, tally.near, tally.missed)


def note_document(facts: NoteFacts, language: str = "en") -> Document:
    """The note. Every part the facts do not fill is a marked gap; the view always is."""
    say = report_words(language)
    session = "" if facts.session is None else fill_pattern(say["note session"], n=facts.session)
    minutes = "" if facts.minutes is None else fill_pattern(say["note minutes"], n=facts.minutes)
    title = fill_pattern(
        say["note title"],
        child=facts.child or "-",
        date=day(facts.date or "-", language),
        session=session,
        minutes=minutes,
    )
    blocks: list[Block] = [Heading(say["subjective"])]
    noted = [text for text in (facts.said.strip(), facts.observed.strip()) if text]
    blocks += [Paragraph(text) for text in noted] or [_gap(say, "gap said")]
    blocks.append(Heading(say["objective"]))
    lines = data_lines(facts, language)
    blocks.append(Bullets(lines) if lines else _gap(say, "gap data"))
    if facts.targets or facts.total:
        blocks.append(Paragraph(say["helped remark"], small=True))
    blocks += [Heading(say["assessment"]), _gap(say, "gap view"), Heading(say["plan"])]
    blocks.append(Paragraph(facts.plan.strip()) if facts.plan.strip() else _gap(say, "gap plan"))
    return Document(title, tuple(blocks), language)


def note_parts(facts: NoteFacts, language: str = "en") -> tuple[str, str, str, str]:
    """The four parts as plain text, gaps marked, for a clinician to edit before the note is kept."""
    parts: list[list[str]] = []
    for block in note_document(facts, language).blocks:
        match block:
            case Heading():
                parts.append([])
            case Paragraph(text):
                parts[-1].append(text)
            case Bullets(items):
                parts[-1] += items
    first, second, third, fourth = ("\n".join(lines) for lines in parts)
    return first, second, third, fourth


def kept_note(child: str, date: str, session: int | None, parts: Sequence[str], language: str = "en") -> Document:
    """A note as it was kept: four parts of plain text, a line a paragraph; gaps still open are marked, and empty parts."""
    say = report_words(language)
    numbered = "" if session is None else fill_pattern(say["note session"], n=session)
    title = fill_pattern(
        say["note title"], child=child or "-", date=day(date or "-", language), session=numbered, minutes=""
    )
    blocks: list[Block] = []
    names = ("subjective", "objective", "assessment", "plan")
    gaps = ("gap said", "gap data", "gap view", "gap plan")
    for name, gap, text in zip(names, gaps, parts, strict=True):
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        blocks.append(Heading(say[name]))
        blocks += [Paragraph(line, gap=is_gap(line)) for line in lines] or [_gap(say, gap)]
    return Document(title, tuple(blocks), language)


def is_gap(line: str) -> bool:
    """True for a line that still waits for the clinician, in either language."""
    return any(line.startswith(report_words(tag)["gap"].partition("{")[0]) for tag in ("en", "es"))


def data_lines(facts: NoteFacts, language: str = "en") -> tuple[str, ...]:
    """The data: probes first, then trials in all, by help and by target with the session before beside it."""
    say = report_words(language)
    lines = [
        fill_pattern(say["probe line"], name=name, right=right, out_of=out_of) for name, right, out_of in facts.probes
    ]
    if facts.total is not None and facts.total.all:
        lines.append(_said(say["all trials"], facts.total))
    if facts.alone is not None and facts.alone.all:
        lines.append(_said(say["alone trials"], facts.alone))
    lines += [_said(say["help line"], trials, help=name) for name, trials in facts.helps if trials.all]
    lines += [_target(each, facts, say, language) for each in facts.targets]
    return tuple(lines)


def _target(each: TriedTarget, facts: NoteFacts, say: dict[str, str], language: str) -> str:
    alone = _said(say["target alone"], each.alone) if each.alone is not None and each.alone.all else ""
    earlier = next((old for old in facts.before if (old.word, old.form) == (each.word, each.form)), None)
    before = (
        ""
        if earlier is None
        else _said(say["target before"], earlier.trials, date=day(facts.before_date or "-", language))
    )
    return _said(say["target line"], each.trials, word=each.word, form=each.form, alone=alone, before=before)


def _said(pattern: str, trials: Trials, **more: str) -> str:
    return fill_pattern(pattern, reached=trials.reached, near=trials.near, missed=trials.missed, all=trials.all, **more)


def _gap(say: dict[str, str], what: str) -> Paragraph:
    return Paragraph(fill_pattern(say["gap"], what=say[what]), gap=True)
