"""A photo or drawing on a word of this child: put on, shown, printed in place of the open picture, taken off."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest
from desk_client import Browser
from drawn_pictures import drawing, photo
from fast_cases import only
from PIL import Image


@pytest.fixture
def browser(tmp_path: Path) -> Browser:
    made = Browser(tmp_path / "c.sqlite")
    assert made.post("/example").status_code == 200
    return made


def put(browser: Browser, word: str, data: bytes, code: str = "EXAMPLE") -> str:
    """Put a picture on a word; the address of the image."""
    answer = browser.post(f"/child/{code}/pictures", word=word, files={"picture": ("IMG_1.jpg", data, "image/jpeg")})
    assert answer.status_code == 200 and "The picture was added." in answer.text
    return re.findall(rf"/child/{code}/picture/\d+\.jpg", answer.text)[-1]


def test_a_photo_is_shown_small_and_bare(browser: Browser) -> None:
    address = put(browser, "cake", photo((3000, 2000)))
    shown = browser.get(address)
    assert shown.headers["content-type"] == "image/jpeg" and shown.headers["x-content-type-options"] == "nosniff"
    with Image.open(io.BytesIO(shown.content)) as picture:
        assert max(picture.size) == 480 and not picture.getexif()
    assert "IMG_1" not in browser.get("/child/EXAMPLE/pictures").text


@pytest.mark.parametrize("kind", only(("family", "cards", "match", "session", "hear"), "cards"))
def test_it_stands_on_the_papers_in_place_of_the_open_picture(browser: Browser, kind: str) -> None:
    address = put(browser, "cake", drawing(colour="red"))
    asked = f"kind={kind}&word=cake&word=egg&word=bug"
    page = browser.get(f"/child/EXAMPLE/sheet?{asked}").text
    assert page.count(f'<img src="{address}"') == 1
    with zipfile.ZipFile(io.BytesIO(browser.get(f"/child/EXAMPLE/sheet.docx?{asked}").content)) as made:
        images = [made.read(name) for name in made.namelist() if name.startswith("word/media/")]
    assert sum(image[:2] == b"\xff\xd8" for image in images) == 1


@pytest.mark.parametrize("kind", only(("family", "cards", "match", "session"), "family"))
def test_the_pdf_is_red_where_the_photo_stands(browser: Browser, kind: str) -> None:
    import numpy as np
    import pypdfium2

    def red(data: bytes) -> int:
        pages = [np.asarray(page.render(scale=1).to_pil().convert("RGB")) for page in pypdfium2.PdfDocument(data)]
        return sum(int(np.sum((page[..., 0] > 200) & (page[..., 1:] < 60).all(axis=-1))) for page in pages)

    asked = f"/child/EXAMPLE/sheet.pdf?kind={kind}&word=cake&word=egg&word=bug"
    assert red(browser.get(asked).content) == 0
    put(browser, "cake", drawing(colour="red"))
    assert red(browser.get(asked).content) > 80


def test_a_page_of_several_children_shows_no_childs_photo(browser: Browser) -> None:
    put(browser, "cake", drawing())
    browser.post("/children", code="K07", age="3;2")
    assert "/picture/" not in browser.get("/child/EXAMPLE/sheet?kind=group&word=cake&also=K07").text
    assert browser.get("/child/K07/picture/1.jpg").status_code == 404


def test_what_is_no_picture_is_said_beside_the_word(browser: Browser) -> None:
    for data in (b"", b"<svg onload=alert(1)>", drawing()[:50]):
        files = {"picture": ("a.svg", data, "image/svg+xml")}
        answer = browser.post("/child/EXAMPLE/pictures", word="cake", files=files)
        card = re.search(r'<li class="card"><h2 id="word-1" lang="en-US">cake</h2>.*?</li>', answer.text, re.DOTALL)
        assert answer.status_code == 422 and card and 'class="fault"' in card[0] and 'aria-invalid="true"' in card[0]
        assert answer.text.count('class="fault"') == 1
    nothing = browser.post("/child/EXAMPLE/pictures", word="", files={"picture": ("a.png", drawing(), "image/png")})
    assert nothing.status_code == 422 and 'id="word-fault"' in nothing.text


def test_taken_off_it_comes_back_for_a_day_and_deleted_for_good_it_does_not(browser: Browser) -> None:
    address = put(browser, "cake", drawing())
    number = address.rpartition("/")[2].removesuffix(".jpg")
    answer = browser.post(f"/child/EXAMPLE/pictures/{number}/delete")
    assert browser.get(address).status_code == 404 and "Picture of cake" in browser.get("/deleted").text
    token = re.search(r'name="token" value="([^"]+)"', answer.text)
    assert token
    browser.post("/undo", token=token[1], back="/child/EXAMPLE/pictures")
    assert browser.get(address).status_code == 200
    browser.post(f"/child/EXAMPLE/pictures/{number}/delete", for_good="1")
    assert browser.get(address).status_code == 404 and "Picture of cake" not in browser.get("/deleted").text


def test_a_word_that_is_not_in_therapy_gets_one_too(browser: Browser) -> None:
    put(browser, "Oma's cat", drawing())
    page = browser.get("/child/EXAMPLE/pictures").text
    assert "Oma&#39;s cat" in page and "Not a word in therapy." in page


@pytest.mark.parametrize("brand", only((b"heic", b"mif1", b"heix"), b"heic"))
def test_a_photo_of_a_newer_telephone_is_told_what_to_do(browser: Browser, brand: bytes) -> None:
    """ISO/IEC 23008-12: length, `ftyp`, brand. No small library that reads it is carried."""
    photo_of_a_phone = b"\0\0\0\x18ftyp" + brand + b"\0\0\0\0mif1heic" + bytes(400)
    files = {"picture": ("IMG_2.HEIC", photo_of_a_phone, "image/heic")}
    answer = browser.post("/child/EXAMPLE/pictures", word="cake", files=files)
    assert answer.status_code == 422
    assert "a HEIC photo from a phone cannot be read here" in answer.text and "share the photo as JPEG" in answer.text
