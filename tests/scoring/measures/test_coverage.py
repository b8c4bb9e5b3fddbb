"""Intervals hold the true value about as often as they say, in samples whose words are simulated with alike sounds."""

from __future__ import annotations

import numpy as np
import pytest
from bench_coverage import covered, ours, resampled, simulated


@pytest.mark.parametrize(
    ("alike", "words", "share"), [(0.0, 25, 0.5), (0.2, 20, 0.05), (0.2, 50, 0.8), (0.5, 25, 0.5), (0.5, 100, 0.95)]
)
def test_the_interval_holds_the_true_value_in_about_95_of_100_samples(alike: float, words: int, share: float) -> None:
    found = [ours(*sample) for sample in zip(*simulated(share, words, alike, 1500, seed=11))]
    assert 92.0 <= covered([(each.low / 100, each.high / 100) for each in found], share) <= 98.5


def test_near_the_edge_resampling_misses_it_far_more_often() -> None:
    """Why intervals are not resampled: with ten words and 5 % right, half of the resampled ones miss the true value."""
    right, sizes = simulated(0.05, 10, 0.5, 200, seed=3)
    theirs = covered([resampled(*sample, "percentile") for sample in zip(right, sizes)], 0.05)
    mine = covered([(each.low / 100, each.high / 100) for each in map(ours, right, sizes)], 0.05)
    assert theirs < 75 and mine >= 93


def test_the_simulation_has_the_share_and_the_likeness_it_says() -> None:
    right, sizes = simulated(0.3, 400, 0.5, 200, seed=5)
    assert right.sum() / sizes.sum() == pytest.approx(0.3, abs=0.01)
    pairs = right[sizes == 2]
    both = np.mean(pairs == 2)
    assert (both - 0.3**2) / (0.3 * 0.7) == pytest.approx(0.5, abs=0.03)
