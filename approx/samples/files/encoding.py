"""Bytes into text: which encoding a file is in, said aloud where it is a guess."""

from __future__ import annotations

import codecs
import io
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import SpooledTemporaryFile
from typing import IO

from approx.problems import Problem
from approx.wording import worded

_CHUNK = 1 << 16
_IN_MEMORY = 1 << 24
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),  # before UTF-16, whose mark is the beginning of this one
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_MISFITS = re.compile("\ufffd+")
_AS_UTF8 = "save the sheet as 'CSV UTF-8'; IPA does not fit into older encodings"


def open_bytes(source: Path | IO[bytes] | str) -> IO[bytes]:
    """A binary stream that can be wound back: a path is opened, "-" is standard input. OSError as `open` raises it."""
    if isinstance(source, Path):
        return source.open("rb")
    stream = sys.stdin.buffer if isinstance(source, str) else source
    if stream.seekable():
        return stream
    kept: IO[bytes] = SpooledTemporaryFile(max_size=_IN_MEMORY)  # noqa: SIM115 - it lives as long as the table
    for chunk in _chunks(stream):
        kept.write(chunk)
    kept.seek(0)
    return kept


def open_text(stream: IO[bytes], file: str) -> tuple[io.TextIOWrapper, tuple[Problem, ...]]:
    r"""Text with its line ends as they are, and what is doubtful about its encoding.

    A byte that does not belong into UTF-8 text becomes a visible escape (`\xe9`), so that only its row is refused.
    """
    start = stream.tell()
    name, problems = _encoding(stream, start, file)
    stream.seek(start)
    return io.TextIOWrapper(stream, name, errors="backslashreplace", newline=""), problems


def _chunks(stream: IO[bytes]) -> Iterator[bytes]:
    while chunk := stream.read(_CHUNK):
        yield chunk


def _encoding(stream: IO[bytes], start: int, file: str) -> tuple[str, tuple[Problem, ...]]:
    head = stream.read(_CHUNK)
    stream.seek(start)
    marked = next((name for mark, name in _MARKS if head.startswith(mark)), None) or _unmarked_utf16(head)
    name = marked or "utf-8"
    good, bad = _count(stream, name)
    if not bad:
        return name, ()
    if marked or good > bad:
        message = worded(
            "{bad} {bad:place is|places are} not {name} text, shown as escapes such as \\xe9",
            bad=bad,
            name=name.upper(),
        )
        return name, (Problem("sample.encoding", message, _AS_UTF8, file, fatal=False),)
    stream.seek(start)
    guess = "cp1252" if not _count(stream, "cp1252")[1] else _odd(head)
    message = worded("the file is not UTF-8; read as {guess}, which is a guess", guess=guess)
    return guess, (Problem("sample.encoding", message, _AS_UTF8, file, fatal=False),)


def _count(stream: IO[bytes], name: str) -> tuple[int, int]:
    """How many characters beyond ASCII the whole stream has in this encoding, and how many places do not fit."""
    strict = codecs.getincrementaldecoder(name)("strict")
    start = stream.tell()
    try:
        for chunk in _chunks(stream):
            strict.decode(chunk)
        strict.decode(b"", True)
        return 0, 0
    except UnicodeDecodeError:
        stream.seek(start)
    loose = codecs.getincrementaldecoder(name)("replace")
    beyond = bad = 0
    for chunk in _chunks(stream):
        text = loose.decode(chunk)
        bad += len(_MISFITS.findall(text))
        beyond += len(re.findall(r"[^\x00-\x7f\ufffd]", text))
    bad += len(_MISFITS.findall(loose.decode(b"", True)))
    return beyond, max(bad, 1)


def _unmarked_utf16(head: bytes) -> str | None:
    """UTF-16 without its mark: separators and plain letters leave a zero in every other byte."""
    low, high = head[0:4096:2].count(0), head[1:4096:2].count(0)
    half = max(1, min(len(head), 4096) // 2)
    if high > 0.3 * half and low < 0.05 * half:
        return "utf-16-le"
    if low > 0.3 * half and high < 0.05 * half:
        return "utf-16-be"
    return None


def _odd(head: bytes) -> str:
    """A guess for bytes that are neither UTF-8 nor Windows Western."""
    try:
        from charset_normalizer import from_bytes
    except ImportError:
        return "latin-1"
    best = from_bytes(head).best()
    return best.encoding if best else "latin-1"
