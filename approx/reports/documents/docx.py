"""A document as DOCX, to be edited in a word processor: real headings, tables with heading rows, pictures with their text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime
from io import BytesIO
from itertools import takewhile
from typing import TYPE_CHECKING

from approx.reports.charts.progress_chart import svg_png
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

if TYPE_CHECKING:
    from docx.document import Document as DocxDocument
    from docx.oxml.xmlchemy import BaseOxmlElement
    from docx.section import Section
    from docx.styles.style import ParagraphStyle
    from docx.text.paragraph import Paragraph as Line

FONT = "Arial"
"""Has the letters of IPA on the common systems; a word processor takes a missing one from another font."""
_PAPER_MM = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
_MARGIN_MM = 16.0
_SIZES = (16, 12.5, 11, 10.5)
"""Points of the title and of headings by level."""
_TOGETHER = 3
"""Rows at the head and at the end of a table that stay together, those at the head with its name."""
_SHORT_LIST = 3
"""As many items at the head and at the end of a list stay together, so that a list of six is not cut."""
_LETTER_MM, _PADDING_MM, _LONGEST_WORD = 2.1, 3.0, 20  # a bold letter of 9 pt; longer words may break
_SHORTEST, _LONGEST = 6, 34  # letters of a column of a table
_NOT_IN_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_LOCALES = {"en": "en-US", "es": "es-MX"}


def document_docx(document: Document, paper: str = "letter") -> bytes:
    """The file's content. Nothing of the machine or its user goes into its properties."""
    import docx
    from docx.shared import Mm, Pt

    made = docx.Document()
    section = made.sections[0]
    width, height = _PAPER_MM[paper]
    section.page_width, section.page_height = Mm(width), Mm(height)
    section.left_margin = section.right_margin = section.top_margin = section.bottom_margin = Mm(_MARGIN_MM)
    usual = made.styles["Normal"]
    usual.font.name, usual.font.size = FONT, Pt(10)
    usual.paragraph_format.space_after = Pt(3)
    _language(usual, _LOCALES.get(document.language, document.language))
    for level in range(4):
        style = made.styles["Title" if level == 0 else f"Heading {level}"]
        _font(style)
        style.font.size, style.font.bold = Pt(_SIZES[level]), True
        style.paragraph_format.space_before, style.paragraph_format.space_after = Pt(0 if level == 0 else 8), Pt(4)
        style.font.color.rgb = docx.shared.RGBColor(0, 0, 0)
    properties = made.core_properties
    properties.title, properties.author, properties.comments, properties.last_modified_by = (
        clean_xml(document.title),
        "",
        "",
        "",
    )
    properties.language = document.language
    properties.created = properties.modified = datetime.now(UTC)
    _footer(section, document.title)
    made.add_heading(clean_xml(document.title), 0)
    fresh = False
    for at, block in enumerate(document.blocks):
        if isinstance(block, PageBreak):
            fresh = True
            continue
        before = len(made.element.body)
        _add(made, block, width - 2 * _MARGIN_MM)
        if fresh:
            # a break of its own would leave an empty page after a full one
            _paragraph(made, before - 1).paragraph_format.page_break_before = True
            fresh = False
        if isinstance(block, WritingSpace) and isinstance(next(iter(document.blocks[at + 1 :]), None), BlankLine):
            for part in range(before - 1, len(made.element.body) - 1):  # the signature stays with what is signed
                _paragraph(made, part).paragraph_format.keep_with_next = True
        if _ends_a_part(document.blocks, at + 1):
            _paragraph(made, -2).paragraph_format.keep_with_next = True
    out = BytesIO()
    made.save(out)
    return out.getvalue()


def clean_xml(text: str) -> str:
    """The text without characters that XML cannot hold; each is shown as a sign, none is lost silently."""
    return _NOT_IN_XML.sub("\ufffd", text)


def _add(made: DocxDocument, block: Block, width: float) -> None:
    from docx.shared import Mm

    match block:
        case Heading(text, level):
            made.add_heading(clean_xml(text), min(level, 3))
        case Paragraph(text, gap, small):
            paragraph = made.add_paragraph()
            paragraph.paragraph_format.keep_together = True
            _run(paragraph, text, small, gap)
        case Bullets(items, small):
            for number, item in enumerate(items):
                paragraph = made.add_paragraph(style="List Bullet")
                paragraph.paragraph_format.keep_with_next = _stays(number, len(items), _SHORT_LIST)
                _run(paragraph, item, small)
        case Grid():
            _table(made, block, width)
        case Picture():
            made.add_picture(BytesIO(svg_png(block.svg)), width=Mm(width))
            made.paragraphs[-1].paragraph_format.keep_with_next = True
            made.inline_shapes[-1]._inline.docPr.set("descr", clean_xml(block.about))
            _run(made.add_paragraph(), block.below, True)
        case WritingSpace(label, lines, _):
            box = made.add_table(rows=1, cols=1)
            box.style = "Table Grid"
            box.rows[0]._tr.get_or_add_trPr().append(_element("w:cantSplit"))
            _run(box.cell(0, 0).paragraphs[0], label + "\n" * lines, True)
            made.add_paragraph()
        case BlankLine(labels):
            made.add_paragraph().paragraph_format.keep_with_next = True
            made.add_paragraph("    ".join(f"{clean_xml(label)}: {'_' * 26}" for label in labels))


