"""Ten megabytes in every shape that hurts a reader: one maker a shape, bytes out. Nothing is kept."""

from __future__ import annotations

import io
import random
import zipfile
from collections.abc import Callable, Iterator

SIZE = 10_000_000
HEAD = "child,session_date,target_word,target_ipa,produced_ipa\n"
ROW = "X01,2026-03-02,mud,mʌd,mʌ\n"


def _filled(line: str, head: str = HEAD) -> bytes:
    one = line.encode()
    return head.encode() + one * ((SIZE - len(head)) // len(one))


def _distinct() -> bytes:
    chance, out = random.Random(1), io.StringIO()
    out.write(HEAD)
    while out.tell() < SIZE * 0.9:
        form = "".join(chance.choice("ptkbdgmnszfvʃʒaiueoɑɛɪʊʌ") for _ in range(8))
        out.write(f"X01,2026-03-02,mud,mʌd,{form}\n")
    return out.getvalue().encode()[:SIZE]


def _children() -> bytes:
    return HEAD.encode() + "".join(f"C{n},2026-03-02,mud,mʌd,mʌ\n" for n in range(SIZE // 30)).encode()


def _broken_rows() -> bytes:
    return HEAD.encode() + "".join(f"X01,2026-03-02,mud,mʌd,§{n}\n" for n in range(SIZE // 32)).encode()


def _sheet(rows: bytes, strings: bytes = b"") -> bytes:
    """A workbook by hand, with such rows."""
    out = io.BytesIO()
    space = b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    kind = b"application/vnd.openxmlformats-officedocument.spreadsheetml."
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr(
            "[Content_Types].xml",
            b'<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
            b'<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            b'<Override PartName="/xl/workbook.xml" ContentType="' + kind + b'sheet.main+xml"/>'
            b'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="' + kind + b'worksheet+xml"/>'
            b'<Override PartName="/xl/sharedStrings.xml" ContentType="' + kind + b'sharedStrings+xml"/></Types>',
        )  # fmt: skip
        rel = b"http://schemas.openxmlformats.org/officeDocument/2006/relationships"
        pack = b"http://schemas.openxmlformats.org/package/2006/relationships"
        made.writestr(
            "_rels/.rels",
            b'<Relationships xmlns="' + pack + b'"><Relationship Id="r1" Type="' + rel
            + b'/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        )  # fmt: skip
        made.writestr(
            "xl/_rels/workbook.xml.rels",
            b'<Relationships xmlns="' + pack + b'"><Relationship Id="r1" Type="' + rel
            + b'/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="r2" Type="' + rel
            + b'/sharedStrings" Target="sharedStrings.xml"/></Relationships>',
        )  # fmt: skip
        made.writestr(
            "xl/workbook.xml",
            b"<workbook " + space + b' xmlns:r="' + rel + b'"><sheets><sheet name="a" sheetId="1" r:id="r1"/></sheets></workbook>',
        )  # fmt: skip
        made.writestr("xl/sharedStrings.xml", b"<sst " + space + b">" + strings + b"</sst>")
        made.writestr(
            "xl/worksheets/sheet1.xml", b"<worksheet " + space + b"><sheetData>" + rows + b"</sheetData></worksheet>"
        )
    return out.getvalue()


def _cells(*texts: str) -> bytes:
    return b"".join(b'<c t="inlineStr"><is><t>' + text.encode() + b"</t></is></c>" for text in texts)


_HEAD_ROW = b"<row>" + _cells("target_word", "target_ipa", "produced_ipa") + b"</row>"
_DATA_ROW = b"<row>" + _cells("mud", "mʌd", "mʌ") + b"</row>"

SHAPES: dict[str, Callable[[], bytes]] = {
    "plain rows": lambda: _filled(ROW),
    "a form in every row": _distinct,
    "a child in every row": _children,
    "a wrong form in every row": _broken_rows,
    "two letters a row": lambda: _filled("a,b\n", "target_ipa,produced_ipa\n"),
    "blank lines": lambda: _filled("\n"),
    "lines of commas": lambda: _filled("," * 200 + "\n"),
    "one line of commas": lambda: b"," * SIZE,
    "one line of letters": lambda: b"a" * SIZE,
    "a heading of a million cells": ("produced_ipa," + "a," * (SIZE // 2 - 20) + "\nmʌ\n").encode,
    "a row of five million cells": (HEAD + "a," * (SIZE // 2 - 100) + "\n").encode,
    "one cell": (HEAD + "X01,2026-03-02,mud,mʌd," + "ba" * (SIZE // 2 - 100) + "\n").encode,
    "one quoted cell": (HEAD + 'X01,2026-03-02,mud,mʌd,"' + "ba\n" * (SIZE // 3 - 100) + '"\n').encode,
    "quotation marks": lambda: HEAD.encode() + b'"' * (SIZE - 100),
    "a mark opened in every row": lambda: _filled('X01,2026-03-02,"mud,mʌd,mʌ\n'),
    "marks and line ends": lambda: _filled('"\n'),
    "nothing but zeros": lambda: bytes(SIZE),
    "zeros in cells": lambda: _filled("X01,2026-03-02,mud,mʌd,m\x00ʌ\n"),
    "control signs": lambda: _filled("\x01\x02\x03,\x1b[31m,\x07,mʌd,mʌ\n"),
    "carriage returns": lambda: HEAD.encode() + b"\r" * (SIZE - 100),
    "accents upon accents": (HEAD + "X01,2026-03-02,mud,mʌd,a" + "\u0301" * (SIZE // 2 - 100) + "\n").encode,
    "no text at all": lambda: random.Random(2).randbytes(SIZE),
    "utf-16": lambda: ("\ufeff" + HEAD + ROW * 190_000).encode("utf-16-le")[:SIZE],
    "latin-1": lambda: (HEAD + "X01,2026-03-02,niño,niɲo,nino\n" * (SIZE // 32)).encode("latin-1", "replace"),
    "unclosed, then long lines": (HEAD + '"' + ("x" * 20_000 + "\n") * 480).encode,
    "separators of attempts": (HEAD + "X01,2026-03-02,mud,mʌd," + "a;" * (SIZE // 2 - 100) + "\n").encode,
    "workbook: a million rows": lambda: _sheet(_HEAD_ROW + _DATA_ROW * 900_000)[:],
    "workbook: a row far below": lambda: _sheet(
        _HEAD_ROW + b'<row r="1048576">' + _cells("mud", "mʌd", "mʌ") + b"</row>"
    ),
    "workbook: a cell far out": lambda: _sheet(
        (b"<row>" + b'<c r="XFD1" t="inlineStr"><is><t>a</t></is></c></row>') * 20_000
    ),
    "workbook: one text of 200 MB": lambda: _sheet(
        _HEAD_ROW + _DATA_ROW, b"<si><t>" + b"a" * 200_000_000 + b"</t></si>"
    ),
    "workbook: a million texts": lambda: _sheet(_HEAD_ROW + _DATA_ROW, b"<si><t>a</t></si>" * 3_000_000),
    "workbook: blanks of 300 MB": lambda: _sheet(_HEAD_ROW + b" " * 300_000_000 + _DATA_ROW),
    "workbook: names that expand": lambda: _sheet(_HEAD_ROW)[:-30] + bytes(30),
}


def shapes() -> Iterator[tuple[str, bytes]]:
    for name, make in SHAPES.items():
        yield name, make()
