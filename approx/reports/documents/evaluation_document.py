"""The section on speech sounds of an evaluation report: what was counted, and blanks for what only the clinician can write."""

from __future__ import annotations

from approx.processes.explain.opportunities import OpportunityOptions
from approx.reports.document import BlankLine, Block, Bullets, Document, Heading, Paragraph, WritingSpace
from approx.reports.documents.analysis_document import part_title
from approx.reports.documents.front_page import settings_line
from approx.reports.documents.sample_blocks import (
    SamplePart,
    band_line,
    caution_lines,
    inventory_blocks,
    loose_lines,
    measures_grid,
    processes_table,
    settings_of,
    standing_rule,
    substitutes_blocks,
    taken_lines,
)
from approx.reports.report_words import report_words

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
