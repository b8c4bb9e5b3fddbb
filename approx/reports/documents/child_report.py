"""The report on one child, put together of the parts a clinician ticks: each part a document made elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

from approx.records.database.rows import StoredTarget
from approx.reports.document import Block, Document, Grid, Heading, PageBreak, Paragraph
from approx.reports.documents.front_page import report_title
from approx.reports.regions import day
from approx.reports.report_words import report_words
from approx.wording import fill_pattern


def child_report(child: str, date: str, parts: Sequence[Document], language: str = "en", age: str = "") -> Document:
    """The parts one after the other, each on a new page under its own title, their headings one level down."""
    blocks: list[Block] = []
    for part in parts:
        blocks += [*([PageBreak()] if blocks else []), Heading(part.title)]
        blocks += [Heading(each.text, each.level + 1) if isinstance(each, Heading) else each for each in part.blocks]
    return Document(
        report_title(report_words(language)["report"], child, age, [date], language), tuple(blocks), language
    )


def words_document(targets: Sequence[StoredTarget], language: str = "en") -> Document:
    """The words in work with the form aimed at now."""
    say = report_words(language)
    head = (say["word"], say["adult form"], say["form now"], say["state"], say["since"])
    rows = tuple(
        (
            each.word,
            each.adult,
            each.form + _rung(each, say),
            say[f"state {each.state}"],
            day(each.since or "-", language),
        )
        for each in targets
    )
    block: Block = Grid(say["words table"], head, rows) if rows else Paragraph(say["no words"])
    return Document(say["words in work"], (block,), language)


def _rung(target: StoredTarget, say: dict[str, str]) -> str:
    return "" if target.rung is None else fill_pattern(say["rung of"], rung=target.rung, of=target.of)
