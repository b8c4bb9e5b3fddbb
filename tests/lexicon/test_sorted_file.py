"""Look-ups in sorted files give what reading the whole file gives, for heads that are there and heads that are not."""

from __future__ import annotations

from pathlib import Path

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st

from approx.datafiles import rules_path
from approx.lexicon import sorted_file
from approx.lexicon.sorted_file import SortedFile, first_column, sorted_table

TABLES = ("lexicon/homophones.tsv", "lexicon/frequency.tsv")


def whole(path: Path, header_rows: int = 1) -> dict[str, list[str]]:
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    out: dict[str, list[str]] = {}
    for line in lines[header_rows:]:
        out.setdefault(line.split("\t")[0], []).append(line)
    return out


@pytest.mark.parametrize("every", [9, pytest.param(1, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", TABLES)
def test_every_head_of_a_shipped_table(name: str, every: int) -> None:
    """One in nine here; all in the slow set."""
    known, table = whole(rules_path(name)), sorted_table(rules_path(name))
    assert len(known) > 1000
    for head, lines in list(known.items())[::every]:
        assert table.lines(head) == lines
        for other in (head + "q", head[:-1], head[:-1] + "!"):
            assert table.lines(other) == known.get(other, [])


@examples(60)
@given(
    st.lists(st.text("abé", min_size=1, max_size=4), min_size=1, max_size=60),
    st.integers(1, 40),
    st.text("abé", max_size=4),
    st.booleans(),
)
def test_any_table_in_pieces_of_any_size(
    tmp_path_factory: pytest.TempPathFactory, heads: list[str], piece: int, key: str, ends: bool
) -> None:
    rows = [f"{head}\t{number}" for number, head in enumerate(heads)]
    rows.sort(key=lambda row: row.split("\t")[0].encode())
    path = tmp_path_factory.mktemp("sorted") / "table.tsv"
    path.write_text("# remark\nhead\tvalue\n" + "\n".join(rows) + "\n" * ends, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sorted_file, "BLOCK_BYTES", piece)
        table = SortedFile(path, first_column, header_rows=1)
    for wanted in {key, *heads}:
        assert table.lines(wanted) == [row for row in rows if row.split("\t")[0] == wanted]
