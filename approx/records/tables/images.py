"""Photos and drawings as the caseload keeps them: small JPEGs without a word of where and when they were taken.

A picture that is put in is drawn anew, so that nothing but its points is kept: no place, no camera, no hidden preview.
"""

from __future__ import annotations

import io
from base64 import b64decode, b64encode
from typing import TYPE_CHECKING

from approx.records.database.refusals import refusal
from approx.wording import worded

if TYPE_CHECKING:
    from PIL.Image import Image

SIDE = 480
"""Longest side in points: 60 mm on paper at 200 points to the inch."""
MOST_IMAGE_BYTES = 72_000
MOST_POINTS = 60_000_000
"""Points of a picture that is taken in; the cameras of telephones make up to 50 million."""
_KINDS = ("JPEG", "PNG", "WEBP", "GIF")
_QUALITIES = (82, 70, 55, 40)
_PHONE_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif")
"""What a file of the kind that newer telephones write has after its length and `ftyp` (ISO/IEC 23008-12)."""
_NO_PICTURE, _KINDS_HINT = (
    "the file is not a picture that can be read",
    "choose a photo or a drawing as JPEG, PNG, WebP or GIF",
)


def small_image(data: bytes) -> str:
    """A picture of any of the known kinds as a small upright JPEG in base64. Raises `RefusalError`."""
    from PIL import Image, ImageOps

    try:
        with Image.open(io.BytesIO(data), formats=_KINDS) as picture:
            if picture.width * picture.height > MOST_POINTS:
                hint = worded(
                    "{most_points} million points at most; make it smaller first", most_points=MOST_POINTS // 1000000
                )
                raise refusal("picture", "the picture is too large", hint)
            picture.draft("RGB", (2 * SIDE, 2 * SIDE))  # a large JPEG is then read at a part of its size
            upright = ImageOps.exif_transpose(picture)
            upright.thumbnail((SIDE, SIDE))
            return _written(_on_white(upright))
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError) as error:
        if data[4:8] == b"ftyp" and data[8:12] in _PHONE_BRANDS:
            way_out = (
                "on the phone, share the photo as JPEG or take a screenshot of it, and choose that; "
                "for new photos set the camera to JPEG (most compatible)"
            )
            raise refusal("picture", "a HEIC photo from a phone cannot be read here", way_out) from error
        raise refusal("picture", _NO_PICTURE, _KINDS_HINT) from error


def stored_image(value: object) -> str:
    """A rule of `approx.records.tables.checks`: an image as `small_image` makes it. Raises ValueError."""
    from PIL import Image

    if not isinstance(value, str) or len(value) > -(-MOST_IMAGE_BYTES // 3) * 4:
        raise ValueError("is not a small picture", _KINDS_HINT)
    try:
        data = b64decode(value.encode("ascii"), validate=True)
        with Image.open(io.BytesIO(data), formats=("JPEG",)) as picture:
            if max(picture.size) > SIDE or picture.getexif():
                raise ValueError
            picture.load()
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError):
        raise ValueError("is not a small picture", _KINDS_HINT) from None
    return value


def _on_white(picture: Image) -> Image:
    from PIL import Image

    if picture.mode in ("RGB", "L"):
        return picture
    clear = picture.convert("RGBA")
    page = Image.new("RGB", clear.size, "white")
    page.paste(clear, mask=clear.getchannel("A"))
    return page


def _written(picture: Image) -> str:
    """The first quality that is small enough; at this size the last one always is."""
    for quality in _QUALITIES:
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= MOST_IMAGE_BYTES:
            return b64encode(out.getvalue()).decode("ascii")
    raise refusal("picture", "the picture is too large", "choose one with less in it")
