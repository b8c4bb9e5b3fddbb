"""Overlap of phases against scipy: NAP is the Mann-Whitney statistic, Tau is Somers' D, the trend is Kendall's S."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy  # its parts are loaded where they are used

from approx.progress.overlap import kendall_s, nap, pem, tau


def phases(seed: int) -> tuple[list[int], list[int]]:
    """Probes of ten words before and during treatment, with ties."""
    rng = np.random.default_rng(seed)
    return rng.binomial(10, 0.3, rng.integers(3, 9)).tolist(), rng.binomial(10, 0.6, rng.integers(4, 15)).tolist()


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(25))
def test_nap_tau_and_pem_are_those_of_scipy(seed: int) -> None:
    before, after = phases(seed)
    pairs = len(before) * len(after)
    u = scipy.stats.mannwhitneyu(after, before).statistic
    assert nap(before, after).hits == pytest.approx(u)
    assert nap(before, after).value == pytest.approx(u / pairs)
    phase = [0] * len(before) + [1] * len(after)
    assert tau(before, after).value == pytest.approx(scipy.stats.somersd(phase, before + after).statistic)
    above = scipy.stats.percentileofscore([-each for each in after], -float(np.median(before)), kind="mean")
    assert pem(before, after).value == pytest.approx(above / 100)


@pytest.mark.parametrize("seed", range(25))
def test_the_trend_is_kendalls_s(seed: int) -> None:
    """scipy gives tau-b; S is tau-b times the root of (pairs that differ in time × pairs that differ in level)."""
    levels = phases(seed)[1]
    found = scipy.stats.kendalltau(range(len(levels)), levels).statistic
    pairs = len(levels) * (len(levels) - 1) / 2
    ties = sum(n * (n - 1) / 2 for n in np.unique(levels, return_counts=True)[1])
    expected = 0 if pairs == ties else found * math.sqrt(pairs * (pairs - ties))
    assert kendall_s(levels) == pytest.approx(expected, abs=1e-9)
