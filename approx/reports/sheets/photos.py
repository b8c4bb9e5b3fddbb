"""A child's own photos and drawings in place of the pictures of the fonts, on whatever page the word stands."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar, cast

from approx.reports.sheets.page_types import Card, FamilyWord, ListenPage, PrintedRow, Strip

_Page = TypeVar("_Page")
_DATA = "data:image/jpeg;base64,"


def with_photos(page: _Page, photos: Mapping[str, str]) -> _Page:
    """The page with the pictures of these words replaced. `photos`: address of an image by word in small letters; an address
    is `inside(...)` for a file that carries its images, or that of a page that shows them."""
    # what is replaced in a page leaves it a page of its kind
    return cast(_Page, _replaced(page, photos)) if photos else page


def inside(jpeg: str) -> str:
    """The address of an image that stands in the page itself. `jpeg`: in base64."""
    return _DATA + jpeg


def is_photo(picture: str) -> bool:
    """True for the address of an image; a picture of the fonts is one character."""
    return len(picture) > 1


def jpeg_of(picture: str) -> bytes:
    """The image of an address made by `inside`."""
    return b64decode(picture.removeprefix(_DATA))


def _replaced(part: object, photos: Mapping[str, str]) -> object:
    if isinstance(part, tuple):
        return tuple(_replaced(each, photos) for each in part)
    if isinstance(part, Strip):
        mine = photos.get(part.model.casefold())
        # a strip of words has neither a picture nor the words that ask for one
        return replace(part, picture=mine, caption="") if mine and (part.picture or part.caption) else part
    if isinstance(part, (PrintedRow, FamilyWord, Card)):
        mine = photos.get(part.word.casefold())
        return replace(part, picture=mine) if mine else part
    if isinstance(part, ListenPage):
        signs = [
            tuple((word, photos.get(word.casefold(), sign)) for word, sign in each)
            for each in (part.things, part.signs)
        ]
        return replace(part, things=signs[0], signs=signs[1])
    if not is_dataclass(part) or isinstance(part, type):
        return part
    return replace(part, **{each.name: _replaced(getattr(part, each.name), photos) for each in fields(part)})
