"""A document in each format: HTML to print or keep, DOCX to edit, PDF to send. All say the same."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from approx.datafiles import PACKAGE
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
from approx.reports.documents.docx import column_shares, unbroken
from approx.reports.regions import paper_of, region_of


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
            case WritingSpace(label):
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

    paper = paper or paper_of(document.language)
    make = {
        ".html": lambda: document_html(document, paper).encode(),
        ".docx": lambda: document_docx(document, paper),
        ".pdf": lambda: document_pdf(document, paper),
    }
    return make[suffix.casefold()]()


def joined_documents(documents: Sequence[Document]) -> Document:
    """Several documents as one, each on a new page under its own title; the whole is named by the first and how many more there
    are. One stays as it is. ValueError for none."""
    if not documents:
        raise ValueError("no documents to join")
    if len(documents) == 1:
        return documents[0]
    blocks: list[Block] = []
    for document in documents:
        blocks += [*([PageBreak()] if blocks else []), Heading(document.title), *document.blocks]
    more = len(documents) - 1
    return Document(f"{documents[0].title} (+{more})", tuple(blocks), documents[0].language)


DOCUMENT_TEMPLATE = PACKAGE / "reports" / "templates" / "document.typ"
FONTS = PACKAGE / "reports" / "fonts"
_PAPER = {"letter": "us-letter", "a4": "a4"}
TIGHTNESS = (0, 1, 2)
"""How closely lines and rows are set, as document.typ says."""


def document_pdf(document: Document, paper: str = "letter") -> bytes:
    """The file's content. Texts go to the typesetter as data, so that nothing in them is read as markup."""
    import typst

    data = {
        "title": document.title,
        "language": document.language.split("-")[0],
        "region": region_of(document.language) or None,
        "paper": _PAPER[paper],
        "blocks": [_block(block) for block in document.blocks],
    }
    text = json.dumps(data).replace("\\u0000", "\\ufffd")

    def pages(tight: int) -> int:
        asked = typst.query(
            str(DOCUMENT_TEMPLATE), "<pages>", field="value", one=True, font_paths=[str(FONTS)], ignore_system_fonts=True,
            sys_inputs={"data": text, "tight": str(tight)},
        )  # fmt: skip
        return int(json.loads(asked))

    # the loosest setting that needs no more pages than the tightest: a few lines are not left on a page by themselves
    counts = {tight: pages(tight) for tight in TIGHTNESS}
    tight = min(TIGHTNESS, key=lambda each: (counts[each], each))
    found = typst.compile(
        str(DOCUMENT_TEMPLATE), format="pdf", font_paths=[str(FONTS)], ignore_system_fonts=True,
        sys_inputs={"data": text, "tight": str(tight)},
    )  # fmt: skip
    if not isinstance(found, bytes):
        raise TypeError("the typesetter gave no file")
    return found


def _block(block: Block) -> dict[str, Any]:
    match block:
        case Heading(text, level):
            return {"kind": "heading", "text": text, "level": level}
        case Paragraph(text, gap, small):
            return {"kind": "paragraph", "text": text, "gap": gap, "small": small}
        case Bullets(items, small):
            return {"kind": "bullets", "items": items, "small": small}
        case Grid(title, head, rows):
            shown = [[unbroken(cell) for cell in row] for row in rows]
            return {"kind": "grid", "title": title, "head": head, "rows": shown, "shares": column_shares(block)}
        case Picture():
            svg = block.svg.replace("currentColor", "#111111")
            return {"kind": "picture", "svg": svg, "about": block.about, "caption": block.below}
        case WritingSpace(label, lines, grows):
            return {"kind": "space", "label": label, "lines": lines, "grows": grows}
        case BlankLine(labels):
            return {"kind": "lines", "labels": labels}
        case PageBreak():
            return {"kind": "pagebreak"}
