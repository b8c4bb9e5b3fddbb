"""The numbers of many words in a matrix are those of each word, and add as these do."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from approx.scoring.bulk.count_matrix import BILLIONTHS, BYTE_FIELDS, CountMatrix, byte_rows, lanes
from approx.scoring.judging.counts import COUNT_FIELDS, CountRow, added

small_rows = st.lists(
    st.tuples(*[st.integers(0, 20)] * len(BYTE_FIELDS)).map(lambda row: CountRow(*row)), min_size=1, max_size=12
)


def matrix(rows: list[CountRow]) -> CountMatrix:
    held = byte_rows(len(rows))
    held[:] = [row[: len(BYTE_FIELDS)] for row in rows]
    return CountMatrix(held, {})


def test_all_numbers_but_one_are_held_as_bytes() -> None:
    assert {*COUNT_FIELDS} - {*BYTE_FIELDS} == {BILLIONTHS}
    assert lanes(byte_rows(5)).shape == (5, 3)


@given(small_rows)
def test_eight_numbers_are_added_as_one(rows: list[CountRow]) -> None:
    held = byte_rows(len(rows))
    held[:] = [row[: len(BYTE_FIELDS)] for row in rows]
    summed = byte_rows(1)
    lanes(summed)[0] = lanes(held).sum(axis=0)
    assert tuple(summed[0].tolist()) == added(rows)[: len(BYTE_FIELDS)]


@given(small_rows)
def test_a_column_is_the_number_of_each_word(rows: list[CountRow]) -> None:
    found = matrix(rows)
    for name in BYTE_FIELDS:
        assert found.column(name).tolist() == [getattr(row, name) for row in rows]
    for row, billionths in zip(rows, found.column(BILLIONTHS).tolist()):
        if row.target_points:
            assert abs(billionths * row.target_points - 1_000_000_000 * row.points) <= row.target_points / 2


def test_a_row_that_does_not_fit_stands_beside() -> None:
    long = CountRow(words=400, consonants=1000, points=70_000, target_points=90_000, pwp_billionths=5_000_000_000)
    held = byte_rows(3)
    held[2] = 7
    found = CountMatrix(held, {1: long})
    assert found.each()[1] == long
    assert found.column("points").tolist() == [0, 70_000, 7]
    assert np.dtype(np.int64) == found.column("words").dtype
