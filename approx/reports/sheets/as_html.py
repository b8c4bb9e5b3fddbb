"""A page as one HTML file: style and fonts inside, every text escaped, tagged with its language, and good on paper."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from typing import TYPE_CHECKING

from approx.datafiles import PACKAGE
from approx.reports.sheets.page_types import TEMPLATES, Page
from approx.reports.sheets.wording import wording

if TYPE_CHECKING:
    from jinja2 import Environment

FOLDER = PACKAGE / "reports" / "templates"
FONTS = PACKAGE / "reports" / "fonts"
PAPER_SIZE = {"a4": "A4", "letter": "Letter"}
SIZE_CLASS = {"big": "big", "mid": "mid", "small": "sml", "tiny": "tiny"}
_FACES = (
    ("Approx Text", "text-regular.ttf", "normal"),
    ("Approx Text", "text-bold.ttf", "bold"),
    ("Approx Phonetic", "ipa-regular.ttf", "normal"),
)


def page_html(page: Page) -> str:
    """The whole page. Raises ImportError where jinja2 is not installed."""
    from markupsafe import Markup

    kind = TEMPLATES[type(page)]
    return (
        _templates()
        .get_template(f"{kind}.html")
        .render(
            p=page,
            t=wording(page.printing.language),
            kind=kind,
            size=SIZE_CLASS,
            paper_size=PAPER_SIZE[page.printing.paper],
            fonts=Markup(font_faces()),
            style=Markup((FOLDER / "print.css").read_text(encoding="utf-8")),
        )
    )


@cache
def _templates() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        keep_trailing_newline=True,
    )


@cache
def font_faces() -> str:
    """The fonts of the pages as style rules with the font inside."""
    return "\n".join(
        f'@font-face {{ font-family: "{family}"; font-weight: {weight}; '
        f"src: url(data:font/ttf;base64,{b64encode((FONTS / file).read_bytes()).decode()}) }}"
        for family, file, weight in _FACES
    )
