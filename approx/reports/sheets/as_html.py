"""A page as one HTML file, fonts inside, every text escaped; and as PDF, set by typst from a template of its own."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from dataclasses import asdict, dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, cast

from approx.datafiles import PACKAGE
from approx.reports.report_words import wording
from approx.reports.sheets.page_types import TEMPLATES, GroupPage, LetterPage, ListenPage, Page, PlanPage

if TYPE_CHECKING:
    from jinja2 import Environment


TEMPLATE_FOLDER = PACKAGE / "reports" / "templates"
FONTS = PACKAGE / "reports" / "fonts"
PAPER_SIZE = {"a4": "A4", "letter": "Letter"}
SIZE_CLASS = {"big": "big", "mid": "mid", "small": "sml", "tiny": "tiny"}
_FACES = (
    ("Approx Text", "text-regular.ttf", "normal"),
    ("Approx Text", "text-bold.ttf", "bold"),
    ("Approx Phonetic", "ipa-regular.ttf", "normal"),
)
_PICTURE_FACES = (
    ("Approx Pictures", "pictures.ttf", "normal"),
    ("Approx More Pictures", "pictures-more.ttf", "normal"),
)


@dataclass(frozen=True, slots=True)
class Linked:
    """A page of the desk: style and script come from addresses, for its policy allows none inside; with a way back."""

    style: str
    script: str
    icon: str
    back: str
    back_text: str
    print_text: str


def page_html(page: Page, linked: Linked | None = None) -> str:
    """The whole page, style and fonts inside unless `linked`. Raises ImportError where jinja2 is not installed."""
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
            linked=linked,
            fonts=Markup("" if linked else font_faces("", has_pictures(page))),
            style=Markup((TEMPLATE_FOLDER / "print.css").read_text(encoding="utf-8")),
        )
    )


def sheet_style(kind: str, paper: str, fonts: str) -> str:
    """The style of a page of this kind on this paper; `fonts` is where its fonts are. KeyError for what there is not."""
    if kind not in TEMPLATES.values():
        raise KeyError(kind)
    values = {"paper_size": PAPER_SIZE[paper]}
    rules = [f"@page {{ size: {PAPER_SIZE[paper]}; margin: 12mm 12mm 12mm 18mm }}"]
    template = _templates().get_template(f"{kind}.html")
    if "page_style" in template.blocks:
        rules.append("".join(template.blocks["page_style"](template.new_context(values))))
    return (
        "\n".join([font_faces(fonts, True), (TEMPLATE_FOLDER / "print.css").read_text(encoding="utf-8"), *rules]) + "\n"
    )


@cache
def _templates() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(TEMPLATE_FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        keep_trailing_newline=True,
    )


def has_pictures(page: Page) -> bool:
    """Whether any word of the page stands with a picture: only then the page carries the fonts of pictures."""
    if isinstance(page, (GroupPage, LetterPage, PlanPage)):
        return False
    if isinstance(page, ListenPage):
        return bool(page.signs) or any(sign for _, sign in page.things)
    return re.search(r'"picture": "[^"]', json.dumps(asdict(page))) is not None


@cache
def font_faces(folder: str = "", pictures: bool = False) -> str:
    """The fonts of the pages as style rules: with the fonts inside, or from where a page finds the files in `folder`."""

    def source(file: str) -> str:
        return (
            f"{folder}/{file}" if folder else f"data:font/ttf;base64,{b64encode((FONTS / file).read_bytes()).decode()}"
        )

    return "\n".join(
        f'@font-face {{ font-family: "{family}"; font-weight: {weight}; src: url({source(file)}) }}'
        for family, file, weight in (*_FACES, *(_PICTURE_FACES if pictures else ()))
    )


def page_pdf(page: Page) -> bytes:
    """The whole file. Raises ImportError where typst is not installed."""
    import typst

    data = {"p": asdict(page), "t": wording(page.printing.language)}
    made = typst.compile(
        TEMPLATE_FOLDER / f"{TEMPLATES[type(page)]}.typ",
        root=TEMPLATE_FOLDER,
        font_paths=[FONTS],
        ignore_system_fonts=True,
        format="pdf",
        pdf_standards=cast(Any, ["ua-1"]),  # which its types do not list
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )
    return bytes(made) if isinstance(made, (bytes, bytearray)) else b"".join(made or ())
