"""Progress of one child in words: lines for the terminal, and a document with a chart and a table a panel."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from approx.progress.criteria import Readiness, RungHistory
from approx.progress.overlap import INDICES, Figure
from approx.progress.phases import Comparison, Panel, Series, Summary, phase_runs, summary
from approx.progress.rules import thresholds
from approx.reports.charts.progress_chart import about_chart, chart_svg, chart_table, chart_title, stacked_svg
from approx.reports.document import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Picture,
    ProgressFacts,
)
from approx.reports.documents.documents import grid_lines
from approx.reports.documents.front_page import appendix, front_blocks, report_title, settings_line
from approx.reports.messages import source_in
from approx.reports.regions import number, with_decimals
from approx.reports.report_words import often, report_words
from approx.samples.token import CellChange
from approx.wording import fill_pattern


def progress_document(
    facts: ProgressFacts,
    language: str = "en",
    theme: str = "page",
    draw: Callable[[Panel, str, str], str] = chart_svg,
) -> Document:
    """The report. First the answer: sentences of counts, the chart, the criteria, an empty box for the clinician's view. Then
    the appendix: of each set its table, phases, overlap and cautions, and the settings in full.

    `draw` makes the chart of a panel by itself; a page may put something in its place that brings the chart later. Sets of
    one measure stand in one chart under each other, unless `draw` was given.
    """
    say = report_words(language)
    pictures: list[Picture] = []
    for stack in stacks(facts.panels):
        about = " ".join(about_chart(panel, language) for panel in stack)
        if draw is chart_svg:
            pictures.append(Picture(stacked_svg(stack, theme, language), about, caption_of(stack, language)))
        else:
            pictures += [Picture(draw(panel, theme, language), about_chart(panel, language)) for panel in stack]
    criteria = readiness_lines(facts, language)
    front = front_blocks(progress_answer(facts, language), pictures, criteria, facts.signature, language)
    more: list[Block] = []
    for panel in facts.panels:
        more += panel_blocks(panel, language)
    if facts.cautions:
        more.append(Bullets(facts.cautions, small=True))
    if facts.readiness:
        more.append(Paragraph(sources_line(facts, language), small=True))
    more.append(settings_line(facts.signature, language))
    title = report_title(say["title progress"], facts.child, facts.age, _ends(facts.panels), language)
    return Document(title, (*front, *appendix(more, language)), language)


def _ends(found: Sequence[Panel]) -> list[str]:
    """The days of the first and the last probe, where they are known."""
    days = sorted({point.date for panel in found for series in panel.series for point in series.points if point.date})
    return [days[0], days[-1]] if days else []


def caption_of(stack: Sequence[Panel], language: str) -> str:
    """What the thick line means for each set; the rest is in the picture and in the tables."""
    say = report_words(language)
    lines = [
        fill_pattern(say["treated from"], name=panel.title, session=panel.series[0].treated_from)
        for panel in stack
        if panel.series[0].treated_from is not None and not panel.series[0].untreated
    ]
    return ". ".join([*lines, say["about bars"]]) + "."


def stacks(found: Sequence[Panel]) -> tuple[tuple[Panel, ...], ...]:
    """Panels that belong in one chart: those of one child and measure."""
    out: dict[tuple[str, str], list[Panel]] = {}
    for panel in found:
        out.setdefault((panel.child, panel.measure), []).append(panel)
    return tuple(tuple(stack) for stack in out.values())


def progress_answer(facts: ProgressFacts, language: str = "en") -> tuple[str, ...]:
    """Of each set, in counts only: the last probe before treatment and the last of all; of untreated words the first and
    the last. Nothing is said of what it means."""
    say = report_words(language)
    lines: dict[str, None] = {}
    for panel in facts.panels:
        for series in panel.series:
            ordered = sorted(series.points, key=lambda point: point.session)
            start = series.treated_from
            before = [point for point in ordered if start is not None and point.session < start]
            if not ordered:
                continue
            first, last = (before[-1] if before else ordered[0]), ordered[-1]
            key = "answer treated" if before and not series.untreated else "answer untreated"
            line = fill_pattern(say[key],
                name=series.name or say["probes"], right=first.right, of=first.out_of, session=first.session,
                right_last=last.right, of_last=last.out_of, session_last=last.session,
            )  # fmt: skip
            lines[line] = None
    return tuple(lines)


def panel_blocks(panel: Panel, language: str = "en") -> list[Block]:
    """One panel: table, phases, overlap figures, cautions."""
    say = report_words(language)
    blocks: list[Block] = [
        Heading(panel.title or say["probes"], 2),
        chart_table(panel, language),
        phases_table(panel, language),
    ]
    blocks += overlap_tables(panel, language)
    blocks += [Heading(say["cautions"], 3), Bullets(tuple(each.text(language) for each in panel.cautions), small=True)]
    return blocks


def phases_table(panel: Panel, language: str = "en") -> Grid:
    """Level, trend and variability of every phase of every series."""
    say = report_words(language)
    head = (
        say["words set"], say["phase"], say["probes"], say["right of"], say["mean right"], say["median %"], say["range %"],
        say["slope"], say["near median"],
    )  # fmt: skip
    rows = [_phase(series, found, say, language) for series in panel.series for found in _summaries(series)]
    return Grid(say["by phase"], head, tuple(rows))


def _summaries(series: Series) -> list[Summary]:
    return [summary(run.phase or "-", run.points) for run in phase_runs(series.points)]


def _phase(series: Series, found: Summary, say: dict[str, str], language: str) -> tuple[str, ...]:
    stable = f", {say['stable']}" if found.stable and found.probes > 1 else ""
    numbers = (
        str(found.probes), f"{found.right} / {found.out_of}", _number(found.mean_right, 3), _number(found.median),
        f"{_number(found.low)} - {_number(found.high)}", _signed(found.slope),
    )  # fmt: skip
    written = (with_decimals(each, language) for each in numbers)
    return (series.name, found.name, *written, f"{found.near} / {found.probes}{stable}")


def overlap_tables(panel: Panel, language: str = "en") -> list[Grid]:
    """Of each series a table: a column a phase, a row a figure, each with its counts."""
    say = report_words(language)
    out = []
    for name in dict.fromkeys(each.series for each in panel.comparisons):
        mine = [each for each in panel.comparisons if each.series == name]
        head = (say["figure"], *(f"{each.before.name} → {each.after.name}" for each in mine))
        rows = [
            (say["number before after"], *(f"{each.before.probes}, {each.after.probes}" for each in mine)),
            (say["means"], *(with_decimals(_means(each), language) for each in mine)),
            (say["median change"], *(_difference(each.after.median - each.before.median, language) for each in mine)),
            (
                fill_pattern(say["immediate"], n=thresholds().immediate_points),
                *(_difference(each.immediate, language) for each in mine),
            ),
        ]
        for index in INDICES.values():
            title = say.get(f"index {index.name}", index.title)
            rows.append((title, *(figure_text(each.figure(index.name), say, language) for each in mine)))
        out.append(Grid(fill_pattern(say["against"], name=name, n=mine[0].before.probes), head, tuple(rows)))
    return out


def _means(each: Comparison) -> str:
    if each.before.mean_right is None or each.after.mean_right is None:
        return f"{each.before.mean:.1f}%; {each.after.mean:.1f}%"
    return f"{_number(each.before.mean_right, 3)}; {_number(each.after.mean_right, 3)}"


def _difference(value: float | None, language: str) -> str:
    return with_decimals(_signed(value), language)


def figure_text(figure: Figure, say: dict[str, str], language: str = "en") -> str:
    """One figure with its counts and interval: `0.969 (31 / 32), 0.62 - 1.00`. An index beyond 1 says nothing and is not shown."""
    if figure.value is None:
        return "-"
    if abs(figure.value) > 1:
        return say["beyond one"]
    text = number(figure.value, 3, language)
    if figure.counted:
        text += f" ({with_decimals(f'{figure.hits:g}', language)} / {figure.out_of})"
    if figure.low is not None and figure.high is not None:
        text += f"; {number(figure.low, 2, language)} - {number(figure.high, 2, language)}"
    return text


def readiness_lines(facts: ProgressFacts, language: str = "en") -> tuple[str, ...]:
    """Criteria and rungs, a line each."""
    lines = [readiness_line(each, language) for each in facts.readiness]
    return tuple(lines + [rung_line(each, language) for each in facts.rungs])


def readiness_line(each: Readiness, language: str = "en") -> str:
    """One set against the criteria: met or not by counts, no more."""
    say = report_words(language)
    name = f"{each.word_set}, {each.measure}" if each.measure else each.word_set
    mark = each.criterion
    parts = [
        fill_pattern(say[f"ready {each.ready}"],
            name=name, met_by=each.met_by, needed=each.needed, percent=f"{mark.percent:g}", n=each.treated_probes,
            counts=", ".join(f"{point.right}/{point.out_of}" for point in each.last) or "-",
        )
    ]  # fmt: skip
    if each.small:
        parts.append(fill_pattern(say["small probes"], small=each.small, least=mark.least_items))
    if each.kept:
        parts.append(
            fill_pattern(say["kept"], counts=", ".join(f"{point.right}/{point.out_of}" for point in each.kept))
        )
    if each.unchanged and each.ready != "met":
        parts.append(fill_pattern(say["unchanged"], n=each.unchanged_over, within=f"{each.no_change.within:g}"))
    return " ".join(parts)


def rung_line(each: RungHistory, language: str = "en") -> str:
    """The present form of one word, and how long it has lasted."""
    say = report_words(language)
    step, lasted = each.steps[-1], each.lasted[-1]
    rung = (
        fill_pattern(say["rung of"], rung=step.rung, of=step.of)
        if step.rung is not None and step.of is not None
        else ""
    )
    text = fill_pattern(say["rung"], word=each.word, form=step.form, rung=rung, session=step.session, lasted=lasted)
    return f"{text} {fill_pattern(say['rung long'], limit=each.limit)}" if each.long else text


def sources_line(facts: ProgressFacts, language: str = "en") -> str:
    """Where the criteria come from."""
    found = [each.criterion.source for each in facts.readiness] + [each.no_change.source for each in facts.readiness]
    told = [source_in(each, language) for each in dict.fromkeys(found)]
    return fill_pattern(report_words(language)["criterion from"], source="; ".join(told) or "-")


def progress_lines(facts: ProgressFacts, language: str = "en") -> list[str]:
    """For the terminal: the same tables as text."""
    lines: list[str] = []
    for panel in facts.panels:
        lines += [chart_title(panel, language), "  " + about_chart(panel, language), ""]
        for table in (chart_table(panel, language), phases_table(panel, language), *overlap_tables(panel, language)):
            lines += [*grid_lines(table), ""]
        lines += [f"  {each.text(language)}" for each in panel.cautions] + [""]
    if facts.readiness or facts.rungs:
        lines += [report_words(language)["steps"], *(f"  {line}" for line in readiness_lines(facts, language))]
        lines += [f"  {sources_line(facts, language)}", ""]
    lines += [*facts.cautions, report_words(language)["for trained"], f"signature: {facts.signature}"]
    return lines


def _number(value: float | None, digits: int = 1) -> str:
    if value is None:
        return "-"
    return f"{value:.{digits}f}".rstrip("0").rstrip(".") if digits else f"{value:.0f}"


def _signed(value: float | None) -> str:
    return "-" if value is None else f"{value:+.1f}".removesuffix(".0")


def change_line(change: CellChange) -> str:
    """One kind of change: what was typed, what was read, why, how often, and where first."""
    what = f"read '{change.typed}' as '{change.read}'" if change.read else f"'{change.typed}'"
    return f"{what}: {change.why}, {often(change.times)}, first in row {change.row}"
