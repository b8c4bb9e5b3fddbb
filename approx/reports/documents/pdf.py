"""A document as PDF with its fonts inside, IPA included, by the typesetter in the wheel `typst`; no network, no other program."""

from __future__ import annotations

import json
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
from approx.reports.documents.docx import column_shares
from approx.reports.regions import region_of

TEMPLATE = PACKAGE / "reports" / "templates" / "document.typ"
FONTS = PACKAGE / "reports" / "fonts"
_PAPER = {"letter": "us-letter", "a4": "a4"}


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
    found = typst.compile(
        str(TEMPLATE), format="pdf", font_paths=[str(FONTS)], sys_inputs={"data": text}, ignore_system_fonts=True
    )
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
            return {"kind": "grid", "title": title, "head": head, "rows": rows, "shares": column_shares(block)}
        case Picture():
            svg = block.svg.replace("currentColor", "#111111")
            return {"kind": "picture", "svg": svg, "about": block.about, "caption": block.below}
        case WritingSpace(label, lines):
            return {"kind": "space", "label": label, "lines": lines}
        case BlankLine(labels):
            return {"kind": "lines", "labels": labels}
        case PageBreak():
            return {"kind": "pagebreak"}
