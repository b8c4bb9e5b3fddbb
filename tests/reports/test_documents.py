"""The same blocks as HTML, DOCX, PDF and lines: nothing lost, nothing read as markup, headings and tables real."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from io import BytesIO
from string import Formatter
from typing import Any

import pytest

from approx.datafiles import read_toml, rules_path
from approx.reports.document import (
    BlankLine,
    Bullets,
    Document,
    Grid,
    Heading,
    PageBreak,
    Paragraph,
    Picture,
    WritingSpace,
)
from approx.reports.documents.documents import document_lines, document_pdf, joined_documents
from approx.reports.documents.docx import clean_xml, document_docx
from approx.reports.documents.front_page import report_title
from approx.reports.documents.html import blocks_html, document_html

NASTY = '<script>alert("1")</script> & #set page() *b* \\ ˈtʃɑp t͡ʃ ɹ̥ ɚ ʔ'
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="20"><rect width="9" height="9" fill="currentColor"/></svg>'
DOCUMENT = Document(
    f"Title {NASTY}",
    (
        Heading(f"Head {NASTY}"),
        Paragraph(f"Para {NASTY}\nsecond line"),
        Paragraph(f"Gap {NASTY}", gap=True),
        Bullets((f"Point {NASTY}", "two")),
        Grid(f"Grid {NASTY}", ("a", f"Cell {NASTY}"), (("1", "2"), ("3", f"Inner {NASTY}"))),
        Picture(SVG, f"About {NASTY}"),
        WritingSpace(f"Box {NASTY}", 3),
    ),
)


class Tags(HTMLParser):
    """Every tag that a browser would open, and the text it would show."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def test_html_shows_every_text_as_it_is() -> None:
    seen = Tags()
    seen.feed(document_html(DOCUMENT))
    assert "script" not in seen.tags
    assert (
        seen.text.count(NASTY) == 1 + 10
    )  # in <title>, then title, head, para, gap, point, grid, two cells, about, box
    assert {"main", "h1", "h2", "table", "caption", "th", "figure", "figcaption"} <= set(seen.tags)


def test_html_settings_break_between_settings() -> None:
    assert "a_b:1|<wbr>c_d:2" in blocks_html((Paragraph("Settings: a_b:1|c_d:2", small=True),))


def test_html_tables_have_headings_of_rows_and_columns() -> None:
    html = blocks_html((Grid("t", ("", "x"), (("r", "1"),)),))
    assert '<th scope="col">x</th>' in html and '<th scope="row">r</th>' in html and "<caption>t</caption>" in html


def test_headings_of_a_piece_begin_where_the_page_wants() -> None:
    assert blocks_html((Heading("a"), Heading("b", 2)), top=3) == "<h3>a</h3><h4>b</h4>"


def test_lines_hold_every_text() -> None:
    assert (
        "\n".join(document_lines(DOCUMENT)).count(NASTY) == 10
    )  # title, head, para, gap, point, grid, two cells, about, box


def test_docx_reads_back() -> None:
    import docx

    found = docx.Document(
        BytesIO(
            document_docx(Document(DOCUMENT.title, tuple(b for b in DOCUMENT.blocks if not isinstance(b, Picture))))
        )
    )
    texts = [paragraph.text for paragraph in found.paragraphs]
    assert [style.split()[0] for style in (p.style.name for p in found.paragraphs[:2])] == ["Title", "Heading"]
    assert f"Gap {NASTY}" in texts and f"Point {NASTY}" in texts
    assert found.tables[0].rows[2].cells[1].text == f"Inner {NASTY}"
    assert "w:tblHeader" in found.tables[0].rows[0]._tr.xml
    assert found.tables[1].cell(0, 0).text.startswith(f"Box {NASTY}")
    assert (found.core_properties.author, found.core_properties.last_modified_by) == ("", "")


def test_docx_takes_what_xml_cannot_hold() -> None:
    assert clean_xml("a\x00b\x0bc\ud800d\tе") == "a\ufffdb\ufffdc\ufffdd\tе"
    assert document_docx(Document("x\x00", (Paragraph("\x1b[1m"),))).startswith(b"PK")


def test_joined_documents_keep_their_titles() -> None:
    one, two = Document("A", (Heading("x"),)), Document("B", (Heading("y"),))
    assert joined_documents([one]) is one
    assert [block.text for block in joined_documents([one, two]).blocks if isinstance(block, Heading)] == [
        "A",
        "x",
        "B",
        "y",
    ]
    with pytest.raises(ValueError, match="no documents"):
        joined_documents([])


