"""Pictures as a person would choose them: drawings and photos with all that a camera writes beside them."""

from __future__ import annotations

import io
import random

from PIL import Image, ImageDraw


def drawing(kind: str = "PNG", size: tuple[int, int] = (120, 80), colour: str = "red") -> bytes:
    """A disc on a clear ground (white where the kind knows no clear one)."""
    clear = kind in ("PNG", "WEBP")
    picture = Image.new("RGBA" if clear else "RGB", size, (0, 0, 0, 0) if clear else "white")
    ImageDraw.Draw(picture).ellipse((size[0] // 4, 4, size[0] * 3 // 4, size[1] - 4), fill=colour)
    out = io.BytesIO()
    picture.save(out, kind)
    return out.getvalue()


def photo(size: tuple[int, int] = (1600, 1200)) -> bytes:
    """Noise, which packs badly, as a camera writes it: lying on its side, with its maker and its place."""
    noise = random.Random(1).randbytes(size[0] * size[1] // 16 * 3)
    picture = Image.frombytes("RGB", (size[0] // 4, size[1] // 4), noise).resize(size)
    told = Image.Exif()
    told[0x0112], told[0x010F] = 6, "a maker of cameras"  # turned by a quarter
    told.get_ifd(0x8825)[2] = (52.0, 30.0, 0.0)  # a latitude
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=95, exif=told)
    return out.getvalue()
