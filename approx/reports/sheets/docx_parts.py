"""What pages as DOCX are put together of: paper and fonts, lines of text, pictures, and tables that break only between rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from approx.reports.report_words import wording
from approx.reports.sheets.as_html import FONTS, TEMPLATE_FOLDER
from approx.reports.sheets.page_types import Printing, is_photo, jpeg_of

if TYPE_CHECKING:
    from docx.oxml.xmlchemy import BaseOxmlElement
    from docx.shape import InlineShape
    from docx.table import Table, _Cell
    from docx.text.paragraph import Paragraph

FONT = "Arial"
"""On every machine with a word processor, and has the phonetic letters."""
PAPER_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_LOCALES = {"en": "en-US", "es": "es-MX"}


@dataclass(frozen=True, slots=True)
class Text:
    """A run of text. `points` 0: as the page is. `language` "": that of the page."""

    text: str
    points: float = 0
    bold: bool = False
    language: str = ""


@dataclass(frozen=True, slots=True)
class Sign:
    """A picture of the picture fonts or a photo (see `page_types`), `side` mm wide; without one a hint to draw it, or a space to draw in."""

    picture: str
    side: float
    hint: str = ""
    points: float = 12


Line = tuple["Text | Sign", ...]
DocxCell = tuple[Line, ...]
"""Lines from top to bottom."""


def cell(*parts: str | Text | Sign | Line) -> DocxCell:
    """A cell of one line a part."""
    return tuple(
        part if isinstance(part, tuple) else (Text(part) if isinstance(part, str) else part,) for part in parts
    )


class DocxPage:
    """A document that is filled from top to bottom."""

    def __init__(
        self, printing: Printing, title: str, points: float, margin: float = 14, flipped: bool = False
    ) -> None:
        import docx
        from docx.enum.section import WD_ORIENT
        from docx.shared import Mm, Pt

        self.printing = printing
        self.points = points
        self.document = docx.Document()
        section = self.document.sections[0]
        sides = PAPER_MM[printing.paper]
        width, height = sides[::-1] if flipped else sides
        if flipped:
            section.orientation = WD_ORIENT.LANDSCAPE
        section.page_width, section.page_height = Mm(width), Mm(height)
        section.left_margin = section.right_margin = Mm(margin)
        section.top_margin = section.bottom_margin = Mm(min(margin, 12))
        section.header_distance = section.footer_distance = Mm(5)
        self.width = width - 2 * margin
        sizes = (("Normal", points), ("Heading 1", max(points + 5, 16)), ("Heading 2", points + 1.5))
        for name, size in sizes:
            style: Any = self.document.styles[name]
            style.font.name, style.font.size, style.font.color.rgb = FONT, Pt(size), None
            _fonts(style.element)
            style.paragraph_format.space_before = Pt(0 if name == "Normal" else 5)
            style.paragraph_format.space_after = Pt(1)
            style.paragraph_format.line_spacing = 1.0
        mark_language(self.document.styles["Normal"].element, _LOCALES.get(printing.language, printing.language))
        properties = self.document.core_properties
        properties.title, properties.author, properties.language = title, "", printing.language

    def head(self, title: str, *parts: str, code: bool = True) -> None:
        """The title, and on the line below it what the page says of itself."""
        self.document.add_heading(title, 1)
        own = wording(self.printing.language)["page"]
        shown = [f"{own['code']}: {self.printing.code}"] if code and self.printing.code else []
        shown += [part for part in parts if part]
        shown += [own["invented"]] if self.printing.invented else []
        if shown:
            self.line("    ".join(shown))

    def heading(self, text: str) -> None:
        """A heading of the second level."""
        self.document.add_heading(text, 2)

    def line(self, text: str, points: float = 0, bold: bool = False) -> None:
        """One paragraph."""
        _fill(self.document.add_paragraph(), (Text(text, points, bold),))

    def lines(self, texts: Sequence[str]) -> None:
        """A paragraph each."""
        for text in texts:
            self.line(text)

    def rule(self, times: int = 1) -> None:
        """Empty lines to write on, the whole width."""
        self.table((), [[cell(" ")]] * times, [self.width], height=9, borders="bottom")

    def page_break(self) -> None:
        """The next thing begins a new page; no empty paragraph is left on it."""
        from docx.shared import Pt

        paragraph = self.document.add_paragraph()
        paragraph.paragraph_format.page_break_before = True
        paragraph.paragraph_format.space_after = Pt(0)
        paragraph.paragraph_format.line_spacing = Pt(1)

    def table(
        self,
        heads: Sequence[str | tuple[str, int]],
        rows: Sequence[Sequence[DocxCell]],
        widths: Sequence[float],
        *,
        height: float = 0,
        borders: str = "single",
        centred: Sequence[int] = (),
        head_points: float = 0,
        halved: range = range(0),
    ) -> None:
        """A table of these widths in mm. A head is a text, or (text, columns it spans); the heads are repeated on each page
        and no row is split. `height`: least height of a row in mm. `borders`: single, dashed (to cut along) or bottom (to
        write on). `centred`: columns whose text stands in the middle. `halved`: empty columns with a line across the middle, to
        write above and below it."""
        from docx.enum.table import WD_CELL_VERTICAL_ALIGNMENT, WD_TABLE_ALIGNMENT
        from docx.enum.text import WD_PARAGRAPH_ALIGNMENT
        from docx.shared import Mm

        made = self.document.add_table(rows=bool(heads) + len(rows), cols=len(widths))
        made.alignment = WD_TABLE_ALIGNMENT.CENTER
        _borders(made, borders)
        _margins(made)
        self._apart()
        if heads:
            _heads(made, heads, head_points or self.points)
        for row, cells in zip(made.rows[bool(heads) :], rows):
            if height:
                row.height = Mm(height)
            _mark(row._tr.get_or_add_trPr(), "w:cantSplit")
            for at, (place, content) in enumerate(zip(row.cells, cells)):
                middle = at in centred
                if middle:
                    place.vertical_alignment = WD_CELL_VERTICAL_ALIGNMENT.CENTER
                if at in halved:
                    _halve(place, height)
                for number, line in enumerate(content):
                    paragraph = place.paragraphs[0] if number == 0 else place.add_paragraph()
                    if middle:
                        paragraph.alignment = WD_PARAGRAPH_ALIGNMENT.CENTER
                    _fill(paragraph, line)
        _widths(made, widths)

    def _apart(self) -> None:
        """A little room between the line above a table and the table."""
        from docx.shared import Pt

        if self.document.paragraphs and self.document.paragraphs[-1].text:
            self.document.paragraphs[-1].paragraph_format.space_after = Pt(4)

    def bytes(self) -> bytes:
        """The whole file."""
        out = BytesIO()
        self.document.save(out)
        return out.getvalue()


def _fill(paragraph: Paragraph, line: Line) -> None:
    from docx.shared import Mm, Pt

    for part in line:
        if isinstance(part, Sign):
            run = paragraph.add_run()
            if is_photo(part.picture):
                shown = run.add_picture(BytesIO(jpeg_of(part.picture)))
                scale = Mm(part.side) / max(shown.width, shown.height)
                shown.width, shown.height = round(shown.width * scale), round(shown.height * scale)
                _close(shown)
            elif part.picture:
                _close(run.add_picture(BytesIO(sign_png(part.picture)), width=Mm(part.side)))
            else:
                run.text, run.font.size = (
                    ("\n" * round(part.side / 10) if part.hint else "") + part.hint,
                    Pt(part.points),
                )
            continue
        run = paragraph.add_run(part.text)
        run.bold = part.bold or None
        if part.points:
            run.font.size = Pt(part.points)
        if part.language:
            mark_language(run._r, part.language)


def _close(shown: InlineShape) -> None:
    """No room at the sides of a picture: where it is not told, some word processors put an eighth of an inch there."""
    for side in ("distT", "distB", "distL", "distR"):
        shown._inline.set(side, "0")


@cache
def sign_png(sign: str) -> bytes:
    """A character of the picture fonts, black on nothing, as PNG: word processors do not have those fonts."""
    import typst

    made = typst.compile(
        TEMPLATE_FOLDER / "sign.typ",
        font_paths=[FONTS],
        ignore_system_fonts=True,
        format="png",
        ppi=200,
        sys_inputs={"sign": sign},
    )
    return bytes(made) if isinstance(made, (bytes, bytearray)) else b"".join(made or ())


def _heads(made: Table, heads: Sequence[str | tuple[str, int]], points: float) -> None:
    """The first row, repeated on each page; a head may span several columns."""
    row = made.rows[0]
    at = 0
    for head in heads:
        text, span = (head, 1) if isinstance(head, str) else head
        place = row.cells[at]
        if span > 1:
            place = place.merge(row.cells[at + span - 1])
        _fill(place.paragraphs[0], (Text(text, points, True),))
        at += span
    _mark(row._tr.get_or_add_trPr(), "w:cantSplit")
    _mark(row._tr.get_or_add_trPr(), "w:tblHeader")


def _mark(element: BaseOxmlElement, name: str, **values: str) -> BaseOxmlElement:
    from docx.oxml import OxmlElement
    from docx.oxml.ns import qn

    made = OxmlElement(name)
    for key, value in values.items():
        made.set(qn(f"w:{key}"), value)
    element.append(made)
    return made


def _borders(made: Table, kind: str) -> None:
    properties = made._tbl.tblPr
    frame = _mark(properties, "w:tblBorders")
    sides = ("bottom", "insideH") if kind == "bottom" else ("top", "left", "bottom", "right", "insideH", "insideV")
    for side in sides:
        _mark(frame, f"w:{side}", val="dashed" if kind == "dashed" else "single", sz="4", space="0", color="000000")


def _margins(made: Table) -> None:
    frame = _mark(made._tbl.tblPr, "w:tblCellMar")
    for side in ("left", "right"):
        _mark(frame, f"w:{side}", w="50", type="dxa")


def _halve(place: _Cell, height: float) -> None:
    """A line across the middle of an empty cell, from edge to edge."""
    from docx.shared import Mm

    frame = _mark(place._tc.get_or_add_tcPr(), "w:tcMar")
    for side in ("left", "right"):
        _mark(frame, f"w:{side}", w="0", type="dxa")
    paragraph = place.paragraphs[0]
    paragraph.paragraph_format.line_spacing = Mm(height / 2)
    paragraph.paragraph_format.space_after = Mm(0)
    border = _mark(paragraph._p.get_or_add_pPr(), "w:pBdr")
    _mark(border, "w:bottom", val="single", sz="4", space="0", color="000000")


def _widths(made: Table, widths: Sequence[float]) -> None:
    """Columns of these widths in mm: told to the columns for some word processors, to each cell for the others."""
    from docx.shared import Mm

    made.autofit = False
    for column, width in zip(made.columns, widths):
        column.width = Mm(width)
    for row in made.rows:
        at = 0
        for one in row._tr.tc_lst:
            span = one.grid_span
            one.width = Mm(sum(widths[at : at + span]))
            at += span


def mark_language(element: BaseOxmlElement, tag: str) -> None:
    """Marks a style or a run with its language, so that a reader and a spelling check treat it so."""
    from docx.oxml.ns import qn

    properties = element.get_or_add_rPr()
    for old in properties.findall(qn("w:lang")):
        properties.remove(old)
    _mark(properties, "w:lang", val=tag)


def _fonts(element: BaseOxmlElement) -> None:
    """Without this a word processor may take another font for letters it counts among far scripts."""
    from docx.oxml.ns import qn

    fonts = element.get_or_add_rPr().get_or_add_rFonts()
    fonts.set(qn("w:eastAsia"), FONT)
    for theme in ("w:asciiTheme", "w:hAnsiTheme", "w:eastAsiaTheme", "w:cstheme"):
        fonts.attrib.pop(qn(theme), None)
