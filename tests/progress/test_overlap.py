"""Overlap indices: published examples, the invented scenario's check values, and slow obvious twins."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, product
from statistics import median

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st
from places import DATA

from approx.datafiles import read_tsv
from approx.progress.overlap import INDICES, figures, ird, kendall_s, nap, pand, pem, pnd, tau, tau_u

PUBLISHED = read_tsv(DATA / "overlap_published.tsv")
LEVELS = st.lists(st.integers(0, 10), min_size=1, max_size=7)
FEW = st.lists(st.integers(0, 10), min_size=1, max_size=4)


@pytest.mark.parametrize("case", PUBLISHED, ids=lambda case: f"{case['index']}-{case['value']}")
def test_published_examples(case: dict[str, str]) -> None:
    before, after = ([int(level) for level in case[name].split()] for name in ("before", "after"))
    index, _, field = case["index"].partition(".")
    found = getattr(INDICES[index].of(before, after), field or "value")
    assert found == pytest.approx(
        float(Fraction(case["value"])), abs=10 ** -int(case["places"]) / 2 if case["places"] else 1e-12
    )


def test_check_values_of_the_scenario() -> None:
    set_1 = nap([1, 2, 1, 2], [2, 4, 4, 6, 6, 7, 8, 8])
    assert (set_1.hits, set_1.out_of, round(set_1.value or 0, 3)) == (31, 32, 0.969)
    set_2 = nap([0, 1, 0, 1, 1, 0, 1, 1, 1, 2, 1, 2], [3, 5, 5, 6, 8, 8])
    assert (set_2.hits, set_2.out_of, set_2.value) == (72, 72, 1.0)


def test_an_empty_phase_leaves_every_index_undefined() -> None:
    for before, after in (([], [1, 2]), ([1, 2], []), ([], [])):
        assert [figure.value for figure in figures(before, after)] == [None] * len(INDICES)


def test_no_interval_for_a_phase_of_one_probe() -> None:
    assert nap([1, 2, 1], [3]).low is None
    assert nap([1, 2, 1], [3, 4]).low is not None


def test_interval_holds_the_value_and_closes_at_one() -> None:
    found = nap([1, 2, 3], [4, 5, 6])
    assert found.value == 1.0 == found.high
    assert found.low is not None and 0 < found.low < 1


@given(LEVELS, LEVELS)
def test_pairs_are_counted_as_one_by_one(before: list[int], after: list[int]) -> None:
    pairs = [(late > early) - (late < early) for early, late in product(before, after)]
    assert nap(before, after).hits == sum(1 if sign > 0 else 0.5 if sign == 0 else 0 for sign in pairs)
    assert tau(before, after).hits == sum(pairs)
    inner = sum((b > a) - (b < a) for a, b in combinations(before, 2))
    assert kendall_s(before) == inner
    assert tau_u(before, after).hits == sum(pairs) - inner


@examples(60)
@given(FEW, FEW)
def test_pand_takes_the_fewest_away(before: list[int], after: list[int]) -> None:
    """Slow twin: every subset of points, the largest without overlap."""
    points = [(level, 0) for level in before] + [(level, 1) for level in after]
    best = 0
    for mask in range(1 << len(points)):
        kept = [point for at, point in enumerate(points) if mask >> at & 1]
        first = [level for level, phase in kept if not phase]
        last = [level for level, phase in kept if phase]
        if not first or not last or max(first) < min(last):
            best = max(best, len(kept))
    assert pand(before, after).hits == best


@given(LEVELS, LEVELS)
def test_phase_indices_by_their_definitions(before: list[int], after: list[int]) -> None:
    assert pnd(before, after).hits == len([level for level in after if all(level > early for early in before)])
    middle = median(before)
    assert pem(before, after).hits == sum(1.0 if level > middle else 0.5 if level == middle else 0.0 for level in after)


@given(st.lists(st.integers(0, 10), min_size=2, max_size=7), st.integers(0, 10))
def test_ird_of_equal_phases_is_a_difference_of_rates(levels: list[int], step: int) -> None:
    """With phases of one length the points taken away are shared alike: rate after less rate before = 1 - 2·share taken away."""
    after = [level + step for level in levels]
    kept = pand(levels, after)
    assert kept.value is not None
    assert ird(levels, after).value == pytest.approx(1 - 2 * (1 - kept.value))


@given(LEVELS, LEVELS, st.integers(1, 9))
def test_fractions_and_whole_numbers_agree(before: list[int], after: list[int], whole: int) -> None:
    shares = [[Fraction(level, whole) for level in levels] for levels in (before, after)]
    assert [figure.value for figure in figures(*shares)] == [figure.value for figure in figures(before, after)]


def test_every_index_names_its_source_and_caution() -> None:
    for index in INDICES.values():
        assert any(char.isdigit() for char in index.source)
        assert index.caution and index.counts
        assert index.of.__doc__ and "Source:" in index.of.__doc__
