"""What a form brought: read in one place, with its token checked, so that no page saves for a stranger."""

from __future__ import annotations

import hmac
from typing import IO

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

from approx.web.server.guard import MOST_REQUEST_BYTES, STREAMED

MOST_FIELDS = 2_000
MOST_TEXT = 1_000_000
"""Characters in one field."""


class Posted:
    """The fields of a form as plain text; a field that is not there is ""."""

    def __init__(
        self,
        fields: dict[str, list[str]],
        files: dict[str, tuple[str, bytes]],
        streams: dict[str, IO[bytes]],
    ) -> None:
        self._fields, self._files, self._streams = fields, files, streams

    def text(self, name: str) -> str:
        """One field, blanks around it taken off."""
        return self.raw(name).strip()

    def raw(self, name: str) -> str:
        """One field as it came, line ends in one form."""
        return self._fields.get(name, [""])[-1].replace("\r\n", "\n")

    def every(self, name: str) -> list[str]:
        """All fields of one name, in order."""
        return self._fields.get(name, [])

    def number(self, name: str) -> int | None:
        """A whole number, None where there is none or one beyond all reason."""
        text = self.text(name)
        return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else None

    def ticked(self, name: str) -> bool:
        """True for a box that is ticked."""
        return self.text(name) != ""

    def file(self, name: str) -> tuple[str, bytes] | None:
        """Name and content of an uploaded file; None if none was chosen."""
        return self._files.get(name)

    def stream(self, name: str) -> IO[bytes] | None:
        """A large uploaded file as it lies on the disk, to be closed by the caller; on the paths of `STREAMED` only."""
        return self._streams.get(name)


async def read_posted(request: Request, csrf: str) -> Posted | None:
    """The form of a request; None if its token is not that of our own pages, or the form is no form."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind not in ("application/x-www-form-urlencoded", "multipart/form-data"):
        return None
    form = await request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=MOST_REQUEST_BYTES)
    streamed = request.url.path in STREAMED
    fields, files, streams = await _taken(form, streamed)
    given = fields.get("csrf", [""])
    ours = len(given) == 1 and hmac.compare_digest(given[0].encode("utf-8", "replace"), csrf.encode())
    if not (ours and streamed):
        await form.close()
    return Posted(fields, files, streams) if ours else None


async def _taken(
    form: FormData, streamed: bool
) -> tuple[dict[str, list[str]], dict[str, tuple[str, bytes]], dict[str, IO[bytes]]]:
    fields: dict[str, list[str]] = {}
    files: dict[str, tuple[str, bytes]] = {}
    streams: dict[str, IO[bytes]] = {}
    for name, value in form.multi_items():
        if not isinstance(value, UploadFile):
            fields.setdefault(name, []).append(value[:MOST_TEXT])
        elif streamed:
            if value.filename or value.size:
                streams[name] = value.file
        else:
            data = await value.read()
            if value.filename or data:
                files[name] = (_bare_name(value.filename or ""), data)
    return fields, files, streams


def _bare_name(name: str) -> str:
    """The name of a file without any folder and without signs that end a line or a text."""
    last = name.replace("\\", "/").rpartition("/")[2]
    return "".join(sign for sign in last if sign.isprintable()).strip(". ")[:120] or "sample"
