"""A document in each format: HTML to print or keep, DOCX to edit, PDF to send. All say the same."""

from __future__ import annotations

from collections.abc import Sequence

from approx.reports.report_types import Block, Document, Heading

FORMATS = (".html", ".docx", ".pdf")


def printed(document: Document, suffix: str, paper: str = "letter") -> bytes:
    """The document as a file's content. `suffix` is one of FORMATS, `paper` letter or a4. KeyError for another suffix."""
    from approx.reports.document_docx import document_docx
    from approx.reports.document_html import document_html
    from approx.reports.document_pdf import document_pdf

    make = {
        ".html": lambda: document_html(document).encode(),
        ".docx": lambda: document_docx(document, paper),
        ".pdf": lambda: document_pdf(document, paper),
    }
    return make[suffix.casefold()]()


def joined(documents: Sequence[Document]) -> Document:
    """Several documents as one, each under its own title; one stays as it is. ValueError for none."""
    if not documents:
        raise ValueError("no documents to join")
    if len(documents) == 1:
        return documents[0]
    blocks: list[Block] = []
    for document in documents:
        blocks += [Heading(document.title), *document.blocks]
    return Document(", ".join(document.title for document in documents), tuple(blocks), documents[0].language)
