"""The family page and the plan as DOCX, for those who want to change words before they print. Plain tables and headings."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

from approx.reports.sheets.page_types import FamilyPage, FamilyWord, PlanPage, Row
from approx.reports.sheets.wording import wording

if TYPE_CHECKING:
    from docx.document import Document

FONT = "Arial"
"""On every machine with a word processor, and has the phonetic letters."""
_POINTS = {"big": 20, "mid": 16, "small": 14, "tiny": 14}
_LINE = "_" * 22
_PAPER = {"a4": (210, 297), "letter": (215.9, 279.4)}


def page_docx(page: FamilyPage | PlanPage) -> bytes:
    """The whole file. Raises ImportError where python-docx is not installed."""
    family = isinstance(page, FamilyPage)
    text = wording(page.printing.language)
    document = _document(page, 14 if family else 10.5, text["family" if family else "plan"]["title"])
    if isinstance(page, FamilyPage):
        _family(document, page, text)
    else:
        _plan(document, page, text)
    out = BytesIO()
    document.save(out)
    return out.getvalue()


def _document(page: FamilyPage | PlanPage, points: float, title: str) -> Document:
    """An empty document with paper, font and title, and the language of the sentences."""
    import docx
    from docx.shared import Mm, Pt

    document = docx.Document()
    section = document.sections[0]
    width, height = _PAPER[page.printing.paper]
    section.page_width, section.page_height = Mm(width), Mm(height)
    section.left_margin = section.right_margin = section.top_margin = section.bottom_margin = Mm(14)
    for name in ("Normal", "Heading 1", "Heading 2"):
        style: Any = document.styles[name]
        style.font.name = FONT
        _east_asian(style.element, FONT)
        style.font.color.rgb = None
        style.paragraph_format.space_after = Pt(2)
    document.styles["Normal"].font.size = Pt(points)
    document.styles["Heading 1"].font.size = Pt(points + 6)
    document.styles["Heading 2"].font.size = Pt(points + 1.5)
    _language(document.styles["Normal"].element, page.printing.language)
    document.core_properties.title = title
    document.core_properties.author = ""
    document.add_heading(title, 1)
    if page.printing.invented:
        document.add_paragraph(wording(page.printing.language)["page"]["invented"])
    return document


def _family(document: Document, page: FamilyPage, text: dict[str, Any]) -> None:
    """Words two by two, each with a place for a drawing; then one idea a line."""
    from docx.shared import Mm

    own = text["family"]
    document.add_paragraph(f"{own['for']}: {_LINE}")
    pairs = [page.words[start : start + 2] for start in range(0, len(page.words), 2)]
    table = document.add_table(rows=len(pairs), cols=4)
    table.style = "Table Grid"
    _widths(table, (28, 62, 28, 62))
    for row, pair in zip(table.rows, pairs):
        row.height = Mm(27)
        for place, word in enumerate(pair):
            _family_word(row.cells[2 * place + 1], word, own)
    if page.capitals:
        document.add_paragraph(page.capitals)
    for key in ("how", "stuck", "step"):
        document.add_heading(own[key], 2)
        for sentence in own[f"{key}_lines"]:
            document.add_paragraph(sentence)
    document.add_heading(own["week"], 2)
    week = document.add_table(rows=2, cols=len(own["days"]))
    week.style = "Table Grid"
    for cell, day in zip(week.rows[0].cells, own["days"]):
        cell.text = day
    week.rows[1].height = Mm(9)
    document.add_heading(own["well"], 2)
    for _ in range(2):
        document.add_paragraph("_" * 58)
    document.add_paragraph(f"{own['contact']}: {_LINE}")


def _family_word(cell: Any, word: FamilyWord, own: dict[str, Any]) -> None:
    first = cell.paragraphs[0]
    first.add_run(f"{own['you']}: ")
    _strong(first, word.word, word.size, word.language)
    second = cell.add_paragraph(f"{own['child']}: " if word.says else word.instead)
    if word.says:
        _strong(second, word.says, word.says_size, word.language)


def _plan(document: Document, page: PlanPage, text: dict[str, Any]) -> None:
    """Time table, remarks, words, sources."""
    own, head = text["plan"], text["session"]
    printing = page.printing
    names = (
        (text["page"]["code"], printing.code),
        (text["page"]["date"], printing.date),
        (text["page"]["number"], printing.number),
    )
    document.add_paragraph("   ".join(f"{name}: {value or '_' * 12}" for name, value in names))
    document.add_paragraph(" · ".join(part for part in (page.summary, page.seed) if part)).runs[0].bold = True
    heads = (own["time"], own["what"], own["detail"], own["tries"])
    _table(document, heads, [(row.start, row.what, row.detail, row.tries) for row in page.rows], (16, 36, 112, 18))
    if page.remarks:
        document.add_heading(own["does_not_fit"], 2)
        for remark in page.remarks:
            document.add_paragraph(remark, style="List Bullet")
    document.add_heading(own["targets"], 2)
    heads = (head["word"], head["today"], head["start"], own["tries"])
    rows = [(_adult(row), _today(row), str(row.help), str(tries)) for row, tries in page.targets]
    _table(document, heads, rows, (62, 84, 18, 18))
    document.add_paragraph(
        f"{head['help_key']}: " + " · ".join(f"{degree} {meaning}" for degree, meaning in page.help_key)
    )
    document.add_heading(own["sources"], 2)
    _table(document, (own["what"], own["rule"], own["source"]), page.facts, (62, 18, 102))
    document.add_paragraph(f"{own['own']} {text['page']['caution']}")


def _adult(row: Row) -> str:
    return f"{row.word} /{row.adult_ipa}/"


def _today(row: Row) -> str:
    ipa = f" [{row.today_ipa}]" if row.today_ipa else ""
    return f"{row.today}{ipa} {row.rung}".strip()


def _table(document: Document, heads: tuple[str, ...], rows: Any, widths: tuple[int, ...]) -> None:
    """A table whose first row is repeated on each page."""
    from docx.oxml import OxmlElement

    table = document.add_table(rows=1, cols=len(heads))
    table.style = "Table Grid"
    for line in (heads, *rows):
        cells = table.rows[0].cells if line is heads else table.add_row().cells
        for cell, value in zip(cells, line):
            cell.text = str(value)
    _widths(table, widths)
    for cell in table.rows[0].cells:
        cell.paragraphs[0].runs[0].bold = True
    table.rows[0]._tr.get_or_add_trPr().append(OxmlElement("w:tblHeader"))


def _widths(table: Any, widths: tuple[int, ...]) -> None:
    """Columns of these widths in mm: told to the columns for some word processors, to each cell for the others."""
    from docx.shared import Mm

    table.autofit = False
    for column, width in zip(table.columns, widths):
        column.width = Mm(width)
        for cell in column.cells:
            cell.width = Mm(width)


def _strong(paragraph: Any, text: str, size: str, tag: str) -> None:
    from docx.shared import Pt

    run = paragraph.add_run(text)
    run.bold, run.font.size = True, Pt(_POINTS[size])
    _language(run._r, tag)


def _language(element: Any, tag: str) -> None:
    """Marks a style or a run with its language, so that a reader and a spelling check treat it so."""
    from docx.oxml import OxmlElement
    from docx.oxml.ns import qn

    properties = element.get_or_add_rPr()
    for old in properties.findall(qn("w:lang")):
        properties.remove(old)
    mark = OxmlElement("w:lang")
    mark.set(qn("w:val"), tag)
    properties.append(mark)


def _east_asian(element: Any, font: str) -> None:
    """Without this a word processor may take another font for letters it counts among far scripts."""
    from docx.oxml.ns import qn

    element.get_or_add_rPr().get_or_add_rFonts().set(qn("w:eastAsia"), font)
    fonts = element.rPr.rFonts
    for theme in ("w:asciiTheme", "w:hAnsiTheme", "w:eastAsiaTheme", "w:cstheme"):
        fonts.attrib.pop(qn(theme), None)
