"""A document as the answer to a request: a file to edit or to send, or a piece of a page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup
from starlette.responses import Response

if TYPE_CHECKING:
    from approx.reports.document import Document

FILE_TYPES = {
    "docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
    "pdf": "application/pdf",
}


def document_file(document: Document, kind: str, name: str) -> Response:
    """The document as a file of one of KINDS. Its name holds nothing of the child."""
    from approx.reports.documents.documents import printed

    return data_file(printed(document, f".{kind}"), kind, name)


def data_file(data: bytes, kind: str, name: str) -> Response:
    """The content of a file to be kept."""
    headers = {"content-disposition": f'attachment; filename="{name}.{kind}"'}
    return Response(data, media_type=FILE_TYPES[kind], headers=headers)


def document_part(document: Document | None) -> Markup:
    """The blocks as a piece of a page, below its own title; every text in them was escaped when it was made."""
    from approx.reports.documents.html import blocks_html

    return Markup("" if document is None else blocks_html(document.blocks))
