"""Reports onto disk, in one piece, in the format that the file's name asks for."""

from __future__ import annotations

import os
from pathlib import Path

from approx.problems import Problem
from approx.reports.documents import FORMATS, printed
from approx.reports.report_types import Document


def page_problem(path: Path | None) -> list[Problem]:
    """What is wrong with a page's name, before any work is done."""
    if path is None or path.suffix.casefold() in FORMATS:
        return []
    return [Problem("use.page", f"'{path.name}' is no page", "end the name in " + " or ".join(FORMATS))]


def write_document(path: Path, document: Document) -> list[Problem]:
    """Write the file whole or not at all."""
    try:
        content = printed(document, path.suffix)
    except ImportError as error:
        hint = "install python-docx, or take .html"
        return [Problem("page.library", f"a library for {path.suffix} is not there ({error.name})", hint, str(path))]
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.write_bytes(content)
        draft.replace(path)
    except OSError as error:
        return [Problem("file.write", f"cannot write: {error.strerror}", "choose another place", str(path))]
    return []
