"""A page as PDF, set by typst from a template of its own; fonts are inside, and the file is tagged for screen readers."""

from __future__ import annotations

import json
from dataclasses import asdict

from approx.reports.sheets.as_html import FOLDER, FONTS
from approx.reports.sheets.page_types import TEMPLATES, Page
from approx.reports.sheets.wording import wording


def page_pdf(page: Page) -> bytes:
    """The whole file. Raises ImportError where typst is not installed."""
    import typst

    data = {"p": asdict(page), "t": wording(page.printing.language)}
    made = typst.compile(
        FOLDER / f"{TEMPLATES[type(page)]}.typ",
        root=FOLDER,
        font_paths=[FONTS],
        ignore_system_fonts=True,
        format="pdf",
        pdf_standards=["ua-1"],
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )
    return bytes(made) if isinstance(made, (bytes, bytearray)) else b"".join(made or ())
