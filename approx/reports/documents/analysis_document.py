"""A sample looked at from all sides: on page 1 the answer in counts, in the appendix sounds, processes, scores and cautions;
and the section on speech sounds of an evaluation report, with blanks for what only the clinician can write."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from approx.processes.explain.opportunities import OpportunityOptions
from approx.reports.document import BlankLine, Block, Bullets, Document, Heading, PageBreak, Paragraph, WritingSpace
from approx.reports.documents.front_page import appendix, front_blocks, report_title, settings_line
from approx.reports.documents.sample_blocks import (
    SamplePart,
    band_line,
    caution_lines,
    consonants_picture,
    inventory_blocks,
    inventory_criterion,
    loose_lines,
    measures_grid,
    processes_heard,
    processes_table,
    settings_of,
    standing_rule,
    substitutes_blocks,
    taken_lines,
    told,
)
from approx.reports.regions import number, percent_text
from approx.reports.report_words import process_name, report_words
from approx.samples.token import CellChange
from approx.scoring.measures.catalogue import Score
from approx.wording import fill_pattern

_MOST_NAMED = 3


def analysis_document(
    parts: Sequence[SamplePart],
    changes: Iterable[CellChange],
    options: OpportunityOptions,
    language: str = "en",
) -> Document:
    """The report of all groups, each beginning on a new page. `changes`: what was read otherwise than typed. ValueError for
    no group."""
    if not parts:
        raise ValueError("no sample to report on")
    noted = tuple(changes)
    documents = [_part(part, noted, options, settings_of(part, options), language) for part in parts]
    blocks = list(documents[0].blocks)
    for each in documents[1:]:
        blocks += [PageBreak(), Heading(each.title), *each.blocks]
    return Document(documents[0].title, tuple(blocks), language)


def part_title(what: str, part: SamplePart, language: str) -> str:
    """Code, age, what it is, further labels, day."""
    labels = part.score.labels
    other = [value for name, value in labels.items() if name not in ("child", "session_date") and value]
    return report_title(
        ", ".join([what, *other]), labels.get("child", ""), part.age, [labels.get("session_date", "")], language
    )


def _part(
    part: SamplePart, changes: Sequence[CellChange], options: OpportunityOptions, mark: str, language: str
) -> Document:
    say = report_words(language)
    picture = consonants_picture(part.score, language)
    criteria = (standing_rule(options, language), inventory_criterion(part.inventory, language))
    front = front_blocks(analysis_answer(part, language), [picture] if picture else [], criteria, mark, language)
    more: list[Block] = [Heading(say["sample"], 2), Bullets(taken_lines(part, language))]
    more += [
        Heading(say["sounds"], 2),
        *substitutes_blocks(part.score, language),
        *inventory_blocks(part.inventory, language),
    ]
    more.append(Heading(say["changes"], 2))
    table = processes_table(part.processes.tallies, options, language)
    more.append(table if table is not None else Paragraph(say["no change heard"]))
    if loose := loose_lines(part, language):
        more.append(Bullets(loose))
    more += [Heading(say["scores"], 2), measures_grid(part.score.measures, language)]
    if band := band_line(part.score, language):
        more.append(Paragraph(band))
    if changes:
        more += [
            Heading(say["read otherwise"], 2),
            Bullets(tuple(change_text(each, language) for each in changes), True),
        ]
    more += [Heading(say["cautions"], 2), caution_lines(part.words, language), settings_line(mark, language)]
    title = part_title(say["title analysis"], part, language)
    return Document(title, (*front, *appendix(more, language)), language)


def analysis_answer(part: SamplePart, language: str) -> tuple[str, ...]:
    """Three sentences of counts: consonants, whole words, the changes heard most."""
    say, measures = report_words(language), part.score.measures
    lines = [
        counts_sentence(say[f"answer {name}"], measures[name], language)
        for name in ("pcc", "pwc")
        if name in measures and measures[name].value is not None
    ]
    most = processes_heard(part.processes.tallies)[:_MOST_NAMED]
    named = (
        f"{process_name(name, language)} {fill_pattern(say['x of y'], hits=tally.occurrences, out_of=tally.chances)}"
        for name, tally in most
    )
    lines.append(fill_pattern(say["answer changes"], what=", ".join(named)) if most else say["no change heard"])
    return tuple(lines)


def counts_sentence(pattern: str, score: Score, language: str) -> str:
    """So many of so many, in percent, with the interval where there is one."""
    say = report_words(language)
    if score.value is None:
        return fill_pattern(pattern, hits=score.hits, out_of=score.out_of, value=told(score.reason, language))
    value = percent_text(score.value, 1, language)
    if score.low is not None and score.high is not None:
        ends = {"low": number(score.low, 1, language), "high": number(score.high, 1, language)}
        value += "; " + fill_pattern(say["interval from to"], **ends)
    return fill_pattern(pattern, hits=score.hits, out_of=score.out_of, value=value)


def change_text(change: CellChange, language: str) -> str:
    """What was typed and what was read for it, how often, and where first."""
    say = report_words(language)
    key = "read as" if change.read else "read note"
    return fill_pattern(say[key],
        column=change.column, typed=change.typed, read=told(change.read, language), why=told(change.why, language), times=change.times,
        row=change.row,
    )  # fmt: skip


MEASURES_TOLD = ("pcc", "pcc_r", "pvc", "pwc", "pwp", "pmlu", "syllable_match", "shape_match", "inconsistency")
"""What an evaluation usually tells (common practice, no source); all others stand in the analysis."""
BLANKS = ("intelligibility", "hearing", "mouth")


def evaluation_document(part: SamplePart, options: OpportunityOptions, language: str = "en") -> Document:
    """Sample, sounds by position, sounds with substitutes, processes, measures; blanks for intelligibility, hearing and mouth;
    the summary is left to the clinician, who signs."""
    say, mark = report_words(language), settings_of(part, options)
    blocks: list[Block] = [Heading(say["sample"]), Bullets(taken_lines(part, language))]
    blocks += [Heading(say["sounds heard"]), *inventory_blocks(part.inventory, language)]
    blocks += [Heading(say["sounds said instead"]), *substitutes_blocks(part.score, language)]
    blocks.append(Heading(say["changes"]))
    table = processes_table(part.processes.tallies, options, language)
    blocks.append(table if table is not None else Paragraph(say["no change heard"]))
    if loose := loose_lines(part, language):
        blocks.append(Bullets(loose))
    blocks.append(Paragraph(standing_rule(options, language), small=True))
    blocks += [Heading(say["scores"]), measures_grid(part.score.measures, language, MEASURES_TOLD)]
    if band := band_line(part.score, language):
        blocks.append(Paragraph(band, small=True))
    for name in BLANKS:
        blocks += [Heading(say[name]), WritingSpace(say[f"{name} how"], 4)]
    blocks += [Heading(say["summary"]), WritingSpace(say["summary how"], 9, grows=True)]
    blocks.append(BlankLine((say["signature"], say["date"].capitalize())))
    blocks += [Heading(say["cautions"]), caution_lines(part.words, language)]
    blocks += [Paragraph(say["for trained"], small=True), settings_line(mark, language)]
    return Document(part_title(say["title evaluation"], part, language), tuple(blocks), language)
