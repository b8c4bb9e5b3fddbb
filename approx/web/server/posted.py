"""What a form brought: read in one place, with its token checked, so that no page saves for a stranger."""

from __future__ import annotations

import hmac

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

from approx.web.server.guard import MOST_BYTES

MOST_FIELDS = 2_000
MOST_TEXT = 1_000_000
"""Characters in one field."""


class Posted:
    """The fields of a form as plain text; a field that is not there is ""."""

    def __init__(self, fields: dict[str, list[str]], files: dict[str, tuple[str, bytes]]) -> None:
        self._fields, self._files = fields, files

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


async def read_posted(request: Request, csrf: str) -> Posted | None:
    """The form of a request; None if its token is not that of our own pages, or the form is no form."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind not in ("application/x-www-form-urlencoded", "multipart/form-data"):
        return None
    async with request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=MOST_BYTES) as form:
        fields, files = await _taken(form)
    given = fields.get("csrf", [""])
    if len(given) != 1 or not hmac.compare_digest(given[0].encode("utf-8", "replace"), csrf.encode()):
        return None
    return Posted(fields, files)


async def _taken(form: FormData) -> tuple[dict[str, list[str]], dict[str, tuple[str, bytes]]]:
    fields: dict[str, list[str]] = {}
    files: dict[str, tuple[str, bytes]] = {}
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            data = await value.read()
            if value.filename or data:
                files[name] = (_bare_name(value.filename or ""), data)
        else:
            fields.setdefault(name, []).append(value[:MOST_TEXT])
    return fields, files


def _bare_name(name: str) -> str:
    """The name of a file without any folder and without signs that end a line or a text."""
    last = name.replace("\\", "/").rpartition("/")[2]
    return "".join(sign for sign in last if sign.isprintable()).strip(". ")[:120] or "sample"