@pytest.mark.slow
def test_a_title_begins_with_the_child_or_a_capital() -> None:
    days = ["2026-03-02", "2026-03-02"]
    assert report_title("two samples compared", "M12", "4;5", days, "en").startswith("M12, 4;5: two samples compared, ")
    assert report_title("evaluación, sonidos del habla", "", "", [""], "es") == "Evaluación, sonidos del habla"


def test_docx_picture_has_its_words() -> None:
    import docx

    found = docx.Document(BytesIO(document_docx(Document("t", (Picture(SVG, "what it shows"),)))))
    assert found.inline_shapes[0]._inline.docPr.get("descr") == "what it shows"


@pytest.mark.slow
def test_pdf_holds_the_texts_with_their_letters() -> None:
    import pypdfium2

    pdf = pypdfium2.PdfDocument(document_pdf(DOCUMENT))
    text = re.sub(r"\s+", " ", "".join(page.get_textpage().get_text_range() for page in pdf))
    for word in ('<script>alert("1")</script>', "#set page() *b*", "ɹ", "ɚ", "ʔ", "ˈt"):
        assert word in text
    assert len(pdf) == 1


def test_every_word_of_a_report_has_the_same_gaps_in_both_languages() -> None:
    table = read_toml(rules_path("report_words.toml"))
    english, spanish = table["en"], table["es"]
    own = {key for key in spanish if key.startswith(("measure ", "index "))}
    assert set(english) == set(spanish) - own

    def names(text: str) -> set[str]:
        return {name for _, name, _, _ in Formatter().parse(text) if name}

    assert [key for key in english if names(english[key]) != names(spanish[key])] == []


def test_docx_headings_have_the_font_of_the_text() -> None:
    """A theme left in a style goes before its font, and the headings come out in another one."""
    import docx
    from docx.oxml.ns import qn

    found = docx.Document(BytesIO(document_docx(Document("t", (Heading("one"),)))))
    for name in ("Title", "Heading 1", "Heading 2"):
        fonts = found.styles[name].element.rPr.rFonts
        assert fonts.get(qn("w:ascii")) == "Arial" and fonts.get(qn("w:asciiTheme")) is None


def test_docx_columns_are_as_wide_as_what_they_hold() -> None:
    """By hand, of 183.9 mm: 45 for a word of 20 letters or more and 5.1 for one of one letter; of the rest the first gets 34 of
    40 parts, the most letters that count beside the fewest."""
    import docx

    grid = Grid("t", ("x" * 60, "n"), (("y", "2"),))
    table = docx.Document(BytesIO(document_docx(Document("t", (grid,))))).tables[0]
    assert round(table.columns[0].width.mm) == round(45 + (183.9 - 50.1) * 34 / 40)
    assert [cell.width for cell in table.columns[1].cells] == [table.columns[1].width] * 2


def test_docx_leaves_no_page_empty_and_nothing_alone_on_one() -> None:
    """A break is a property of what begins the page: as a paragraph of its own it falls on the next page when one is full."""
    import docx

    grid = Grid("numbers", ("n",), tuple((f"{row}",) for row in range(1, 10)))
    blocks = (
        Heading("first"),
        grid,
        Bullets(("one", "two", "three", "four", "five", "six")),
        Paragraph("the settings", small=True),
        PageBreak(),
        WritingSpace("view", 2),
        BlankLine(("Signature",)),
        PageBreak(),
        Paragraph("body"),
        PageBreak(),
    )
    found = docx.Document(BytesIO(document_docx(Document("t", blocks))))
    assert "w:br w:type" not in found.element.xml
    begins = [each for each in [*found.paragraphs, found.tables[1].cell(0, 0).paragraphs[0]] if breaks(each)]
    assert [each.text.strip() for each in begins] == ["body", "view"]

    kept = [row.cells[0].paragraphs[0].paragraph_format.keep_with_next for row in found.tables[0].rows]
    assert kept == [True] * 3 + [False] * 4 + [True] * 2 + [False]
    by_text = {each.text: each.paragraph_format for each in found.paragraphs}
    assert all(by_text[item].keep_with_next for item in ("one", "two", "three", "four", "five", "six"))
    assert by_text["the settings"].keep_together and not by_text["the settings"].keep_with_next
    assert found.tables[1].cell(0, 0).paragraphs[0].paragraph_format.keep_with_next
    before = found.paragraphs[[each.text.startswith("Signature") for each in found.paragraphs].index(True) - 1]
    assert before.paragraph_format.keep_with_next


def breaks(paragraph: Any) -> bool:
    return paragraph.paragraph_format.page_break_before is True
