"""Whatever the bytes: no exception and no lost row; what is written comes back."""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import replace
from random import Random

import pytest
from drawn_examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from approx.samples.files.table import open_table
from approx.samples.files.write import guarded, sample_table, unguarded, write_csv, write_xlsx
from approx.samples.rows.sample import Sample, Token, count_pairs, read_sample, sample_of
from approx.samples.token import COLUMNS

LETTERS = "pbtdkɡmnszʃfvlɹwjhiɪɛæɑʌueoˈ.?-ː\u0303\u0361CV0"
FORMS = st.text(LETTERS, max_size=8)
CELLS = st.one_of(
    FORMS,
    st.sampled_from(
        ["=x", "-a", "+", "@a", "'-a", "''-a", "8/10", "3-2", "03/04/2026", "2-Mar", "ma / mʌ", 'say "ma"']
    ),
    st.text(max_size=12),
)
HEADINGS = st.permutations([*COLUMNS, "room"])


def write(sample: Sample) -> bytes:
    out = io.BytesIO()
    write_csv(out, *sample_table(sample))
    return out.getvalue()


def told(sample: Sample) -> list[tuple[Token, tuple[str, ...]]]:
    """The tokens without their row numbers, which change where rows were blank or refused."""
    return [(replace(token, row=0), sample.extra.get(token.row, ())) for token in sample.tokens]


def nothing_lost(sample: Sample) -> None:
    assert sample.rows == len({token.row for token in sample.tokens}) + len(sample.refused) + sample.blank
    assert len(sample.left_out) == sum(not token.counted for token in sample.tokens)
    assert not sample.refused or any(problem.fatal for problem in sample.problems)


@examples(300)
@given(st.binary(max_size=400))
def test_any_bytes_at_all(data: bytes) -> None:
    nothing_lost(read_sample(io.BytesIO(data)))


@examples(150)
@given(st.binary(max_size=300), st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "utf-32", "cp1252"]))
def test_any_bytes_after_a_heading(data: bytes, encoding: str) -> None:
    heading = "child,session_date,target_word,target_ipa,produced_ipa,age\n".encode(encoding)
    nothing_lost(read_sample(io.BytesIO(heading + data)))


@examples(150)
@given(st.binary(max_size=200))
def test_any_bytes_that_claim_to_be_a_workbook(data: bytes) -> None:
    nothing_lost(read_sample(io.BytesIO(b"PK\x03\x04" + data)))


@examples(40)
@given(st.lists(st.tuples(st.integers(0, 5000), st.integers(0, 255)), min_size=1, max_size=20))
def test_a_workbook_with_damaged_bytes(damage: list[tuple[int, int]]) -> None:
    out = io.BytesIO()
    write_xlsx(out, {"sample": (["target_ipa", "produced_ipa"], [["pi", "bi"], ["kʌp", "tʌp"]])})
    data = bytearray(out.getvalue())
    for place, byte in damage:
        data[place % len(data)] = byte
    nothing_lost(read_sample(io.BytesIO(bytes(data))))


@examples(200)
@given(st.data(), HEADINGS)
def test_what_is_written_comes_back(data: st.DataObject, heading: list[str]) -> None:
    rows = data.draw(st.lists(st.lists(CELLS, min_size=len(heading), max_size=len(heading)), max_size=5))
    first = sample_of(heading, rows)
    nothing_lost(first)
    again = read_sample(io.BytesIO(write(first)))
    assert told(again) == told(first)
    assert again.refused == ()
    assert write(again) == write(first)


@pytest.mark.slow
@settings(max_examples=100, deadline=None)
@given(st.data(), HEADINGS)
def test_a_workbook_that_is_written_comes_back(data: st.DataObject, heading: list[str]) -> None:
    rows = data.draw(st.lists(st.lists(CELLS, min_size=len(heading), max_size=len(heading)), max_size=5))
    first = sample_of(heading, rows)
    out = io.BytesIO()
    assert write_xlsx(out, {"sample": sample_table(first)}) == ()
    assert told(read_sample(io.BytesIO(out.getvalue()))) == told(first)


@examples(200)
@given(
    st.lists(st.lists(st.text('"ab,;\t\r\n |', max_size=6), min_size=3, max_size=3), max_size=6),
    st.sampled_from(",;\t|"),
)
def test_well_formed_rows_are_those_of_the_csv_module(rows: list[list[str]], delimiter: str) -> None:
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter)
    writer.writerow(["child", "target_ipa", "produced_ipa"])
    writer.writerows(rows)
    table = open_table(io.BytesIO(out.getvalue().encode()))
    assert list(table.rows) == rows
    assert not table.unclosed


@examples(300)
@given(st.text("\"pit,;\t\r\n '=-/[]x", max_size=60))
def test_any_mixture_of_separators_and_quotation_marks(text: str) -> None:
    sample = read_sample(io.BytesIO(f"child,target_ipa,produced_ipa\n{text}".encode()))
    nothing_lost(sample)
    letters = "".join(char for char in text if char in "pit")
    assert (
        sample.refused
        or sample.problems
        or len("".join(t.child + t.typed_target + t.typed_produced for t in sample.tokens)) >= len(letters)
    )


@given(st.text(alphabet="'=+-@\t\r8/10:eJanmar ma", max_size=8))
def test_the_guard_comes_off_as_it_went_on(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert guarded(text)[:1] not in tuple("=+-@\t\r")


@examples(60)
@given(st.lists(st.tuples(st.sampled_from(["X01", "X02", ""]), FORMS, FORMS), max_size=12), st.randoms())
def test_order_of_rows_does_not_matter_to_counts(rows: list[tuple[str, str, str]], random: Random) -> None:
    def counts(ordered: list[tuple[str, str, str]]) -> Counter[str]:
        sheet = io.BytesIO()
        write_csv(sheet, ["child", "target_ipa", "produced_ipa"], ordered)
        sheet.seek(0)
        summed: Counter[str] = Counter()
        for group, pairs in count_pairs(sheet, by=("child",)).groups.items():
            for pair, times in pairs.items():
                summed[f"{group} {pair.target} {pair.produced} {pair.kind}"] += times
        return summed

    turned = list(rows)
    random.shuffle(turned)
    assert counts(rows) == counts(turned)
