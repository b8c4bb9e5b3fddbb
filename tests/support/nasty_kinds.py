"""Some two hundred kinds of ten megabytes that no reader wants, beside the shapes of `clumsy_files`: name -> maker.

Four families: a hostile cell in every row of a column (with a number in it, so that no cell comes twice, where `new`);
encodings, separators and line ends; other formats and what has their ending; workbooks whose inside is odd.
"""

from __future__ import annotations

import gzip
import io
import json
import random
import sqlite3
import tarfile
import zipfile
from collections.abc import Callable, Iterator
from itertools import count

from clumsy_files import HEAD, ROW, SHAPES, SIZE, _cells, _sheet

COLUMNS = ("child", "session_date", "target_word", "target_ipa", "produced_ipa", "note")
_GOOD = ("X01", "2026-03-02", "mud", "mʌd", "mʌ", "")
Maker = Callable[[], bytes]

_PICKED = random.Random(4)
_SIGNS = "ptkbdgmnszfvʃʒaiueoɑɛɪʊʌ"

CELLS: dict[str, Callable[[int], str]] = {
    "long forms": lambda n: "ba" * 240 + _SIGNS[n % 24] + _SIGNS[n // 24 % 24] + _SIGNS[n // 576 % 24],
    "random forms": lambda n: "".join(_PICKED.choice(_SIGNS) for _ in range(6)),
    "clusters only": lambda n: "stɹ" * 12 + _SIGNS[n % 12] + _SIGNS[n // 12 % 12] + _SIGNS[n // 144 % 12],
    "vowels only": lambda n: "aiu" * 12 + "aiueoɑɛɪʊʌ"[n % 10] * (n // 10 % 40),
    "brackets": lambda n: "([/" * 40 + str(n),
    "many attempts": lambda n: " / ".join(["ma", "mʌ", "da"] * 20 + [_SIGNS[n % 24] + "a" + _SIGNS[n // 24 % 24]]),
    "repeats": lambda n: f"ma x{n % 9 + 1}",
    "diacritics": lambda n: "a" + "".join(chr(0x300 + (n + at) % 100) for at in range(30)),
    "tie bars": lambda n: "t͡ʃ͡t͡ʃ" * 8 + "͡" * (n % 30),
    "stress marks": lambda n: "ˈˌ" * (n % 50 + 1) + "ma",
    "length marks": lambda n: "ma" + "ː" * (n % 900 + 1),
    "tones": lambda n: "ma" + "˥˩" * (n % 50 + 1),
    "syllable dots": lambda n: ".".join(["ba"] * (n % 60 + 1)),
    "unknown sounds": lambda n: "?CV" * 8 + str(n),
    "omission marks": lambda n: "0∅-"[n % 3] * (n % 20 + 1),
    "surprises": lambda n: chr(0x1F600 + n % 60) * 10 + str(n),
    "far letters": lambda n: "".join(chr(0x4E00 + (n * 7 + at) % 20_000) for at in range(12)),
    "hangul in parts": lambda n: "ᄒ" + "ᅡ" * (n % 40) + "ᆫ",
    "turned writing": lambda n: "\u202e\u2066" * 10 + f"mʌ{n}",
    "no width": lambda n: "\u200b\u200d\u2060\ufeff" * 10 + "mʌ" + "\u200b" * (n % 99),
    "other blanks": lambda n: "\u00a0\u2003\u3000" * 12 + "m" + " " * (n % 99) + "ʌ",
    "formulas": lambda n: f'=HYPERLINK(""http://x.example/{n}"")',
    "apostrophes": lambda n: "'" * (n % 200 + 1) + "mʌ",
    "numbers": lambda n: f"{n * 7919}.{n}e{n % 400}",
    "long numbers": lambda n: "9" * 900 + str(n),
    "dates": lambda n: f"{n % 31 + 1:02}/{n % 12 + 1:02}/{1900 + n % 200}",
    "dates of no calendar": lambda n: f"{n}-{n % 99}-{n % 99}",
    "words for months": lambda n: f"{n % 31 + 1}-Mar-{n}",
    "markup": lambda n: f"<b onclick=x>{n}</b>&amp;&#{n};",
    "json": lambda n: '{"a": [' * 20 + str(n),
    "backslashes": lambda n: "\\x41\\u028c\\" * 10 + str(n),
    "percent signs": lambda n: "%s%n{0}{}%" * 10 + str(n),
    "text read wrong": lambda n: "É¡oÊŠtâ€œ" * 5 + str(n),
    "capitals": lambda n: "MUD ISTANBUL İSSẞ" * 4 + str(n),
    "spelling": lambda n: "strawberry jam " * 6 + str(n),
    "capital code letters": lambda n: "tSVNk{@}" * 6 + _SIGNS[n % 24],
    "private letters": lambda n: "\ue000\uf8ff" * 10 + chr(0xE000 + n % 6000),
    "no letters": lambda n: "\ufffe\uffff\U0010ffff" * 4 + str(n),
    "line breaks": lambda n: f'"mʌ\nmʌ{n}\n"',
    "quotation marks": lambda n: '"' + '""' * 20 + f'{n}"',
    "regular expressions": lambda n: "(a+)+$" * 20 + "a" * (n % 60) + "!",
    "blanks at the ends": lambda n: " " * 800 + "mʌ" + " " * (n % 200),
}  # fmt: skip


def _column(place: int, make: Callable[[int], str], size: int = SIZE) -> bytes:
    """Rows that are good but for one cell."""
    before, after = ",".join(_GOOD[:place]), ",".join(_GOOD[place + 1 :])
    out = [(",".join(COLUMNS) + "\n").encode()]
    length = len(out[0])
    for number in count():
        cells = [part for part in (before, make(number), after) if part or part == ""]
        row = (",".join(cells).strip(",") if place in (0, 5) else ",".join(cells)).encode(
            "utf-8", "surrogatepass"
        ) + b"\n"
        length += len(row)
        if length > size:
            return b"".join(out)
        out.append(row)
    raise AssertionError


_ROWS = HEAD + ROW * 190_000


def _in(encoding: str, text: str = _ROWS) -> bytes:
    return text.encode(encoding, "replace")[:SIZE]


def _halves(first: str, second: str) -> bytes:
    text = HEAD + "X01,2026-03-02,niño,niɲo,nino\n" * 150_000
    return text.encode(first, "replace")[: SIZE // 2] + text.encode(second, "replace")[: SIZE // 2]


def _separated(sign: str, end: str = "\n") -> bytes:
    return (_ROWS.replace(",", sign).replace("\n", end)).encode()[:SIZE]


TEXTS: dict[str, Maker] = {
    **{f"text in {name}": (lambda name=name: _in(name)) for name in  # type: ignore[misc]
       ("utf-16-le", "utf-16-be", "utf-16", "utf-32", "utf-32-be", "utf-7", "cp1252", "mac-roman", "shift-jis", "gb18030",
        "koi8-r", "utf-8-sig", "cp037")},
    "half utf-8, half latin-1": lambda: _halves("utf-8", "latin-1"),
    "half utf-16, half utf-8": lambda: _halves("utf-16", "utf-8"),
    "half latin-1, half utf-8": lambda: _halves("latin-1", "utf-8"),
    "a mark of utf-8 in every row": lambda: (HEAD + ("\ufeff" + ROW) * 180_000).encode()[:SIZE],
    "half of a pair of utf-16": lambda: (("\ufeff" + HEAD).encode("utf-16-le") + b"\x00\xd8" * (SIZE // 2 - 200)),
    "bytes ff": lambda: HEAD.encode() + b"\xff" * (SIZE - 100),
    "bytes ff in rows": lambda: HEAD.encode() + b"X01,2026-03-02,mud,m\xff\xfed,m\xff\n" * (SIZE // 32),
    "overlong utf-8": lambda: HEAD.encode() + b"X01,2026-03-02,mud,m\xc0\xafd,\xf8\x88\n" * (SIZE // 34),
    **{f"separated by {name}": (lambda sign=sign: _separated(sign)) for name, sign in  # type: ignore[misc]
       {"semicolons": ";", "tabs": "\t", "bars": "|", "blanks": " ", "two tabs": "\t\t", "unit signs": "\x1f",
        "comma and blank": ", ", "wide commas": "，"}.items()},
    "separators by turns": lambda: (HEAD + (ROW + ROW.replace(",", ";") + ROW.replace(",", "\t")) * 70_000).encode()[:SIZE],
    **{f"lines ended by {name}": (lambda end=end: _separated(",", end)) for name, end in  # type: ignore[misc]
       {"cr": "\r", "crlf": "\r\n", "lfcr": "\n\r", "vertical tab": "\x0b", "form feed": "\x0c", "u2028": "\u2028",
        "u0085": "\x85", "nul": "\x00", "nothing": ""}.items()},
    "the heading in every row": lambda: (HEAD * 200_000).encode()[:SIZE],
    "a title in every row": lambda: ("Words of the first visit\n" * 400_000).encode()[:SIZE],
    "twenty tables": lambda: ((HEAD + ROW * 9_000 + "\n\n") * 20).encode()[:SIZE],
    "rows one column on": lambda: (HEAD + ("," + ROW) * 300_000).encode()[:SIZE],
    "rows of growing width": lambda: (HEAD + "".join("a," * n + "\n" for n in range(3_100))).encode()[:SIZE],
    "rows that lack a cell": lambda: (HEAD + "X01,2026-03-02,mud\n" * 500_000).encode()[:SIZE],
    "every row quoted whole": lambda: (HEAD + '"X01,2026-03-02,mud,mʌd,mʌ"\n' * 350_000).encode()[:SIZE],
    "marks in every cell": lambda: (HEAD + '"X01","2026-03-02","mud","mʌd","mʌ"\n' * 280_000).encode()[:SIZE],
    "a mark too many": lambda: (HEAD + 'X01,2026-03-02,mud,"mʌd"",mʌ\n' * 330_000).encode()[:SIZE],
    "a long comment above": (("# " + "x" * 400 + "\n") * 24_000 + HEAD + ROW).encode,
    "twenty blanks above": ("\n" * 5_000_000 + HEAD + ROW * 100).encode,
    "all in one line": lambda: _ROWS.replace("\n", ",").encode()[:SIZE],
    "a dump of a database": lambda: ("INSERT INTO t VALUES (1,'mud','mʌd',NULL);\n" * 250_000).encode()[:SIZE],
    "a log": lambda: ("2026-03-02 10:00:00,123 INFO a: b c d\n" * 300_000).encode()[:SIZE],
    "a thousand children a day": lambda: (HEAD + "".join(
        f"C{n % 1000},20{n % 90 + 10}-01-{n % 28 + 1:02},mud,mʌd,mʌ\n" for n in range(290_000))).encode()[:SIZE],
    "a word in every row": lambda: _column(2, lambda n: "".join(_PICKED.choice("abcdefghiklmnoprstu") for _ in range(7))),
    "an adult form in every row": lambda: _column(3, CELLS["random forms"]),
    "both forms in every row": lambda: (HEAD + "".join(
        f"X01,2026-03-02,mud,{CELLS['random forms'](0)},{CELLS['random forms'](0)}\n" for n in range(200_000))).encode()[:SIZE],
    "both forms long": lambda: (HEAD + "".join(
        f"X01,2026-03-02,mud,{CELLS['long forms'](n)},{CELLS['long forms'](n + 9)}\n" for n in range(9_000))).encode()[:SIZE],
}  # fmt: skip


def _json_lines(make: Callable[[int], object]) -> bytes:
    out = io.StringIO()
    for number in count():
        out.write(json.dumps(make(number)) + "\n")
        if out.tell() > SIZE * 0.98:
            return out.getvalue().encode()
    raise AssertionError


def _packed(**members: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in members.items():
            made.writestr(name.replace("_", "."), data)
    return out.getvalue()


def _ods(rows: str) -> bytes:
    out = io.BytesIO()
    spaces = " ".join(f'xmlns:{key}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for key, name in
                      (("office", "office"), ("table", "table"), ("text", "text")))  # fmt: skip
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet", zipfile.ZIP_STORED)
        made.writestr("META-INF/manifest.xml", "<manifest/>")
        made.writestr("content.xml", f"<office:document-content {spaces}><office:body><office:spreadsheet>"
                      f'<table:table table:name="a">{rows}</table:table></office:spreadsheet></office:body></office:document-content>')  # fmt: skip
    return out.getvalue()


def _ods_row(*texts: str, repeat: str = "") -> str:
    cells = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>' for text in texts
    )
    return f"<table:table-row{repeat}>{cells}</table:table-row>"


_ODS_HEAD, _ODS_ROW = _ods_row("target_word", "target_ipa", "produced_ipa"), _ods_row("mud", "mʌd", "mʌ")


def _textgrid(intervals: int, names: tuple[str, ...] = ("target_word", "target_ipa", "produced_ipa")) -> bytes:
    out = [f'File type = "ooTextFile"\nObject class = "TextGrid"\n\n0\n{intervals}\n<exists>\n{len(names)}\n']
    for name in names:
        out.append(f'"IntervalTier"\n"{name}"\n0\n{intervals}\n{intervals}\n')
        out += [f'{n}\n{n + 1}\n"mʌ"\n' for n in range(intervals)]
    return "".join(out).encode()


def _eaf(annotations: int, tiers: int = 3, head: str = "") -> bytes:
    slots = "".join(f'<TIME_SLOT TIME_SLOT_ID="ts{n}" TIME_VALUE="{n}"/>' for n in range(annotations + 1))
    names = ("target_word", "target_ipa", "produced_ipa", *(f"t{n}" for n in range(tiers)))[:tiers]
    made = "".join(
        f'<TIER TIER_ID="{name}" LINGUISTIC_TYPE_REF="a">' + "".join(
            f'<ANNOTATION><ALIGNABLE_ANNOTATION ANNOTATION_ID="{name}{n}" TIME_SLOT_REF1="ts{n}" TIME_SLOT_REF2="ts{n + 1}">'
            "<ANNOTATION_VALUE>mʌ</ANNOTATION_VALUE></ALIGNABLE_ANNOTATION></ANNOTATION>" for n in range(annotations)) + "</TIER>"
        for name in names)  # fmt: skip
    return (
        f'<?xml version="1.0"?>{head}<ANNOTATION_DOCUMENT><HEADER TIME_UNITS="milliseconds"/><TIME_ORDER>{slots}</TIME_ORDER>{made}'
        '<LINGUISTIC_TYPE LINGUISTIC_TYPE_ID="a" TIME_ALIGNABLE="true"/></ANNOTATION_DOCUMENT>'
    ).encode()


_LAUGHS = '<!DOCTYPE a [<!ENTITY a0 "ha">' + "".join(
    f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 12)) + "]>"  # fmt: skip


def _database() -> bytes:
    made = sqlite3.connect(":memory:")
    made.execute("CREATE TABLE t (a)")
    made.executemany("INSERT INTO t VALUES (?)", (("mʌ" * 400,) for _ in range(11_000)))
    made.commit()
    return made.serialize()[:SIZE]


def _tar() -> bytes:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w") as made:
        entry = tarfile.TarInfo("a.csv")
        entry.size = SIZE - 20_000
        made.addfile(entry, io.BytesIO(_in("utf-8").ljust(SIZE)))
    return out.getvalue()[:SIZE]


def _parquet(rows: int, text: Callable[[int], str]) -> bytes:
    import pyarrow
    from pyarrow import parquet

    out = io.BytesIO()
    table = pyarrow.table(
        {"target_word": ["mud"] * rows, "target_ipa": ["mʌd"] * rows, "produced_ipa": [text(n) for n in range(rows)]}
    )
    parquet.write_table(table, out)
    return out.getvalue()


_GOOD_JSON = {"target_word": "mud", "target_ipa": "mʌd", "produced_ipa": "mʌ"}
FORMATS: dict[str, Maker] = {
    "json lines": lambda: _json_lines(lambda n: _GOOD_JSON),
    "json lines with new keys": lambda: _json_lines(lambda n: _GOOD_JSON | {f"key {n}": n}),
    "json lines in depth": lambda: _json_lines(lambda n: _GOOD_JSON | {"note": [[[[[n]]]]]}),
    "json lines of lists": lambda: b"{}\n" + _json_lines(lambda n: [n, "mud", "mʌd"])[: SIZE - 10],
    "json lines of nothing": lambda: b"{}\n" * (SIZE // 3),
    "json lines with a mark": lambda: b"\xef\xbb\xbf" + _json_lines(lambda n: _GOOD_JSON)[: SIZE - 10],
    "json in utf-16": lambda: ("\ufeff" + (json.dumps(_GOOD_JSON) + "\n") * 60_000).encode("utf-16-le")[:SIZE],
    "json in one line": lambda: json.dumps({"rows": [_GOOD_JSON] * 130_000}).encode()[:SIZE],
    "one json list": lambda: json.dumps([_GOOD_JSON] * 130_000).encode()[:SIZE],
    "a tower of json": lambda: b'{"a":' * (SIZE // 5),
    "a tower of brackets": lambda: b"[" * SIZE,
    "one long key of json": lambda: b'{"' + b"a" * (SIZE - 10) + b'": 1}\n',
    "a large number of json": lambda: b'{"produced_ipa": ' + b"9" * (SIZE - 30) + b"}\n",
    "rows in gz": lambda: gzip.compress(_ROWS.encode() * 2),
    "a gigabyte of zeros in gz": lambda: gzip.compress(bytes(1 << 30), 1)[:SIZE],
    "900 MB of rows in gz": lambda: gzip.compress((HEAD + ROW * 30_000_000).encode(), 1),
    "gz in gz in gz": lambda: gzip.compress(gzip.compress(gzip.compress(_ROWS.encode()))),
    "gz in gz, two hundred times": lambda: _nested_gz(200),
    "gz cut off": lambda: gzip.compress(random.Random(1).randbytes(SIZE))[: SIZE - 5000],
    "gz of a workbook": lambda: gzip.compress(_sheet(_sheet_head() + _sheet_row() * 100_000)),
    "parquet": lambda: _parquet(400_000, lambda n: "mʌ"),
    "parquet, each new": lambda: _parquet(600_000, CELLS["random forms"]),
    "parquet cut off": lambda: b"PAR1" + random.Random(3).randbytes(SIZE - 8) + b"PAR1",
    "ods rows": lambda: _ods(_ODS_HEAD + _ODS_ROW * 100_000),
    "ods of one row repeated": lambda: _ods(_ODS_HEAD + _ods_row("mud", "mʌd", "mʌ", repeat=' table:number-rows-repeated="1048575"')),
    "ods of a cell repeated": lambda: _ods(_ODS_HEAD + '<table:table-row><table:table-cell table:number-columns-repeated="16384" '
        'office:value-type="string"><text:p>mʌ</text:p></table:table-cell></table:table-row>' * 4_000),
    "ods repeated both ways": lambda: _ods(_ODS_HEAD + '<table:table-row table:number-rows-repeated="1000000"><table:table-cell '
        'table:number-columns-repeated="16384" office:value-type="string"><text:p>mʌ</text:p></table:table-cell></table:table-row>'),
    "ods repeated a billion times": lambda: _ods(_ODS_HEAD + _ods_row("mud", "mʌd", "mʌ", repeat=' table:number-rows-repeated="1999999999"')),
    "ods of blanks": lambda: _ods(_ODS_HEAD + " " * 300_000_000 + _ODS_ROW),
    "ods of one long text": lambda: _ods(_ODS_HEAD + _ods_row("mud", "mʌd", "ba" * 100_000_000)),
    "ods broken": lambda: _ods(_ODS_HEAD + _ODS_ROW * 50_000)[:-40] + bytes(40),
    "textgrid": lambda: _textgrid(180_000),
    "textgrid of many tiers": lambda: _textgrid(100, tuple(f"tier {n}" for n in range(6_000))),
    "textgrid of one long label": lambda: b'File type = "ooTextFile"\nObject class = "TextGrid"\n\n0\n1\n<exists>\n1\n"IntervalTier"\n"produced_ipa"\n0\n1\n1\n0\n1\n"' + b"ba" * (SIZE // 2 - 100) + b'"\n',
    "textgrid of nothing": lambda: b'File type = "ooTextFile"\nObject class = "TextGrid"\n' + b"\n" * (SIZE - 60),
    "eaf": lambda: _eaf(15_000),
    "eaf of many tiers": lambda: _eaf(10, 4_500),
    "eaf of names that expand": lambda: _eaf(10_000, 3, _LAUGHS).replace(b"<ANNOTATION_VALUE>m", b"<ANNOTATION_VALUE>&a11;m", 1),
    "eaf in depth": lambda: b"<?xml version='1.0'?><ANNOTATION_DOCUMENT>" + b"<a>" * (SIZE // 3 - 20),
    "eaf of a file of ours": lambda: _eaf(10_000, 3, '<!DOCTYPE a [<!ENTITY a SYSTEM "file:///etc/hostname">]>').replace(
        b"<ANNOTATION_VALUE>m", b"<ANNOTATION_VALUE>&a;m", 1),
    "a page of the web": lambda: ("<html><table><tr><td>target_word</td></tr>" + "<tr><td>mud</td><td>mʌ</td></tr>\n" * 260_000).encode()[:SIZE],
    "rich text": lambda: (r"{\rtf1\ansi{\fonttbl\f0 Times;}\f0 " + r"child,produced_ipa\par X01,m\u652?\par " * 240_000).encode()[:SIZE],
    "a pdf": lambda: b"%PDF-1.7\n" + random.Random(5).randbytes(SIZE - 9),
    "a png": lambda: b"\x89PNG\r\n\x1a\n" + random.Random(6).randbytes(SIZE - 8),
    "a sound": lambda: b"RIFF\xff\xff\xff\x00WAVEfmt " + random.Random(7).randbytes(SIZE - 16),
    "a database": _database,
    "a tape of files": _tar,
    "an old workbook": lambda: b"\xd0\xcf\x11\xe0" + random.Random(8).randbytes(SIZE - 4),
    "a zip of a table": lambda: _packed(a_csv=_ROWS.encode()),
    "a zip of a zip": lambda: _packed(a_zip=_packed(b_zip=_packed(c_csv=_ROWS.encode()))),
    "a zip of 60000 files": lambda: _packed(**{f"f{n}_csv": HEAD.encode() for n in range(60_000)}),
    "a zip bomb": lambda: _packed(a_csv=bytes(1 << 30)),
    "a text document": lambda: _packed(word_document_xml=b"<w:document/>" * 700_000, _Content_Types__xml=b"<Types/>"),
    "a zip's end alone": lambda: b"PK\x03\x04" + bytes(SIZE - 26) + b"PK\x05\x06" + bytes(18),
}  # fmt: skip


def _nested_gz(times: int) -> bytes:
    data = _ROWS.encode()[:1_000_000]
    for _ in range(times):
        data = gzip.compress(data, 1)
    return data


def _sheet_head() -> bytes:
    return b"<row>" + _cells("target_word", "target_ipa", "produced_ipa") + b"</row>"


def _sheet_row() -> bytes:
    return b"<row>" + _cells("mud", "mʌd", "mʌ") + b"</row>"


def _book(rows: Callable[[], bytes], strings: Callable[[], bytes] = lambda: b"") -> Maker:
    return lambda: _sheet(_sheet_head() + rows(), strings())


def _mixed(rows: int, length: int) -> bytes:
    """Rows whose letters do not pack too tightly."""
    chance = random.Random(9)
    return b"".join(
        b"<row>" + _cells("mud", "mʌd", "".join(chance.choices("ptkbdgmnaiueo", k=length))) + b"</row>"
        for _ in range(rows)
    )


def _numbered(rows: int) -> bytes:
    chance = random.Random(9)
    return b"".join(
        b'<row r="%d"><c r="A%d"><v>%d</v></c></row>' % (n, n, chance.random() * 1e9) for n in range(2, rows)
    )


BOOKS: dict[str, Maker] = {
    "workbook: rows reversed": lambda: _sheet(b'<row r="1">' + _cells("target_word", "target_ipa", "produced_ipa") + b"</row>" + b"".join(
        b'<row r="%d">' % n + _cells("mud", "mʌd", "mʌ") + b"</row>" for n in range(150_001, 1, -1))),
    "workbook: 200000 plain rows": _book(lambda: _mixed(200_000, 3)),
    "workbook: 330000 plain rows": _book(lambda: _mixed(330_000, 9)),
    "workbook: 30000 long cells": _book(lambda: _mixed(30_000, 700)),
    "workbook: numbers alone": _book(lambda: _numbered(1_000_000)),
    "workbook: a row of a million cells": _book(lambda: b"<row>" + b"".join(b"<c><v>%d</v></c>" % (n * 7919 % 100_003) for n in range(1_000_000)) + b"</row>"),
    "workbook: a row of five million empty cells": _book(lambda: b"<row>" + b"".join(b'<c s="%d"/>' % (n * 7919 % 10_007) for n in range(5_000_000)) + b"</row>"),
    "workbook: far cells in every row": _book(lambda: b"".join(
        b'<row r="%d"><c r="XFD%d"><v>%d</v></c></row>' % (n, n, n * 7919 % 100_003) for n in range(2, 150_000))),
    "workbook: every second row": _book(lambda: b"".join(
        b'<row r="%d"><c r="C%d"><v>%d</v></c></row>' % (n, n, n * 7919 % 100_003) for n in range(2, 500_000, 2))),
    "workbook: every hundredth row": _book(lambda: b"".join(
        b'<row r="%d"><c r="C%d"><v>%d</v></c></row>' % (n, n, n * 7919 % 100_003) for n in range(2, 1_048_576, 100))),
    "workbook: rows below the last": _book(lambda: b"".join(b'<row r="%d"/>' % (n * 1_000_000_007) for n in range(2, 400_000))),
    "workbook: a row numbered a billion": _book(lambda: b'<row r="2000000000">' + _cells("mud", "mʌd", "mʌ") + b"</row>" + _mixed(1000, 20)),
    "workbook: rows without a number": _book(lambda: b'<row r="x">' + _cells("mud", "mʌd", "mʌ") + b"</row>" + _mixed(1000, 20)),
    "workbook: cells without a place": _book(lambda: b"".join(b'<row><c r="%d"><v>1</v></c></row>' % n for n in range(9))),
    "workbook: formulas": _book(lambda: b"".join(
        b'<row><c t="str"><f>A%d&amp;"x"</f><v>m%d</v></c><c t="str"><f>-a</f></c><c t="str"><v>ma</v></c></row>' % (n, n) for n in range(200_000))),
    "workbook: array formulas": _book(lambda: b"".join(
        b'<row><c t="str"><f t="array" ref="A%d:C%d">B%d</f><v>mud</v></c></row>' % (n, n, n) for n in range(200_000))),
    "workbook: shared formulas": _book(lambda: b"".join(
        b'<row r="%d"><c r="C%d" t="str"><f t="shared" si="%d" ref="A1:C9">A1</f><v>ma</v></c></row>' % (n, n, n % 99) for n in range(2, 200_000))),
    "workbook: dates": _book(lambda: b"".join(b'<row><c t="d"><v>2026-03-%02dT00:00:00</v></c><c t="d"><v>x%d</v></c></row>' % (n % 28 + 1, n) for n in range(200_000))),
    "workbook: numbers too large": _book(lambda: b"".join(b"<row><c><v>%de%d</v></c><c><v>1e999</v></c></row>" % (n, n % 400) for n in range(250_000))),
    "workbook: texts that are not there": _book(lambda: b"".join(b'<row><c t="s"><v>%d</v></c></row>' % n for n in range(300_000))),
    "workbook: negative texts": _book(lambda: b'<row><c t="s"><v>-1</v></c><c t="s"><v>x</v></c></row>' + _mixed(1000, 9)),
    "workbook: unknown kinds": _book(lambda: b"".join(b'<row><c t="zz"><v>%d</v></c><c t="e"><v>#REF!</v></c><c t="b"><v>7</v></c></row>' % n for n in range(200_000))),
    "workbook: depth": _book(lambda: b"<row>" * 100_000 + b"<c>" * 100_000),
    "workbook: depth of other names": _book(lambda: b"".join(b"<a%d>" % (n * 7919 % 100_003) for n in range(1_000_000))),
    "workbook: remarks of XML": _book(lambda: b"".join(b"<!--%d-->" % (n * 7919) for n in range(2_000_000)) + _mixed(10, 3)),
    "workbook: a long attribute": _book(lambda: b'<row r="2" x="' + random.Random(1).randbytes(7_000_000).hex().encode() + b'"></row>'),
    "workbook: rich texts": _book(lambda: b'<row><c t="s"><v>0</v></c></row>', lambda: b"<si>" + b"".join(b"<r><t>%d</t></r>" % (n * 7919 % 100_003) for n in range(700_000)) + b"</si>"),
    "workbook: 400000 texts": _book(lambda: b"".join(b'<row><c t="s"><v>%d</v></c></row>' % n for n in range(100_000)), lambda: b"".join(b"<si><t>m%d</t></si>" % (n * 7919 % 1_000_003) for n in range(400_000))),
    "workbook: merged": lambda: _sheet(_sheet_head() + _mixed(1000, 9) + b"</sheetData><mergeCells>" + b"".join(b'<mergeCell ref="A%d:C%d"/>' % (n, n) for n in range(1, 900_000)) + b"</mergeCells><sheetData>"),
    "workbook: entities": lambda: _sheet(_sheet_head() + b"<row>" + _cells("mud", "mʌd", "&a9;") * 1000 + b"</row>"),
    "workbook: not XML": lambda: _sheet(random.Random(10).randbytes(9_000_000)),
    "workbook: cut off": lambda: _sheet(_mixed(100_000, 20))[:-3000],
    "workbook: blank cells": _book(lambda: b"".join(b'<row r="%d"><c r="A%d" s="1"/><c r="B%d"/><c r="C%d"/></row>' % (n, n, n, n) for n in range(2, 400_000))),
    "workbook: five columns of a million": _book(lambda: b"".join(b'<row><c t="s"><v>%d</v></c><c t="s"><v>1</v></c><c t="s"><v>2</v></c><c/><c/></row>' % (n * 7 % 3) for n in range(1_000_000)), lambda: b"<si><t>mud</t></si><si><t>m\xca\x8cd</t></si><si><t>m\xca\x8c</t></si>"),
    "workbook: cells of many kilobytes": _book(lambda: _mixed(300, 30_000)),
}  # fmt: skip


def _in_column(column: str, make: Callable[[int], str]) -> Maker:
    return lambda: _column(COLUMNS.index(column), make)


def _long_cells(column: str, length: int) -> Maker:
    return _in_column(column, lambda n: "ba" * (length // 2) + str(n))


SHORT = ("target_word", "produced_ipa")
KINDS: dict[str, Maker] = {
    **SHAPES,
    **{f"{name} in {column}": _in_column(column, make)
       for column in SHORT for name, make in CELLS.items()},
    **{f"cells of {length} letters in {column}": _long_cells(column, length)
       for column in ("target_word", "target_ipa", "produced_ipa", "note") for length in (1_000, 100_000)},
    **TEXTS, **FORMATS, **BOOKS,
}  # fmt: skip


def kinds() -> Iterator[tuple[str, Maker]]:
    yield from KINDS.items()
