"""The nasty inputs that are no plain UTF-8 text, made on the spot: other encodings, workbooks, broken files."""

from __future__ import annotations

import io
from datetime import date, datetime
from pathlib import Path

from openpyxl import Workbook

HEADING = "child,session_date,target_word,target_ipa,produced_ipa"
ROWS = ("X01,2026-03-02,pea,pi,bi", "X01,2026-03-02,cup,kʌp,tʌp")
TEXT = "\n".join((HEADING, *ROWS, ""))
SPANISH = f"{HEADING},note\nX01,2026-03-02,pan,pan,pa,mañana\n"


def write_all(folder: Path) -> None:
    """Write every binary input into a folder."""
    for name, data in _texts().items():
        (folder / name).write_bytes(data)
    for name, book in {
        "workbook.xlsx": _plain(),
        "typed_formulas.xlsx": _formulas(),
        "second_sheet.xlsx": _two(),
    }.items():
        (folder / name).write_bytes(_bytes(book))
    (folder / "cut_off.xlsx").write_bytes(_bytes(_plain())[:900])


def _texts() -> dict[str, bytes]:
    return {
        "one_bad_byte.csv": TEXT.encode().replace(b"\xca\x8cp\n", b"\xca\x8cp\n" + b"X01,2026-03-02,pea,pi,p\xe9\n"),
        "windows_western.csv": SPANISH.encode("cp1252"),
        "old_mac.csv": SPANISH.replace("ñ", "é").encode("mac_roman").replace(b"\n", b"\r"),
        "utf16_le.csv": b"\xff\xfe" + TEXT.encode("utf-16-le"),
        "utf16_be_unmarked.csv": TEXT.replace(",", "\t").encode("utf-16-be"),
        "utf8_marked.csv": b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode(),
        "zero_bytes.csv": TEXT.encode().replace(b",bi", b",b\x00i"),
        "picture.csv": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4,
        "old_workbook.xls": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600),
    }


def _plain() -> Workbook:
    book = Workbook()
    sheet = book.active
    sheet.append([*HEADING.split(","), None])
    sheet.append([7, datetime(2026, 3, 2), "pea", "pi", "bi"])
    sheet.append([None] * 5)
    sheet.append([7.0, date(2026, 3, 2), "cup", "kʌp", "tʌp"])
    return book


def _formulas() -> Workbook:
    """What a spreadsheet keeps when "-a" is typed into a cell, and when 8/10 is."""
    book = _plain()
    sheet = book.active
    sheet.append(["X01", datetime(2026, 3, 2), "pea", "pi", "=-i"])
    sheet.append(["X01", datetime(2026, 3, 2), "pea", "pi", datetime(2026, 8, 10)])
    sheet.append(["X01", datetime(2026, 3, 2), "pea", "pi", 0])
    return book


def _two() -> Workbook:
    book = _plain()
    other = book.create_sheet("remarks", 0)
    other.append(["written on the bus"])
    return book


def _bytes(book: Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
