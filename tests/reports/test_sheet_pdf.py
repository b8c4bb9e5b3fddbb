"""Printed pages as PDF: pages as many as expected, IPA in the text, fonts inside, nothing outside the paper, nothing small."""

from __future__ import annotations

import ctypes
import unicodedata
from dataclasses import replace

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from golden_sheets import MUD, PHRASE, WORDS, pages, printing, word

from approx.reports.sheets.as_pdf import page_pdf
from approx.reports.sheets.family_page import family_page
from approx.reports.sheets.page_types import Page
from approx.reports.sheets.session_page import group_page, session_page

PAGES = pages()
EXPECTED = {
    "session": 1, "session_nine": 2, "session_es": 1, "group": 1, "family": 1, "family_es": 1, "cards": 2, "match": 2, "listen": 1,
    "listen_es": 1, "plan": 2, "plan_es": 2,
}  # fmt: skip
SIZE = {"a4": (595, 842), "letter": (612, 792)}
MARGIN = 25
"""Points; the narrowest margin of a page is 10 mm, 28 points."""


def opened(page: Page) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(page_pdf(page))


def text_of(document: pypdfium2.PdfDocument) -> str:
    return "\n".join(document[number].get_textpage().get_text_range() for number in range(len(document)))


def outside(document: pypdfium2.PdfDocument) -> list[str]:
    """Letters that stand nearer to the edge than the margin."""
    found = []
    for number in range(len(document)):
        page = document[number]
        width, height = page.get_size()
        text = page.get_textpage()
        for at in range(text.count_chars()):
            left, bottom, right, top = text.get_charbox(at)
            if right > left and (left < MARGIN or right > width - MARGIN or bottom < MARGIN or top > height - MARGIN):
                found.append(text.get_text_range(at, 1))
    return found


def overlapping(document: pypdfium2.PdfDocument) -> list[str]:
    """Pairs of letters printed one over the other: more than a third of the smaller one is covered. Marks belong there."""
    found = []
    for number in range(len(document)):
        text = document[number].get_textpage()
        boxes = []
        for at in range(text.count_chars()):
            char = text.get_text_range(at, 1)
            left, bottom, right, top = text.get_charbox(at)
            if char.strip() and not unicodedata.combining(char[0]) and right - left > 0.5 and top - bottom > 0.5:
                boxes.append((left, bottom, right, top, char))
        boxes.sort()
        for at, one in enumerate(boxes):
            for other in boxes[at + 1 :]:
                if other[0] >= one[2]:
                    break
                width = min(one[2], other[2]) - max(one[0], other[0])
                height = min(one[3], other[3]) - max(one[1], other[1])
                area = min((box[2] - box[0]) * (box[3] - box[1]) for box in (one, other))
                if width > 0 and height > 0 and width * height > area / 3:
                    found.append(one[4] + other[4])
    return found


def smallest(document: pypdfium2.PdfDocument) -> float:
    sizes = []
    for number in range(len(document)):
        text = document[number].get_textpage()
        sizes += [
            pdfium.FPDFText_GetFontSize(text.raw, at)
            for at in range(text.count_chars())
            if text.get_text_range(at, 1).strip()
        ]
    return min(sizes)


def fonts(document: pypdfium2.PdfDocument) -> dict[str, bool]:
    """Name of every font used, and whether it is inside the file."""
    found = {}
    for number in range(len(document)):
        for thing in document[number].get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT]):
            font = pdfium.FPDFTextObj_GetFont(thing.raw)
            buffer = ctypes.create_string_buffer(128)
            pdfium.FPDFFont_GetBaseFontName(font, buffer, 128)
            found[buffer.value.decode()] = bool(pdfium.FPDFFont_GetIsEmbedded(font))
    return found


@pytest.mark.parametrize("name", PAGES)
def test_pages_paper_and_fonts(name: str) -> None:
    page = PAGES[name]
    document = opened(page)
    assert len(document) == EXPECTED[name]
    size = SIZE[page.printing.paper]
    width, height = (round(side) for side in document[0].get_size())
    assert (width, height) == (size[::-1] if name == "group" else size)
    used = fonts(document)
    assert used and all(used.values())
    assert all("Approx" in font for font in used)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", PAGES)
def test_nothing_runs_off_the_paper(name: str, paper: str) -> None:
    page = PAGES[name]
    document = opened(replace(page, printing=replace(page.printing, paper=paper)))
    assert not outside(document) and not overlapping(document)


def test_the_forms_can_be_read_in_the_file() -> None:
    text = text_of(opened(PAGES["session"]))
    for form in ("mʌd", "ˈnænə", "d͡ʒus", "ɹəˈfɹɪd͡ʒəˌɹeɪtɚ", "tɛʔ", "t͡ʃɛɹ", "NAN-uh", "nothing yet"):
        assert form in text, form


LONG = (
    word("supercalifragilistic", "ˌsupɚˌkæləˌfɹæd͡ʒəˈlɪstɪk", "", "ˈpætɪt", "PAT-it", rungs=17),
    word("Donaudampfschifffahrtskapitaen", "dɑnɔdəmpfʃɪffɚtskəˈpɪtəən", "", "ˈpɪtəndəmpfədəmpfədəmpfə", "PIT-uhn-dump-fuh-dump-fuh-dump-fuh"),
    word("Nana is watering the big tomato in the potato bed", "ˈnænə ɪz ˈwɔtɚɪŋ ðə bɪɡ təˈmeɪtoʊ ɪn ðə pəˈteɪtoʊ bɛd", "",
         "ˈnænə ɪd ˈwɔtɪn də bɪd ˈmeɪtoʊ ɪn də ˈteɪtoʊ bɛd", "NAN-uh id WAW-tin duhh bid MAY-toh in duhh TAY-toh bed", rungs=0, phrase=True),
)  # fmt: skip


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_long_words_and_phrases_stay_in_their_columns(paper: str) -> None:
    for page in (
        session_page((*WORDS[:5], *LONG), printing(paper=paper)),
        group_page([("X01", (*LONG, *WORDS[:5]))], printing(paper=paper)),
        family_page((*LONG, *WORDS[:5]), printing(paper=paper))[0],
    ):
        document = opened(page)
        assert not outside(document) and not overlapping(document)
        assert len(document) <= 2


def test_eight_targets_fit_on_one_page_of_either_paper() -> None:
    for paper in ("a4", "letter"):
        assert len(opened(session_page(WORDS, printing(paper=paper)))) == 1
        assert len(opened(session_page((*WORDS, MUD), printing(paper=paper)))) == 2


def test_the_family_page_has_nothing_smaller_than_14_points_and_no_code() -> None:
    for name in ("family", "family_es"):
        document = opened(PAGES[name])
        assert smallest(document) >= 13.99
        assert "X01" not in text_of(document)


def test_what_was_typed_is_text_and_no_command() -> None:
    text = text_of(opened(session_page((PHRASE, word("#sys.inputs *x* $y$ @z", "mʌd", "", "mʌ", "muh")), printing())))
    assert "mud <b>" in text and "#sys.inputs" in text and "$y$ @z" in text


def test_the_same_page_is_the_same_file() -> None:
    assert page_pdf(PAGES["family"]) == page_pdf(PAGES["family"])


def test_the_file_is_tagged_for_screen_readers_with_title_and_language() -> None:
    raw = page_pdf(PAGES["family_es"])
    assert b"/StructTreeRoot" in raw and b"/Marked true" in raw and b"/Lang" in raw
    assert pypdfium2.PdfDocument(raw).get_metadata_dict()["Title"] == "Palabras de la semana"
