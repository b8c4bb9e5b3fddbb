"""Every format a sample can come in gives the same tokens as the CSV of the invented child M12."""

from __future__ import annotations

import csv
import gzip
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from xml.sax.saxutils import escape

import pytest
from places import SAMPLES

from approx.samples.files.other_formats import TierInterval, rows_of_tiers
from approx.samples.rows.sample import read_sample

M12 = SAMPLES / "m12.csv"
COLUMNS = ("target_word", "target_ipa", "produced_ipa")


def rows() -> list[dict[str, str]]:
    with M12.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def pairs(path: Path) -> list[tuple[object, ...]]:
    sample = read_sample(path)
    assert not [problem for problem in sample.problems if problem.fatal], [str(problem) for problem in sample.problems]
    return [(token.target_word, token.target, token.produced) for token in sample.tokens]


def json_lines(path: Path) -> None:
    path.write_text("".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows()), encoding="utf-8")


def gz(path: Path) -> None:
    path.write_bytes(gzip.compress(M12.read_bytes()))


def gz_of_json_lines(path: Path) -> None:
    json_lines(path)
    path.write_bytes(gzip.compress(path.read_bytes()))


def parquet(path: Path) -> None:
    import pyarrow
    from pyarrow import parquet

    parquet.write_table(pyarrow.Table.from_pylist(rows()), path)


def ods(path: Path) -> None:
    """A sheet as small as the standard (OpenDocument 1.2, part 1, chapter 9) allows."""
    lines = [list(rows()[0]), *(list(row.values()) for row in rows())]
    cells = "".join(
        "<table:table-row>"
        + "".join(
            f'<table:table-cell office:value-type="string"><text:p>{escape(cell)}</text:p></table:table-cell>'
            for cell in line
        )
        + "</table:table-row>"
        for line in lines
    )
    spaces = " ".join(
        f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for name in ("office", "table", "text")
    )
    with zipfile.ZipFile(path, "w") as book:
        book.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        book.writestr(
            "META-INF/manifest.xml",
            '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
            '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>',
        )
        book.writestr(
            "content.xml",
            f'<office:document-content {spaces}><office:body><office:spreadsheet><table:table table:name="one">{cells}'
            "</table:table></office:spreadsheet></office:body></office:document-content>",
        )


def textgrid(path: Path) -> None:
    from praatio import textgrid as praat

    grid = praat.Textgrid()
    for name in COLUMNS:
        labels = [(number, number + 0.8, row[name]) for number, row in enumerate(rows())]
        grid.addTier(praat.IntervalTier(name, [entry for entry in labels if entry[2]], 0, len(labels)))
    grid.save(str(path), format="long_textgrid", includeBlankSpaces=True)


def eaf(path: Path) -> None:
    from pympi.Elan import Eaf

    document = Eaf()
    document.remove_tier("default")
    for name in COLUMNS:
        document.add_tier(name)
        for number, row in enumerate(rows()):
            if row[name]:
                document.add_annotation(name, number * 1000, number * 1000 + 800, row[name])
    document.to_file(str(path))


@pytest.mark.parametrize("write", [json_lines, gz, gz_of_json_lines, parquet, ods, textgrid, eaf])
def test_every_format_gives_the_tokens_of_the_csv(write: Callable[[Path], None], tmp_path: Path) -> None:
    path = tmp_path / "sample"  # known by how it begins, not by its name
    write(path)
    assert len(pairs(M12)) == 25  # as the scenario has it
    assert pairs(path) == pairs(M12)


@pytest.mark.parametrize(
    "start", [b"\x1f\x8b broken", b"PAR1 broken", b'{"child": \n', b'File type = "ooTextFile"\nObject class = "TextGrid"\n',
              b"<?xml version='1.0'?><ANNOTATION_DOCUMENT><", b"PK\x03\x04 application/vnd.oasis.opendocument.spreadsheet"],
)  # fmt: skip
def test_a_broken_file_is_one_line_with_a_way_out(start: bytes, tmp_path: Path) -> None:
    path = tmp_path / "broken"
    path.write_bytes(start)
    problems = read_sample(path).problems
    assert (
        problems
        and all(problem.message and problem.file for problem in problems)
        and any(problem.hint for problem in problems)
    )


def test_a_packed_bomb_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("approx.samples.files.other_formats.UNPACKED", 1 << 21)
    path = tmp_path / "bomb.gz"
    path.write_bytes(gzip.compress(bytes(1 << 23)))
    (problem, *_) = read_sample(path).problems
    assert "unpacks to more" in problem.message


def test_a_row_takes_the_label_that_shares_most_time() -> None:
    tiers = {
        "target_word": [TierInterval(0, 1, "cup"), TierInterval(1, 2, "spoon")],
        "produced": [TierInterval(0.1, 0.9, "tʌp"), TierInterval(0.95, 1.9, "pun")],
        "note": [TierInterval(1.5, 1.5, "whispered")],
    }
    assert rows_of_tiers(tiers) == [
        ["start", "end", "produced", "target_word", "note"],
        ["0.100", "0.900", "tʌp", "cup", ""],
        ["0.950", "1.900", "pun", "spoon", "whispered"],
    ]
    assert rows_of_tiers({}) == []


def test_standard_input_takes_them_too() -> None:
    source = io.BytesIO(gzip.compress(M12.read_bytes()))
    assert len(read_sample(source).tokens) == len(pairs(M12))
