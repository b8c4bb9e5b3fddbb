"""Printed pages as PDF: pages as many as expected, IPA in the text, fonts inside, nothing outside the paper, nothing small."""

from __future__ import annotations

import ctypes
import unicodedata
from dataclasses import replace
from functools import cache

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from fast_cases import only
from golden_sheets import BEE, MUD, NANA, PHRASE, SPANISH, WORDS, pages, printing, word

from approx.reports.sheets.as_html import page_pdf
from approx.reports.sheets.family_page import family_page
from approx.reports.sheets.page_types import Page
from approx.reports.sheets.session_page import group_page, session_page

PAGES = pages()
FAST = only(PAGES, *(name for name in PAGES if name == "session_es" or not name.endswith(("_es", "_nine"))))
EXPECTED = {
    "session": 1, "session_nine": 2, "session_es": 1, "group": 1, "family": 4, "family_es": 2, "letter": 1, "letter_es": 1,
    "contrast": 3, "hear": 1, "hear_es": 1, "cards": 2, "match": 2, "listen": 1,
    "listen_es": 1, "plan": 1, "plan_es": 1,
}  # fmt: skip
SIZE = {"a4": (595, 842), "letter": (612, 792)}
MARGIN = 25
"""Points; the narrowest margin of a page is 10 mm, 28 points."""


def opened(page: Page) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(page_pdf(page))


@cache
def of_paper(name: str, paper: str) -> pypdfium2.PdfDocument:
    """A page of the list on a paper, made once."""
    page = PAGES[name]
    return opened(replace(page, printing=replace(page.printing, paper=paper)))


OWN_PAPER = pytest.mark.parametrize(
    "own", [True, pytest.param(False, marks=pytest.mark.slow)], ids=["own paper", "other paper"]
)


def on_paper(name: str, own: bool) -> pypdfium2.PdfDocument:
    """A page of the list on the paper it has there, or on the other one."""
    paper = PAGES[name].printing.paper
    return of_paper(name, paper if own else {"a4": "letter", "letter": "a4"}[paper])


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
            if (
                char.strip(" \r\n\u200b")
                and not unicodedata.combining(char[0])
                and right - left > 0.5
                and top - bottom > 0.5
            ):
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


@pytest.mark.parametrize("name", FAST)
def test_pages_paper_and_fonts(name: str) -> None:
    page = PAGES[name]
    document = of_paper(name, page.printing.paper)
    assert len(document) == EXPECTED[name]
    size = SIZE[page.printing.paper]
    width, height = (round(side) for side in document[0].get_size())
    assert (width, height) == (size[::-1] if name == "group" else size)
    used = fonts(document)
    assert used and all(used.values())
    assert all("Approx" in font for font in used)


@OWN_PAPER
@pytest.mark.parametrize("name", FAST)
def test_nothing_runs_off_the_paper(name: str, own: bool) -> None:
    document = on_paper(name, own)
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
        assert len(document) <= 4


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
    text = " ".join(
        text_of(
            opened(session_page((PHRASE, word("#sys.inputs *x* $y$ @z", "mʌd", "", "mʌ", "muh")), printing()))
        ).split()
    )
    assert "mud <b>" in text and "#sys.inputs" in text and "$y$ @z" in text


def test_the_same_page_is_the_same_file() -> None:
    assert page_pdf(PAGES["family"]) == page_pdf(PAGES["family"])


def test_the_file_is_tagged_for_screen_readers_with_title_and_language() -> None:
    raw = page_pdf(PAGES["family_es"])
    assert b"/StructTreeRoot" in raw and b"/Marked true" in raw and b"/Lang" in raw
    assert pypdfium2.PdfDocument(raw).get_metadata_dict()["Title"] == "Palabras de la semana"


HANDED_OUT = ("family", "letter", "cards", "contrast", "match", "listen", "hear")


@OWN_PAPER
@pytest.mark.parametrize("name", FAST)
def test_the_smallest_type_is_9_points_and_12_on_what_is_handed_out(name: str, own: bool) -> None:
    found = smallest(on_paper(name, own))
    # a form wider than its column is set smaller than the text around it, on the clinician's pages only
    assert found >= (11.99 if name.startswith(HANDED_OUT) else 8.99)


def text_sizes(document: pypdfium2.PdfDocument) -> dict[str, float]:
    """The largest size in which each piece of text between two changes of size stands."""
    found: dict[str, float] = {}
    for number in range(len(document)):
        text = document[number].get_textpage()
        piece, size = "", 0.0
        for at in range(text.count_chars() + 1):
            ended = at == text.count_chars()
            now = size if ended else pdfium.FPDFText_GetFontSize(text.raw, at)
            char = "" if ended else text.get_text_range(at, 1)
            if ended or char in "\r\n" or abs(now - size) > 0.05:
                key = piece.strip()
                found[key] = max(found.get(key, 0.0), size)
                piece = ""
            size = now if char.strip() else size
            piece += char.strip("\r\n\ufffe\u0002")
    return found


@pytest.mark.parametrize(
    "name", ["session", "group", "family", "letter", "hear", "plan", "session_es", "family_es", "letter_es"]
)
def test_each_adult_form_is_larger_than_its_easier_form(name: str) -> None:
    sizes = text_sizes(of_paper(name, PAGES[name].printing.paper))
    words = SPANISH if name.endswith("es") else WORDS[:7]
    pairs = [(each.word, each.today_spelled) for each in words if not each.in_hand]
    seen = 0
    for adult, easier in pairs:
        shown = [
            size for text, size in sizes.items() if text == easier or (name == "plan" and text.startswith(f"{easier} "))
        ]
        if not easier or not shown:
            continue
        large = max(size for text, size in sizes.items() if text.startswith(adult[:8]))
        assert large > max(shown), (adult, easier)
        seen += 1
    assert seen >= 2


def test_equal_forms_stand_once() -> None:
    """No respelling beside a word that the child says as adults do."""
    text = text_of(opened(session_page((NANA, BEE), printing())))
    assert "NAN-uh" not in text and text.count("said as adults say it") == 2


def test_cards_carry_the_code_on_each_page() -> None:
    document = opened(PAGES["cards"])
    assert [("X01" in document[number].get_textpage().get_text_range()) for number in range(len(document))] == [
        True
    ] * 2


def test_probes_stand_once() -> None:
    page = session_page([MUD] * 9, printing(), ("cup", "sock"))
    assert text_of(opened(page)).count("sock") == 1
