"""Whole numbers are told apart, few of a wide range as well as many of a small one."""

from __future__ import annotations

import pytest

from approx.scoring.bulk.different_numbers import different, told_apart


@pytest.mark.parametrize("numbers", [[], [0], [3, 1, 3, 0, 1], [10**12, 7, 10**12, 0], list(range(50)) * 2])
def test_numbers_are_told_apart(numbers: list[int]) -> None:
    import numpy as np

    found, which = told_apart(np.array(numbers, np.int64))
    assert found.tolist() == sorted(set(numbers)) == different(np.array(numbers, np.int64)).tolist()
    assert [sorted(set(numbers))[at] for at in which.tolist()] == numbers
