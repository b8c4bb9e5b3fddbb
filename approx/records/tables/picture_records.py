"""Photos and drawings of a child's own words."""

from __future__ import annotations

from base64 import b64decode

from sqlalchemy import func, select

from approx.records.database import schema
from approx.records.database.refusals import answered, refusal
from approx.records.database.rows import StoredPicture, Trashed
from approx.records.database.store import Store
from approx.records.tables.checks import today
from approx.records.tables.child_records import find_child
from approx.records.tables.images import small_image
from approx.records.tables.trash import put_away
from approx.records.tables.versions import add, gone, in_use
from approx.wording import worded

_PICTURES = schema.pictures
MOST_PICTURES = 300
"""Pictures of one child."""


class PictureRecords(Store):
    """What a word looks like for this child."""

    @answered
    def put_picture(self, code: str, word: str, data: bytes) -> StoredPicture:
        """A picture for a word, made small; the one that stood there is put away and can be brought back after this one is."""
        image = small_image(data)
        word = " ".join(word.split())
        with self._writing() as connection:
            child = find_child(connection, code)
            here = (_PICTURES.c.child_id == child.id, _PICTURES.c.trashed == "")
            many = connection.execute(select(func.count()).select_from(_PICTURES).where(*here)).scalar_one()
            if many >= MOST_PICTURES:
                raise refusal(
                    "many",
                    worded("there are {many} pictures of this child", many=many),
                    "delete some that are not needed",
                )
            for old in connection.execute(select(_PICTURES.c.id).where(*here, _PICTURES.c.word == word)).all():
                put_away(connection, _PICTURES, old.id, "picture", word)
            values = {"word": word, "image": image, "made": today()}
            picture_id = add(connection, _PICTURES, values, child_id=child.id)
            return StoredPicture(picture_id, child.code, word, today())

    @answered
    def pictures(self, code: str) -> tuple[StoredPicture, ...]:
        """The pictures of a child by word, without the images."""
        with self._reading() as connection:
            child = find_child(connection, code)
            query = select(_PICTURES.c.id, _PICTURES.c.word, _PICTURES.c.made).where(
                _PICTURES.c.child_id == child.id, _PICTURES.c.trashed == ""
            )
            rows = connection.execute(query.order_by(_PICTURES.c.word))
            return tuple(StoredPicture(row.id, child.code, row.word, row.made) for row in rows)

    @answered
    def picture_images(self, code: str) -> dict[str, str]:
        """The pictures of a child as JPEGs in base64, by word in small letters."""
        with self._reading() as connection:
            child = find_child(connection, code)
            query = select(_PICTURES.c.word, _PICTURES.c.image).where(
                _PICTURES.c.child_id == child.id, _PICTURES.c.trashed == ""
            )
            return {row.word.casefold(): row.image for row in connection.execute(query)}

    @answered
    def picture_jpeg(self, code: str, picture_id: int) -> bytes:
        """One picture of a child as a JPEG file."""
        with self._reading() as connection:
            child = find_child(connection, code)
            row = in_use(connection, _PICTURES, picture_id, "picture")
            if row.child_id != child.id:
                raise gone("picture")
            return b64decode(row.image)

    @answered
    def delete_picture(self, picture_id: int) -> Trashed:
        """Put a picture away, which can be undone for a day."""
        with self._writing() as connection:
            word = in_use(connection, _PICTURES, picture_id, "picture").word
            return put_away(connection, _PICTURES, picture_id, "picture", word)