def _paragraph(made: DocxDocument, at: int) -> Line:
    """The first paragraph of one part of the body: the part itself, or the first cell's. The last part is the section's."""
    from docx.oxml.ns import qn
    from docx.text.paragraph import Paragraph as Line

    return Line(next(made.element.body[at].iter(qn("w:p"))), made)


def _ends_a_part(blocks: Sequence[Block], at: int) -> bool:
    """Whether only the small print at the end of a part begins here, which is not left alone on a page."""
    rest = list(takewhile(lambda block: not isinstance(block, PageBreak), blocks[at:]))
    return bool(rest) and all(isinstance(block, Paragraph) and block.small for block in rest)


def _stays(number: int, many: int, together: int) -> bool:
    """Whether this one of so many rows or items stays on the page of the next."""
    return number < many - 1 and (number < together or number >= many - together)


def _run(paragraph: Line, text: str, small: bool = False, gap: bool = False) -> None:
    from docx.enum.text import WD_COLOR_INDEX
    from docx.shared import Pt

    run = paragraph.add_run(clean_xml(text))
    if small:
        run.font.size = Pt(9)
    if gap:
        run.bold = True
        run.font.highlight_color = WD_COLOR_INDEX.GRAY_25


def _table(made: DocxDocument, grid: Grid, width: float) -> None:
    from docx.shared import Mm, Pt

    title = made.add_paragraph()
    title.paragraph_format.keep_with_next = True
    title.add_run(clean_xml(grid.title)).bold = True
    table = made.add_table(rows=1 + len(grid.rows), cols=len(grid.head))
    table.style = "Table Grid"
    size = Pt(9)
    for number, (line, row) in enumerate(zip(table.rows, (grid.head, *grid.rows))):
        line._tr.get_or_add_trPr().append(_element("w:cantSplit"))
        for cell, text in zip(line.cells, row):
            paragraph = cell.paragraphs[0]
            paragraph.paragraph_format.space_after = Pt(0)
            # neither the heading nor the last row is left alone on a page
            paragraph.paragraph_format.keep_with_next = _stays(number, 1 + len(grid.rows), _TOGETHER)
            run = paragraph.add_run(clean_xml(unbroken(text)))
            run.font.size, run.bold = size, row is grid.head
    table.rows[0]._tr.get_or_add_trPr().append(_element("w:tblHeader"))
    table.autofit = False
    margins = _element("w:tblCellMar")
    for side in ("left", "right"):
        margins.append(_element(f"w:{side}", w="60", type="dxa"))
    table._tbl.tblPr.append(margins)
    for column, share in zip(table.columns, column_shares(grid, width)):
        column.width = Mm(width * share)
        for cell in column.cells:
            cell.width = Mm(width * share)
    made.add_paragraph().paragraph_format.line_spacing = Pt(6)


def _element(name: str, **attributes: str) -> BaseOxmlElement:
    from docx.oxml import OxmlElement
    from docx.oxml.ns import qn

    made = OxmlElement(name)
    for key, value in attributes.items():
        made.set(qn(f"w:{key}"), value)
    return made


def _footer(section: Section, title: str) -> None:
    """Title and number of the page, so that a page that is lost can be put back."""
    paragraph = section.footer.paragraphs[0]
    _run(paragraph, f"{title}   ", True)
    _run(paragraph, "", True)
    run = paragraph.runs[-1]._r
    for kind in ("begin", "", "end"):
        if kind:
            run.append(_element("w:fldChar", fldCharType=kind))
        else:
            text = _element("w:instrText")
            text.text = "PAGE"
            run.append(text)


_IN_COUNTS = re.compile(r"(?<=\d) (?=[/%])|(?<=\d /) (?=\d)")


def unbroken(cell: str) -> str:
    """A cell with its counts and percentages (27 / 60, 45.0 %) in one piece."""
    return _IN_COUNTS.sub("\u00a0", cell)


def column_shares(grid: Grid, width: float = 178.0) -> list[float]:
    """Which part of the width, in mm, each column gets: room for its longest word, so that none is broken, and of the rest by
    its longest cell, within bounds, so that no column is left a thread."""
    columns = [[unbroken(row[at]) for row in (grid.head, *grid.rows)] for at in range(len(grid.head))]
    words = [max(len(word) for cell in cells for word in f"{cell} -".split(" ")) for cells in columns]
    needed = [_LETTER_MM * min(letters, _LONGEST_WORD) + _PADDING_MM for letters in words]
    longest = [2 + max(len(cell) for cell in (_longest_word(cells[0]), *cells[1:])) for cells in columns]
    bounded = [min(max(length, _SHORTEST), _LONGEST) for length in longest]
    rest = max(0.0, width - sum(needed))
    wide = [need + rest * length / sum(bounded) for need, length in zip(needed, bounded)]
    return [each / sum(wide) for each in wide]


def _longest_word(text: str) -> str:
    return max(f"{text} -".split(" "), key=len)


def _font(style: ParagraphStyle) -> None:
    """The font of a style, without the theme of the empty document, which would go before it."""
    from docx.oxml.ns import qn

    style.font.name = FONT
    fonts = style.element.rPr.rFonts
    for theme in ("w:asciiTheme", "w:hAnsiTheme", "w:eastAsiaTheme", "w:cstheme"):
        fonts.attrib.pop(qn(theme), None)


def _language(style: ParagraphStyle, tag: str) -> None:
    """The language a word processor checks the spelling in."""
    style.element.get_or_add_rPr().append(_element("w:lang", val=tag))
