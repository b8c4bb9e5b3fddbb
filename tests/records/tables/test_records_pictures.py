"""Pictures of a child's own words: made small and bare, exported and taken in again, deleted for good."""

from __future__ import annotations

import io
import json
import sqlite3
import zipfile
from base64 import b64decode, b64encode
from pathlib import Path

import pytest
from drawn_pictures import drawing, photo
from fast_cases import one_in
from filled_caseload import code_of, filled, opened, sure
from PIL import Image

from approx.records.tables.images import MOST_IMAGE_BYTES, SIDE


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP", "GIF"])
def test_each_kind_becomes_a_small_jpeg_on_white(tmp_path: Path, kind: str) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    kept = sure(caseload.put_picture("K07", " ball ", drawing(kind, (2000, 1000))))
    assert kept.word == "ball"
    with Image.open(io.BytesIO(sure(caseload.picture_jpeg("K07", kept.id)))) as picture:
        assert (picture.format, picture.size) == ("JPEG", (SIDE, SIDE // 2))
        red, green, blue = picture.convert("RGB").getpixel((SIDE // 2, SIDE // 4))  # type: ignore[misc]
        assert red > 200 and green < 60 and blue < 60
        assert min(picture.convert("RGB").getpixel((2, 2))) > 240  # type: ignore[type-var, arg-type]


def test_a_photo_stands_upright_and_tells_nothing_of_where_it_was_taken(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    taken = photo((4000, 3000))
    assert b"a maker of cameras" in taken
    data = sure(caseload.picture_jpeg("K07", sure(caseload.put_picture("K07", "swing", taken)).id))
    with Image.open(io.BytesIO(data)) as picture:
        assert picture.size == (SIDE * 3 // 4, SIDE) and not picture.getexif() and "exif" not in picture.info
    assert b"a maker of cameras" not in data and len(data) <= MOST_IMAGE_BYTES


@pytest.mark.parametrize(
    "data",
    [b"", b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", drawing()[:60], photo()[:9000], b"GIF89a" + b"\xff" * 40,
     b"\x89PNG\r\n\x1a\n" + b"\x00\x00\x00\rIHDR\xff\xff\xff\x00\xff\xff\xff\x00\x08\x02\x00\x00\x00" + b"\x00" * 9, b"BM" + b"\x00" * 60],
    ids=["nothing", "svg", "cut drawing", "cut photo", "false gif", "16 million points wide", "bmp"],
)  # fmt: skip
def test_what_is_no_picture_is_refused_and_what_stood_there_stays(tmp_path: Path, data: bytes) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    before = sure(caseload.pictures("K07"))
    assert code_of(caseload.put_picture("K07", "mud", data)) == "records.picture"
    assert sure(caseload.pictures("K07")) == before


def test_a_picture_of_too_many_points_is_refused_before_it_is_unfolded(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    out = io.BytesIO()
    Image.new("1", (10_000, 6_001)).save(out, "PNG")
    assert len(out.getvalue()) < 20_000
    assert code_of(caseload.put_picture("K07", "mud", out.getvalue())) == "records.picture"


def test_a_new_one_takes_the_place_of_the_old_which_can_be_brought_back(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    (old,) = sure(caseload.pictures("K07"))
    new = sure(caseload.put_picture("K07", "Mud", drawing(colour="blue")))
    assert [each.id for each in sure(caseload.pictures("K07"))] == [new.id]
    (gone,) = (each for each in sure(caseload.deleted("K07")) if each.kind == "picture")
    assert code_of(caseload.restore(gone.token)) == "records.taken"
    sure(caseload.delete_picture(new.id))
    sure(caseload.restore(gone.token))
    assert [each.id for each in sure(caseload.pictures("K07"))] == [old.id]
    assert list(sure(caseload.picture_images("K07"))) == ["mud"]


def test_the_picture_of_one_child_is_not_shown_for_another(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    sure(caseload.add_child("M12"))
    (mine,) = sure(caseload.pictures("K07"))
    assert code_of(caseload.picture_jpeg("M12", mine.id)) == "records.gone" and sure(caseload.pictures("M12")) == ()


@pytest.mark.parametrize("without", ["json", "csv"])
def test_an_export_brings_the_same_bytes_back(tmp_path: Path, without: str) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    sure(caseload.put_picture("K07", "swing", photo()))
    zipped = sure(caseload.export_child("K07"))
    assert zipped.remarks == ()
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(zipped.data)) as full, zipfile.ZipFile(out, "w") as half:
        for name in full.namelist():
            if not name.endswith(without):
                half.writestr(name, full.read(name))
    other = opened(tmp_path / "other.sqlite")
    sure(other.import_zip(out.getvalue()))
    assert sure(other.picture_images("K07")) == sure(caseload.picture_images("K07"))


def changed(data: bytes, image: str) -> bytes:
    """An export whose first picture is another text."""
    with zipfile.ZipFile(io.BytesIO(data)) as whole:
        told = json.loads(whole.read("caseload.json"))
    table = told["tables"]["pictures"]
    table["rows"][0][table["columns"].index("image")] = image
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("caseload.json", json.dumps(told))
    return out.getvalue()


@pytest.mark.parametrize(
    "image", one_in(2, ["", "<script>", b64encode(drawing()).decode(), b64encode(photo()).decode(), "A" * 99_000])
)
def test_an_import_takes_no_other_image_than_ours(tmp_path: Path, image: str) -> None:
    zipped = sure(filled(tmp_path / "c.sqlite").export_child("K07"))
    other = opened(tmp_path / "other.sqlite")
    assert code_of(other.import_zip(changed(zipped.data, image))) == "records.row"
    assert sure(other.children()) == ()


@pytest.mark.parametrize("put_away", [False, True])
def test_deleted_for_good_no_byte_is_left_in_the_file_or_a_copy(tmp_path: Path, put_away: bool) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    kept = sure(caseload.put_picture("K07", "swing", photo()))
    image = sure(caseload.picture_images("K07"))["swing"]
    sure(caseload.copy_today())
    needles = [image[at : at + 60].encode() for at in range(2000, 12_000, 1000)]
    caseload.settle()
    held = [
        path for path in tmp_path.iterdir() if path.is_file() and any(part in path.read_bytes() for part in needles)
    ]
    assert len(held) >= 2  # the file, and its copy of today
    if put_away:
        sure(caseload.delete_picture(kept.id))
    erased = sure(caseload.delete_picture_for_good(kept.id))
    assert (erased.code, erased.rows) == ("swing", 1) and erased.copies
    for path in tmp_path.iterdir():
        data = path.read_bytes() if path.is_file() else b""
        assert not any(part in data for part in needles), path.name
    assert [each.word for each in sure(caseload.pictures("K07"))] == ["mud"]
    assert code_of(caseload.delete_picture_for_good(kept.id)) == "records.gone"


def test_with_the_child_its_pictures_go(tmp_path: Path) -> None:
    caseload = filled(tmp_path / "c.sqlite")
    image = sure(caseload.picture_images("K07"))["mud"]
    assert b64decode(image)[:2] == b"\xff\xd8"
    sure(caseload.delete_child_for_good("K07"))
    caseload.close()
    assert sqlite3.connect(caseload.path).execute("SELECT count(*) FROM pictures").fetchone() == (0,)
    assert image[200:260].encode() not in caseload.path.read_bytes()
