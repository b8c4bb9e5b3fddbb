"""A list of words from a file: a word a line, or CSV/TSV with `target_word` and optional `target_ipa`."""

from __future__ import annotations

import csv
import io
import re
import sys
from pathlib import Path

from approx.problems import Problem

WORD_NAMES = ("target_word", "word", "gloss", "target")
IPA_NAMES = ("target_ipa", "ipa")
Row = tuple[str, str, int]
"""Word, IPA or "", and the line it stands on (from 1, the header counted)."""


def read_words(name: str) -> tuple[list[Row], tuple[Problem, ...]]:
    """Rows of a file, or of stdin for "-". Blank lines and lines that start with # are passed over."""
    try:
        raw = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as error:
        return [], (Problem("words.file", f"cannot read the list: {error.strerror}", "check the name", name),)
    file = "stdin" if name == "-" else name
    encoding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError:
        return [], (Problem("words.encoding", "not UTF-8 text", "save the list as UTF-8", file),)
    if "\0" in text:
        return [], (Problem("words.encoding", "not a text file", "save the list as UTF-8 text or CSV", file),)
    rows = _table(text) if _has_header(text) else _lines(text)
    if not rows:
        return [], (Problem("words.empty", "no word in the list", "write a word a line", file),)
    return rows, ()


def typed_rows(typed: str) -> list[Row]:
    """Rows of words typed one after the other, with commas, semicolons or new lines between; word=/ipa/ gives the IPA too."""
    rows: list[Row] = []
    for number, part in enumerate(re.split(r"[,;\n]", typed), 1):
        word, equals, ipa = part.strip().partition("=")
        if word.strip():
            rows.append((" ".join(word.split()), ipa.strip() if equals else "", number))
    return rows


def _has_header(text: str) -> bool:
    first = text.lstrip("\r\n ").splitlines()[:1]
    names = (
        [cell.strip(' "').lower() for cell in first[0].replace("\t", ",").replace(";", ",").split(",")] if first else []
    )
    return any(name in WORD_NAMES for name in names) and (len(names) > 1 or names[0] in WORD_NAMES)


def _lines(text: str) -> list[Row]:
    rows = ((line.strip(), "", number) for number, line in enumerate(text.splitlines(), 1))
    return [row for row in rows if row[0] and not row[0].startswith("#")]


def _table(text: str) -> list[Row]:
    head = text.lstrip("\r\n ").splitlines()[0]
    separator = max("\t;,", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    word_at = ipa_at = -1
    rows: list[Row] = []
    for cells in reader:
        if word_at < 0:
            names = [cell.strip().lower() for cell in cells]
            word_at = next((names.index(name) for name in WORD_NAMES if name in names), -1)
            ipa_at = next((names.index(name) for name in IPA_NAMES if name in names), -1)
            continue
        word = cells[word_at].strip() if word_at < len(cells) else ""
        ipa = cells[ipa_at].strip() if 0 <= ipa_at < len(cells) else ""
        if word or ipa:
            rows.append((word or ipa, ipa, reader.line_num))
    return rows
