"""The processes of a sample on paper: on page 1 the answer in counts and a bar each, in the appendix the words."""

from __future__ import annotations

from collections.abc import Sequence

from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally
from approx.processes.explain.sample_processes import GroupProcesses
from approx.reports.document import Block, Bullets, Document, Heading, PageBreak, Paragraph
from approx.reports.documents.front_page import appendix, front_blocks, report_title, settings_line
from approx.reports.documents.sample_blocks import (
    processes_heard,
    processes_picture,
    processes_table,
    standing_rule,
    told,
)
from approx.reports.report_words import process_name, report_words
from approx.reports.tables.processes import accepted_texts, cautions_of
from approx.wording import fill_pattern

_STANDINGS = ("frequent", "active", "seen", "not enough opportunities")


def processes_document(
    groups: Sequence[GroupProcesses], options: OpportunityOptions, signature: str, language: str = "en", age: str = ""
) -> Document:
    """The report of all groups, each beginning on a new page. ValueError for no group."""
    if not groups:
        raise ValueError("no sample to report on")
    documents = [_group(each, options, signature, language, age) for each in groups]
    blocks = list(documents[0].blocks)
    for each in documents[1:]:
        blocks += [PageBreak(), Heading(each.title), *each.blocks]
    return Document(documents[0].title, tuple(blocks), language)


def _group(found: GroupProcesses, options: OpportunityOptions, mark: str, language: str, age: str) -> Document:
    say, labels = report_words(language), found.labels
    other = [value for name, value in labels.items() if name not in ("child", "session_date") and value]
    title = report_title(
        ", ".join([say["title processes"], *other]), labels.get("child", ""), age, [labels.get("session_date", "")], language
    )  # fmt: skip
    picture = processes_picture(found.tallies, options, language)
    front = front_blocks(
        standing_lines(found.tallies, options, language), [picture] if picture else [], [standing_rule(options, language)],
        mark, language,
    )  # fmt: skip
    table = processes_table(found.tallies, options, language)
    more: list[Block] = [Paragraph(fill_pattern(say["tokens counted"], n=found.tokens))]
    more.append(table if table is not None else Paragraph(say["no change heard"]))
    lines = []
    if found.unexplained:
        loose = (
            fill_pattern(say["sound in word"], sound=sound, word=word, row=row)
            for word, sound, row in found.unexplained
        )
        lines.append(fill_pattern(say["without a name"], what="; ".join(loose)))
    if found.accepted:
        lines.append(fill_pattern(say["accepted"], what=", ".join(accepted_texts(found.accepted, language))))
        lines += (told(caution, language) for caution in cautions_of(found.accepted))
    out = "; ".join(
        fill_pattern(say["row reason"], row=row, reason=told(reason, language)) for row, reason in found.left_out
    )
    lines.append(f"{say['left out']}: {out or say['nothing']}")
    more += [Bullets(tuple(lines)), settings_line(mark, language)]
    return Document(title, (*front, *appendix(more, language)), language)


def standing_lines(tallies: dict[str, ProcessTally], options: OpportunityOptions, language: str) -> tuple[str, ...]:
    """A sentence a standing: which changes have it, with their counts."""
    say = report_words(language)
    lines = []
    for standing in _STANDINGS:
        named = [
            f"{process_name(name, language)} {fill_pattern(say['x of y'], hits=tally.occurrences, out_of=tally.chances)}"
            for name, tally in processes_heard(tallies)
            if tally.standing(options) == standing
        ]
        if named:
            lines.append(f"{say[f'standing {standing}'].capitalize()}: {', '.join(named)}.")
    return tuple(lines[:3]) or (say["no change heard"],)
