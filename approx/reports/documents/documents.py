"""A document in each format: HTML to print or keep, DOCX to edit, PDF to send. All say the same.

A document as lines for the terminal.
"""

from __future__ import annotations

from collections.abc import Sequence

from approx.reports.document import (
    BlankLine,
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    PageBreak,
    Paragraph,
    Picture,
    WritingSpace,
)
from approx.reports.regions import paper_of


def document_lines(document: Document) -> list[str]:
    """Title, then every block; a picture by its words, an empty box by its name."""
    lines = [document.title, ""]
    for block in document.blocks:
        match block:
            case Heading(text, level):
                lines += ["", "  " * (level - 1) + text]
            case Paragraph(text, _, _):
                lines += [f"  {line}" for line in text.split("\n")]
            case Bullets(items, _):
                lines += [f"  - {item}" for item in items]
            case Grid():
                lines += [*grid_lines(block), ""]
            case Picture():
                lines.append(f"  {block.about}")
            case WritingSpace(label, _):
                lines.append(f"  [{label}: ________]")
            case BlankLine(labels):
                lines.append("  " + "  ".join(f"{label}: ________" for label in labels))
            case PageBreak():
                lines.append("")
    return lines


def grid_lines(grid: Grid) -> list[str]:
    """A table as text, columns under each other."""
    table = [grid.head, *grid.rows]
    widths = [max(len(row[column]) for row in table) for column in range(len(grid.head))]
    return [f"  {grid.title}"] + [
        ("    " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths))).rstrip() for row in table
    ]


FORMATS = (".html", ".docx", ".pdf")


def printed(document: Document, suffix: str, paper: str = "") -> bytes:
    """The document as a file's content. `suffix` is one of FORMATS; `paper` letter or a4, "" for that of the region of the
    document's language. KeyError for another suffix or paper."""
    from approx.reports.documents.docx import document_docx
    from approx.reports.documents.html import document_html
    from approx.reports.documents.pdf import document_pdf

    paper = paper or paper_of(document.language)
    make = {
        ".html": lambda: document_html(document, paper).encode(),
        ".docx": lambda: document_docx(document, paper),
        ".pdf": lambda: document_pdf(document, paper),
    }
    return make[suffix.casefold()]()


def joined(documents: Sequence[Document]) -> Document:
    """Several documents as one, each on a new page under its own title; one stays as it is. ValueError for none."""
    if not documents:
        raise ValueError("no documents to join")
    if len(documents) == 1:
        return documents[0]
    blocks: list[Block] = []
    for document in documents:
        blocks += [*([PageBreak()] if blocks else []), Heading(document.title), *document.blocks]
    return Document(", ".join(document.title for document in documents), tuple(blocks), documents[0].language)
